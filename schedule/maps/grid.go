package maps

import (
	"context"
	"errors"

	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Map is the light of an ask on a grid.
type Map struct {
	tank.Grid
	Ask
	Moved []float64   // by channel of the ask: what finer samples of its lamps still moved, see tank.Light
	full  [][]float32 // by channel of the ask, then place, at full output
	sure  []float64   // by place, in place of the light: its uncertainty, % (one standard deviation)
}

// OnGrid works out the light on a grid, on all cores; the result is the same
// whatever their number. progress, if set, hears how much is done.
func OnGrid(ctx context.Context, f light.Field, a Ask, g tank.Grid, progress func(done, total int)) (Map, error) {
	if len(a.Channels) == 0 {
		return Map{}, errors.New("no channel to map")
	}
	l, err := f.Grid(ctx, a.Channels, a.Band, g, tank.Options{Progress: progress})
	return Map{Grid: g, Ask: a, Moved: l.Moved, full: l.PPFD}, err
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
	return float64(m.full[k][i]) * m.Levels[k]
}

// Total is the light of all channels of the ask at place i, µmol m⁻² s⁻¹; its
// uncertainty where the map is of that.
func (m Map) Total(i int) float64 {
	if m.sure != nil {
		return m.sure[i]
	}
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

// Uncertainty is the same map of how unsure its total is, % of it (one standard
// deviation).
func (m Map) Uncertainty(ctx context.Context, f light.Field, channels int) (Map, error) {
	m.sure = make([]float64, m.Len())
	for i := range m.sure {
		if err := ctx.Err(); err != nil {
			return m, err
		}
		amounts := make([]float64, channels)
		for k, ch := range m.Channels {
			amounts[ch] = m.At(k, i)
		}
		m.sure[i] = 100 * f.Sure(m.Place(i), amounts)
	}
	return m, nil
}

// Unsure reports whether the map is of uncertainty.
func (m Map) Unsure() bool { return m.sure != nil }
