package light

import (
	"sync"

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
	l, err := newSources(p).light(channel, b, places)
	return l.PPFD, err
}

// Rays is how many rays a first look at the places takes of all channels, see [tank.Box.Rays];
// one that has no answer counts none.
func Rays(p *plan.Plan, places []Place) (n float64) {
	s := newSources(p)
	for ch, c := range p.Channels {
		if src := s.of(ch, spectrum.PAR); src.Emitters != nil && Modelled(c) {
			rays, _ := p.TankAt(c.Tank).Box.Rays(src, places) // what is wrong with it is told where its light is asked for
			n += rays
		}
	}
	return n
}

// sources are the channels of a plan as the tank takes them, each made once for a band, since its
// water takes as long as the light of some places. They may be asked for by several at once.
type sources struct {
	p    *plan.Plan
	mu   sync.Mutex
	made map[inBand]tank.Source
}

type inBand struct {
	channel int
	band    spectrum.Band
}

func newSources(p *plan.Plan) *sources { return &sources{p: p, made: map[inBand]tank.Source{}} }

// of is a channel in a band; without emitters where it gives nothing there.
func (s *sources) of(channel int, b spectrum.Band) tank.Source {
	s.mu.Lock()
	defer s.mu.Unlock()
	key := inBand{channel, b}
	src, ok := s.made[key]
	if !ok {
		c := s.p.Channels[channel]
		src, _ = flux.Source(Lamp(c), s.p.TankAt(c.Tank).Absorption, b)
		s.made[key] = src
	}
	return src
}

// light is that of a channel in a band at places.
func (s *sources) light(channel int, b spectrum.Band, places []Place) (tank.Light, error) {
	src := s.of(channel, b)
	if src.Emitters == nil {
		return tank.Light{PPFD: make([]float64, len(places))}, nil
	}
	return s.p.TankAt(s.p.Channels[channel].Tank).Box.At(src, places)
}
