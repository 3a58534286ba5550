package light

import (
	"context"
	"math"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
)

// Grid is the light in one band of some channels at full output on a grid, as
// tank.Box.Grid with the channels of the list as sources.
func (f Field) Grid(ctx context.Context, channels []int, band spectrum.Band, g tank.Grid, o tank.Options) (tank.Field, error) {
	if f.lesson == nil {
		return tank.Field{}, errElsewhere
	}
	return f.of.over(ctx, f.lesson, channels, band, g, o)
}

func (s *lesson) over(ctx context.Context, channels []int, band spectrum.Band, g tank.Grid, o tank.Options) (tank.Field, error) {
	n := len(channels)
	out := tank.Field{Grid: g, PPFD: make([][]float32, n), Spacing: make([]float64, n), Moved: make([]float64, n)}
	var sources []tank.Source
	var of []int
	var spacings []float64
	for k, ch := range channels {
		if src := s.sources.of(ch, band); src.Emitters != nil {
			sources, of = append(sources, src), append(of, k)
			if o.Spacings != nil {
				spacings = append(spacings, o.Spacings[k])
			}
		} else {
			out.PPFD[k] = make([]float32, g.Len())
		}
	}
	if o.Spacings = spacings; len(sources) > 0 {
		field, err := s.p.Tank.Box.Grid(ctx, sources, g, o)
		if err != nil {
			return out, err
		}
		out.Rays = field.Rays
		for i, k := range of {
			out.PPFD[k], out.Spacing[k], out.Moved[k] = field.PPFD[i], field.Spacing[i], field.Moved[i]
		}
	}
	if len(s.rows) == 0 {
		return out, nil
	}
	l := s.lattice(g)
	for k, ch := range channels {
		c := s.p.Channels[ch]
		share := 1.0
		if !Modelled(c) {
			if !s.taught[ch] {
				continue
			}
			share = c.Spectrum.PhotonShare(band, spectrum.PAR)
		}
		for i := range out.PPFD[k] {
			factor := share * math.Exp(l.at(ch, g.Place(i)))
			if !Modelled(c) {
				out.PPFD[k][i] = float32(factor)
			} else {
				out.PPFD[k][i] *= float32(factor)
			}
		}
	}
	return out, nil
}

// lattice is the fit's means on a coarse grid that covers another.
type lattice struct {
	from  [3]float64
	step  [3]float64
	n     [3]int
	means [][]float64 // [node][channel]
}

func (s *lesson) lattice(g tank.Grid) lattice {
	first, last := g.Place(0), g.Place(g.Len()-1)
	lo := [3]float64{first.X, first.Y, slices.Min(g.Depths)}
	hi := [3]float64{last.X, last.Y, slices.Max(g.Depths)}
	length := s.fit.Fields.Length
	for _, c := range s.p.Channels {
		if !Modelled(c) {
			length = min(length, freeLength)
		}
	}
	l := lattice{from: lo}
	for a := range lo {
		cells := math.Ceil((hi[a] - lo[a]) / (length / 8))
		l.n[a] = int(cells) + 1
		l.step[a] = 1
		if cells > 0 {
			l.step[a] = (hi[a] - lo[a]) / cells
		}
	}
	for k := range l.n[2] {
		for j := range l.n[1] {
			for i := range l.n[0] {
				l.means = append(l.means, s.fit.Mean(Place{
					X: lo[0] + float64(i)*l.step[0], Y: lo[1] + float64(j)*l.step[1], Depth: lo[2] + float64(k)*l.step[2]}))
			}
		}
	}
	return l
}

// freeLength is that of the field of a channel without emitters, m.
const freeLength = 0.40

// at is the mean of a channel straight between the nodes.
func (l *lattice) at(ch int, p Place) float64 {
	var i [3]int
	var u [3]float64
	for a, x := range [3]float64{p.X, p.Y, p.Depth} {
		t := min(max((x-l.from[a])/l.step[a], 0), float64(l.n[a]-1))
		i[a] = min(int(t), max(l.n[a]-2, 0))
		u[a] = t - float64(i[a])
	}
	sum := 0.0
	for corner := range 8 {
		w, node := 1.0, [3]int{}
		for a := range node {
			node[a] = i[a]
			if corner>>a&1 == 1 {
				node[a], w = min(i[a]+1, l.n[a]-1), w*u[a]
			} else {
				w *= 1 - u[a]
			}
		}
		if w > 0 {
			sum += w * l.means[(node[2]*l.n[1]+node[1])*l.n[0]+node[0]][ch]
		}
	}
	return sum
}
