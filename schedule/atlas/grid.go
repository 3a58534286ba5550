package atlas

import (
	"context"
	"errors"

	"dayloom/photon/flux"
	"dayloom/photon/tank"
	"dayloom/schedule/diag"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Map is the modelled light of an ask on a grid.
type Map struct {
	tank.Grid
	Ask
	Moved []float64   // by channel of the ask: what finer samples of its lamps still moved, see tank.Light
	full  [][]float32 // by channel of the ask, then place, at full output; nil: dark in this band
}

// OnGrid works out the light on a grid, on all cores; the result is the same
// whatever their number. progress, if set, hears how much is done. Every channel of
// the ask must be one that the model knows (Mappable).
func OnGrid(ctx context.Context, p *plan.Plan, a Ask, g tank.Grid, progress func(done, total int)) (Map, error) {
	if len(a.Channels) == 0 {
		return Map{}, errors.New("no channel to map: a grid needs channels with a flux and emitters")
	}
	m := Map{Grid: g, Ask: a, full: make([][]float32, len(a.Channels)), Moved: make([]float64, len(a.Channels))}
	var sources []tank.Source
	var owner []int
	for k, ch := range a.Channels {
		if s, ok := flux.Source(light.Lamp(p.Channels[ch]), p.Tank.Absorption, a.Band); ok {
			sources, owner = append(sources, s), append(owner, k)
		}
	}
	if len(sources) == 0 {
		return m, nil
	}
	f, err := p.Tank.Box.Grid(ctx, sources, g, tank.Options{Progress: progress})
	if err != nil {
		return Map{}, err
	}
	for i, k := range owner {
		m.full[k], m.Moved[k] = f.PPFD[i], f.Moved[i]
	}
	return m, nil
}

// Unsettled warns of channels whose light finer samples still moved.
func (m Map) Unsettled(p *plan.Plan) (out diag.List) {
	for k, ch := range m.Channels {
		if m.Moved[k] > tank.Settled {
			out = append(out, light.Unsettled(p, ch, m.Moved[k]))
		}
	}
	return out
}

// At is the light of the k-th channel of the ask at place i, at its level, µmol m⁻² s⁻¹.
func (m Map) At(k, i int) float64 {
	if m.full[k] == nil {
		return 0
	}
	return float64(m.full[k][i]) * m.Levels[k]
}

// Total is the light of all channels of the ask at place i, µmol m⁻² s⁻¹.
func (m Map) Total(i int) float64 {
	sum := 0.0
	for k := range m.full {
		sum += m.At(k, i)
	}
	return sum
}

// Totals lists Total of every place.
func (m Map) Totals() []float64 {
	out := make([]float64, m.Len())
	for i := range out {
		out[i] = m.Total(i)
	}
	return out
}
