package flux

import (
	"fmt"
	"math"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
)

// Spectral is a lamp's light at places by wavelength: Photons[i][k] is what comes to
// place i at 380 + 5k to 385 + 5k nm, µmol m⁻² s⁻¹ on the horizontal.
type Spectral struct {
	NM      []float64 // of each bin, the mean wavelength of the lamp's photons there
	Photons [][]float64
}

// The range of a Spectral, nm: from near UV to the end of what is seen.
const spectralLo, spectralHi = 380, 780

// parts are the bands that are seen through water with one refractive index each, as
// [Source] sees them.
var parts = []spectrum.Band{spectrum.NearUV, spectrum.PAR, spectrum.FarRed, {Lo: spectrum.FarRed.Hi, Hi: spectralHi}}

// Spectrum is the light of a lamp at places after the water has taken its part of each
// wavelength on each ray's own way. It is the same sum of rays as that of [Source] in the
// tank: its bins of 380-400, 400-700 and 700-750 nm add up to the light of those bands.
func Spectrum(l Lamp, w water.Absorption, b tank.Box, places []tank.Place) (Spectral, error) {
	out := Spectral{Photons: make([][]float64, len(places))}
	for _, part := range parts {
		bins := water.Bins(w, l.Spectrum, part)
		first := len(out.NM)
		for _, bin := range bins {
			out.NM = append(out.NM, bin.NM)
		}
		for i := range places {
			out.Photons[i] = append(out.Photons[i], make([]float64, len(bins))...)
		}
		source, ok := Source(l, w, part)
		if !ok {
			continue
		}
		settled, err := b.At(source, places)
		if err != nil {
			return Spectral{}, err
		}
		paths, err := b.Paths(source, places, settled.Spacing)
		if err != nil {
			return Spectral{}, err
		}
		for i, p := range paths {
			for k, bin := range bins {
				if bin.Share > 0 {
					out.Photons[i][first+k] = math.Max(0, bin.Share*p.Sum(bin.Left))
				}
			}
		}
	}
	return out, nil
}

// In is the light of a band at place i, µmol m⁻² s⁻¹. Both ends of the band must be
// multiples of 5 nm from 380 nm to 780 nm.
func (s Spectral) In(i int, b spectrum.Band) (float64, error) {
	from, to := (b.Lo-spectralLo)/water.BinWidth, (b.Hi-spectralLo)/water.BinWidth
	if from != math.Trunc(from) || to != math.Trunc(to) || from < 0 || to > float64(len(s.NM)) || to <= from {
		return 0, fmt.Errorf("band %g-%g nm: both ends must be multiples of %d nm from %d nm to %d nm, the second above the first", b.Lo, b.Hi, water.BinWidth, spectralLo, spectralHi)
	}
	var sum float64
	for _, v := range s.Photons[i][int(from):int(to)] {
		sum += v
	}
	return sum, nil
}
