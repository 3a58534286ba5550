package acclimate

import (
	"context"
	"fmt"
	"slices"

	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// cells is the light at any places.
func (g *Programme) cells(places []light.Place) ([][]light.Cell, error) {
	if g.opts.Cells != nil {
		return g.opts.Cells(places)
	}
	return model(g.p, g.f, places)
}

// model is the light model at places, each channel times the median of reading over
// model at the corals where it was read.
func model(p *plan.Plan, f light.Field, places []light.Place) ([][]light.Cell, error) {
	out := make([][]light.Cell, len(places))
	for i := range out {
		out[i] = make([]light.Cell, len(p.Channels))
	}
	gains, err := gains(p, f)
	if err != nil {
		return nil, err
	}
	for ch, c := range p.Channels {
		if gains[ch] == 0 {
			continue
		}
		for i := range out {
			out[i][ch] = light.Cell{Source: light.Model, Common: c.Uncertainty.Common, Model: c.Uncertainty.Own, Bands: make([]float64, len(f.Bands))}
		}
		for k, b := range f.Bands {
			values, err := light.Predict(p, ch, b, places)
			if err != nil {
				return nil, fmt.Errorf("channel %s: %w", c.Name, err)
			}
			for i, v := range values {
				out[i][ch].Bands[k] = v * gains[ch]
				if b == spectrum.PAR {
					out[i][ch].PPFD = v * gains[ch]
				}
			}
		}
	}
	return out, nil
}

// over is the same on a grid, in 400-700 nm and violet alone: enough to choose by.
func (g *Programme) over(grid tank.Grid) ([][]light.Cell, error) {
	gains, err := gains(g.p, g.f)
	if err != nil {
		return nil, err
	}
	out := make([][]light.Cell, grid.Len())
	for i := range out {
		out[i] = make([]light.Cell, len(g.p.Channels))
		for ch := range out[i] {
			out[i][ch].Bands = make([]float64, len(g.f.Bands))
		}
	}
	for k, b := range g.f.Bands {
		if b != spectrum.PAR && b != light.Violet {
			continue
		}
		var sources []tank.Source
		var of []int
		for ch, c := range g.p.Channels {
			if s, ok := flux.Source(light.Lamp(c), g.p.Tank.Absorption, b); ok && gains[ch] > 0 {
				sources, of = append(sources, s), append(of, ch)
			}
		}
		f, err := g.p.Tank.Box.Grid(context.Background(), sources, grid, tank.Options{})
		if err != nil {
			return nil, err
		}
		for s, ch := range of {
			for i := range out {
				v := float64(f.PPFD[s][i]) * gains[ch]
				out[i][ch].Bands[k] = v
				if b == spectrum.PAR {
					out[i][ch].PPFD = v
				}
			}
		}
	}
	return out, nil
}

// gains lists what the readings make of the model of each channel; 0 for a channel
// that is never lit and has no model.
func gains(p *plan.Plan, f light.Field) ([]float64, error) {
	out := make([]float64, len(p.Channels))
	for ch, c := range p.Channels {
		if len(c.Emitters) == 0 || c.Flux.TotalUmolS <= 0 {
			if used(p, ch) {
				return nil, fmt.Errorf("channel %s is known by readings alone, at the corals that were read", c.Name)
			}
			continue
		}
		var err error
		if out[ch], err = gain(p, f, ch); err != nil {
			return nil, err
		}
	}
	return out, nil
}

// used tells whether any day lights a channel.
func used(p *plan.Plan, ch int) bool {
	all := slices.Clone(p.Day)
	for _, d := range p.Days {
		all = append(all, d.Parts...)
	}
	return slices.ContainsFunc(all, func(d plan.DayPart) bool { return slices.Contains(d.Channels, ch) })
}

// gain is the median of reading over model of a channel, 1 when it was not read.
func gain(p *plan.Plan, f light.Field, ch int) (float64, error) {
	var at []light.Place
	var read []float64
	for i, c := range p.Corals {
		if f.Corals[i][ch].Source == light.Reading {
			at = append(at, light.Place{X: c.X, Y: c.Y, Depth: c.Depth})
			read = append(read, f.Corals[i][ch].PPFD)
		}
	}
	if len(at) == 0 {
		return 1, nil
	}
	values, err := light.Predict(p, ch, spectrum.PAR, at)
	if err != nil {
		return 0, fmt.Errorf("channel %s: %w", p.Channels[ch].Name, err)
	}
	var ratios []float64
	for i, v := range values {
		if v > 0 {
			ratios = append(ratios, read[i]/v)
		}
	}
	if len(ratios) == 0 {
		return 1, nil
	}
	return light.Percentile(ratios, 0.5), nil
}
