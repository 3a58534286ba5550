package light

import (
	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/photon/water"
	"dayloom/schedule/plan"
)

// Spectral is one channel's light at one place by wavelength: Photons[i] µmol m⁻² s⁻¹
// around NM[i] nm, at full output.
type Spectral struct{ NM, Photons []float64 }

// sum is the light in a band, µmol m⁻² s⁻¹.
func (s Spectral) sum(b spectrum.Band) (total float64) {
	for i, nm := range s.NM {
		if nm >= b.Lo && nm <= b.Hi {
			total += s.Photons[i]
		}
	}
	return total
}

// Toward is the same light made as strong as a cell: its 400-700 nm are the cell's PPFD.
// A channel without light there stays as it is.
func (s Spectral) Toward(c Cell) Spectral {
	par := s.sum(spectrum.PAR)
	if !(par > 0) {
		return s
	}
	out := Spectral{NM: s.NM, Photons: make([]float64, len(s.Photons))}
	for i, v := range s.Photons {
		out.Photons[i] = v * c.PPFD / par
	}
	return out
}

// Spectra is the model's light of every channel at places, [place][channel], after the
// water on each ray's own way, in bins of 5 nm that sum to the PPFD (flux.Spectrum). A
// channel without emitters has the bare lamp's spectrum, of a strength of 1 µmol m⁻² s⁻¹.
func Spectra(p *plan.Plan, places []Place) ([][]Spectral, error) {
	out := make([][]Spectral, len(places))
	for i := range out {
		out[i] = make([]Spectral, len(p.Channels))
	}
	for ch, c := range p.Channels {
		if !Modelled(c) {
			bare := Spectral{}
			for _, bin := range water.Bins(water.Absorption{}, c.Spectrum, flux.Seen) {
				bare.NM, bare.Photons = append(bare.NM, bin.NM), append(bare.Photons, bin.Share)
			}
			for i := range places {
				out[i][ch] = bare
			}
			continue
		}
		s, err := flux.Spectrum(Lamp(c), p.Tank.Absorption, p.Tank.Box, places)
		if err != nil {
			return nil, err
		}
		for i := range places {
			out[i][ch] = Spectral{NM: s.NM, Photons: s.Photons[i]}
		}
	}
	return out, nil
}
