// Package flux joins lamps and water into what the geometry needs: for a channel
// and a band of wavelengths, how many photons leave the emitters, how water bends
// them and how it thins them.
//
// A channel's flux is given over 400-700 nm. In another band it is
//
//	Φ_band = Φ_total · photons(band)/photons(all)
//
// by the channel's spectrum. The water has one refractive index for a band, that
// at the mean wavelength of the band's photons (Quan and Fry 1995), and
//
//	A(ℓ) = ∫ S e^(−aℓ) dλ / ∫ S dλ
//
// over the band for a path of ℓ metres. A narrow LED is so described almost
// exactly; for white light the one index stands for a spread of ±0.005, which
// moves a PPFD by under 0.3 %. [Spectrum] gives the same light by wavelength, in bins of
// 5 nm whose sums over these bands are the light of the bands. A channel without a spectrum is taken as equal
// photons at all of 400-700 nm and n = 1.34.
package flux

import (
	"dayloom/photon/emitter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
)

// IndexUnknown is the refractive index of sea water where one number has to serve.
const IndexUnknown = 1.34

// Lamp is what the light model needs to know of a channel.
type Lamp struct {
	Emitters    []emitter.Emitter
	Spectrum    spectrum.Spectrum
	HasSpectrum bool
	TotalUmolS  float64 // photons of all wavelengths at full output, µmol/s
}

// InBand is the lamp's photon flux in a band, µmol/s.
func (l Lamp) InBand(b spectrum.Band) float64 {
	return l.TotalUmolS * l.Spectrum.PhotonShare(b, spectrum.Total)
}

// Source is the lamp seen in one band through one water, ready for the tank.
// It reports false when the lamp gives nothing in the band.
func Source(l Lamp, w water.Absorption, b spectrum.Band) (tank.Source, bool) {
	umol := l.InBand(b)
	if umol <= 0 || len(l.Emitters) == 0 {
		return tank.Source{}, false
	}
	index := IndexUnknown
	if l.HasSpectrum {
		index = water.Index(l.Spectrum.MeanWavelength(b))
	}
	return tank.Source{
		Emitters: l.Emitters,
		Flux:     umol,
		Index:    index,
		Transmit: water.Transmission(w, l.Spectrum, b),
	}, true
}
