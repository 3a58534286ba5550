package flux

import (
	"math"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
)

// Spectral is a lamp's light at places by wavelength: Photons[i][k] is what comes to
// place i at 350 + 5k to 355 + 5k nm, µmol m⁻² s⁻¹ on the horizontal.
type Spectral struct {
	NM      []float64 // of each bin, the mean wavelength of the lamp's photons there
	Photons [][]float64
}

// Seen is the range of a Spectral, nm: what people see, or corals glow by.
var Seen = spectrum.Band{Lo: 350, Hi: 780}

// parts are the bands that are seen through water with one refractive index each, as
// [Source] sees them.
var parts = []spectrum.Band{{Lo: Seen.Lo, Hi: spectrum.NearUV.Lo}, spectrum.NearUV, spectrum.PAR, spectrum.FarRed, {Lo: spectrum.FarRed.Hi, Hi: Seen.Hi}}

// Spectrum is the light of a lamp at places after the water has taken its part of each
// wavelength on each ray's own way. It is the same sum of rays as that of [Source] in the
// tank: its bins of 380-400, 400-700 and 700-750 nm add up to the light of those bands.
// Lines and panels are sampled as finely as the light of 400-700 nm needs it.
func Spectrum(l Lamp, w water.Absorption, b tank.Box, places []tank.Place) (Spectral, error) {
	out := Spectral{Photons: make([][]float64, len(places))}
	spacing, err := spacing(l, w, b, places)
	if err != nil {
		return Spectral{}, err
	}
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
		paths, err := b.Paths(source, places, spacing)
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

// spacing is that of the samples at which a lamp's light settles [m].
func spacing(l Lamp, w water.Absorption, b tank.Box, places []tank.Place) (float64, error) {
	source, ok := Source(l, w, spectrum.PAR)
	if !ok {
		if source, ok = Source(l, w, spectrum.Total); !ok {
			return 0, nil
		}
	}
	settled, err := b.At(source, places)
	return settled.Spacing, err
}
