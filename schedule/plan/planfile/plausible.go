package planfile

import (
	"fmt"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// edgeOfPPFD is the mean wavelength [nm] below which a lamp's light lies so near the
// end of 400-700 nm that what is counted there says little of the lamp.
const edgeOfPPFD = 410

// plausible warns of a channel whose numbers no lamp can have, or that say too little:
// more light than electricity, near-UV counted as PPFD, water unknown where it shines.
func (r *reader) plausible(v yamltree.Value, f yamltree.Fields, c plan.Channel) {
	at := f.Get("flux")
	if f.Has("efficacy") {
		at = f.Get("efficacy")
	}
	if c.PowerW > 0 && c.Flux.TotalUmolS > 0 {
		gives, most := c.Flux.TotalUmolS/c.PowerW, c.Spectrum.PhotonsPerJoule()
		if !c.HasSpectrum {
			most = spectrum.PAR.Hi / spectrum.NMJoulePerUmol
		}
		if gives > most*(1+1e-9) {
			at.Warn(fmt.Sprintf("the channel %q gives more light than it takes electricity: %.3g µmol for each joule", c.Name, gives),
				fmt.Sprintf("light of its colour holds no more than %.3g (λ/119.6 µmol/J at λ nm)", most), "check flux, power and spectrum")
		}
	}
	r.nearUV(v, at, c)
	r.beyondWater(v, f, c)
}

func (r *reader) nearUV(v, flux yamltree.Value, c plan.Channel) {
	if !c.HasSpectrum || c.Spectrum.MeanWavelength(spectrum.Total) >= edgeOfPPFD {
		return
	}
	given, err := quantity.ParseFlux(c.Flux.Given)
	switch {
	case c.Flux.TotalUmolS <= 0:
		v.Warn(fmt.Sprintf("the channel %q shines mostly below %d nm and is known by readings of PPFD alone", c.Name, edgeOfPPFD),
			"a meter of 400-700 nm sees little of it", "give its flux in its own band, such as 40 umol/s 380-420 nm, and its emitters")
	case err == nil && given.Unit == quantity.Photons && given.Hi == 0:
		flux.Warn(fmt.Sprintf("the channel %q shines mostly below %d nm, and its flux is counted in 400-700 nm", c.Name, edgeOfPPFD),
			"a small error there is a large one of the lamp", "give it in its own band, such as 40 umol/s 380-420 nm")
	}
}

// beyondWater warns where over one in a hundred of a lamp's photons of 380-750 nm lie
// outside the plan's table of water.
func (r *reader) beyondWater(v yamltree.Value, f yamltree.Fields, c plan.Channel) {
	lo, hi := r.plan.TankAt(c.Tank).Absorption.Covers()
	all := spectrum.Band{Lo: spectrum.NearUV.Lo, Hi: spectrum.FarRed.Hi}
	if hi == 0 || !c.HasSpectrum && lo <= spectrum.PAR.Lo && hi >= spectrum.PAR.Hi {
		return
	}
	out := 1 - c.Spectrum.PhotonShare(spectrum.Band{Lo: max(lo, all.Lo), Hi: min(hi, all.Hi)}, all)
	if c.Spectrum.PhotonShare(all, spectrum.Total) > 0 && out > 0.01 {
		v.Warn(fmt.Sprintf("%.0f %% of the photons of the channel %q lie outside the table of water, which goes from %g nm to %g nm", 100*out, c.Name, lo, hi),
			"beyond it its last values are held", "give the table from 380 nm to 750 nm")
	}
}
