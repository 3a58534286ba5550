package light

import (
	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/plan"
)

// Lamp is the channel as the light model sees it.
func Lamp(c plan.Channel) flux.Lamp {
	return flux.Lamp{Emitters: c.Emitters, Spectrum: c.Spectrum, HasSpectrum: c.HasSpectrum, TotalUmolS: c.Flux.TotalUmolS}
}

// Modelled reports whether the light model can say anything of the channel.
func Modelled(c plan.Channel) bool { return len(c.Emitters) > 0 && c.Flux.TotalUmolS > 0 }

// Predict is the model's light of one channel in one band at places, µmol m⁻² s⁻¹,
// whatever was read.
func Predict(p *plan.Plan, channel int, b spectrum.Band, places []Place) ([]float64, error) {
	l, err := predict(p, channel, b, places)
	return l.PPFD, err
}

// Rays is how many rays a first look at the places takes of all channels, see [tank.Box.Rays];
// one that has no answer counts none.
func Rays(p *plan.Plan, places []Place) (n float64) {
	for _, c := range p.Channels {
		t := p.TankAt(c.Tank)
		if src, ok := flux.Source(Lamp(c), t.Absorption, spectrum.PAR); ok && Modelled(c) {
			rays, _ := t.Box.Rays(src, places) // what is wrong with it is told where its light is asked for
			n += rays
		}
	}
	return n
}

func predict(p *plan.Plan, channel int, b spectrum.Band, places []Place) (tank.Light, error) {
	t := p.TankAt(p.Channels[channel].Tank)
	src, ok := flux.Source(Lamp(p.Channels[channel]), t.Absorption, b)
	if !ok {
		return tank.Light{PPFD: make([]float64, len(places))}, nil
	}
	return t.Box.At(src, places)
}
