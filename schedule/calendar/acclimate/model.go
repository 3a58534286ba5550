package acclimate

import (
	"context"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/light"
)

// cells is the light at any places of a tank.
func (g *Programme) cells(tank int, places []light.Place) ([][]light.Cell, error) {
	if g.opts.Cells != nil {
		return g.opts.Cells(places)
	}
	return g.f.In(tank).At(places)
}

// over is the same on a grid, in 400-700 nm and violet alone: enough to choose by.
func (g *Programme) over(in int, grid tank.Grid) ([][]light.Cell, error) {
	all := make([]int, len(g.p.Channels))
	for ch := range all {
		all[ch] = ch
	}
	out := make([][]light.Cell, grid.Len())
	for i := range out {
		out[i] = make([]light.Cell, len(all))
		for ch := range out[i] {
			out[i][ch].Bands = make([]float64, len(g.f.Bands))
		}
	}
	for _, b := range []spectrum.Band{spectrum.PAR, light.Violet} {
		k := slices.Index(g.f.Bands, b)
		if k < 0 {
			continue
		}
		values, err := g.f.In(in).Grid(context.Background(), all, b, grid, tank.Options{})
		if err != nil {
			return nil, err
		}
		for ch := range all {
			for i := range out {
				out[i][ch].Bands[k] = float64(values.PPFD[ch][i])
				if b == spectrum.PAR {
					out[i][ch].PPFD = out[i][ch].Bands[k]
				}
			}
		}
	}
	return out, nil
}
