package acclimate

import (
	"fmt"
	"slices"

	"dayloom/photon/spectrum"
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
	for ch, c := range p.Channels {
		if len(c.Emitters) == 0 || c.Flux.TotalUmolS <= 0 {
			if !used(p, ch) {
				continue
			}
			return nil, fmt.Errorf("channel %s is known by readings alone, at the corals that were read", c.Name)
		}
		gain, err := gain(p, f, ch)
		if err != nil {
			return nil, err
		}
		for i := range out {
			out[i][ch] = light.Cell{Source: light.Model, Model: c.Uncertainty, Bands: make([]float64, len(f.Bands))}
		}
		for k, b := range f.Bands {
			values, err := light.Predict(p, ch, b, places)
			if err != nil {
				return nil, fmt.Errorf("channel %s: %w", c.Name, err)
			}
			for i, v := range values {
				out[i][ch].Bands[k] = v * gain
				if b == spectrum.PAR {
					out[i][ch].PPFD = v * gain
				}
			}
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
