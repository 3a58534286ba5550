package lowering

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/curve"
)

// room is by how much the least departure may grow, at most, where the dose
// cannot be kept otherwise; each step tries that much more.
var room = []float64{1, 1.02, 1.05, 1.1, 1.2, 1.4, 1.7, 2, 3, 4}

// keepDose moves points within the departure of a solution so that the day's dose
// comes nearest to the one asked. Where it cannot come within the tolerance, more
// points are spent if there are any left, and then as little more departure as
// will do; when nothing will, the solution nearest in dose at the least departure
// is kept.
func (g *grid) keepDose(s solution, l Limits) solution {
	asked := g.asked.dose()
	if asked <= 0 || len(s.vertices) == 0 {
		return s
	}
	tolerance := l.DoseTolerance * asked
	if g.asked.cut { // what the port would give while its outlet is off
		asked += g.asked.darkest * offSeconds(g.asked.outlet(l.TimeStep))
	}
	settle := func(times float64) (solution, float64) {
		limit := max(s.departure, finest) * times * (1 + tight)
		g.tube(limit, g.most())
		vs, off := g.settle(s.vertices, asked, tolerance, l.MaxPoints)
		for k := 0; k < 2 && off > tolerance; k++ {
			other := g.another(k, g.dose(vs) < asked, limit, l.MaxPoints)
			if other == nil {
				continue
			}
			if more, o := g.settle(other, asked, tolerance, l.MaxPoints); o < off {
				vs, off = more, o
			}
		}
		return solution{vs, limit}, off
	}
	best, bestOff := settle(1)
	for k := 1; k < len(room) && bestOff > tolerance; k++ {
		next, off := settle(room[k])
		if off > tolerance {
			if off < bestOff/2 && (next.departure < plain || bestOff > 0.05*asked) {
				best, bestOff = next, off
			}
			continue
		}
		best, bestOff = next, off
		for low, high := room[k-1], room[k]; high > low*1.02; { // as little as will do
			mid := (low + high) / 2
			if next, off := settle(mid); off <= tolerance {
				best, high = next, mid
			} else {
				low = mid
			}
		}
	}
	return best
}

// dosing moves points of a way towards a dose.
type dosing struct {
	*grid
	asked  float64 // s
	enough float64 // s: nearer than this no move is looked for
	most   int     // points
	stray  float64 // the price of a second of dose given at the wrong time
}

// another is another way through the tube in hand to begin from: for a held track
// first the one with the most, or the least, dose; else one found with care, or
// without.
func (g *grid) another(k int, fuller bool, departure float64, most int) []vertex {
	if !g.limits.Hold || k > 0 {
		return g.within(g.cuts(), departure, most, k == 0).vertices
	}
	sign, c := -1.0, g.cuts()[0]
	if fuller {
		sign = 1
	}
	var best []vertex
	rungs := g.rungsAt(c)
	for k := 0; k < len(rungs); k += 1 + len(rungs)/fewRungs {
		rung := rungs[k]
		if vs := g.fullest(c, rung, most, sign); vs != nil && (best == nil || sign*(g.ringDose(vs)-g.ringDose(best)) > 0) {
			best = vs
		}
	}
	return best
}

// settle is a way with its points moved within the tube in hand to bring its dose
// nearer, and how far off that still is: with the dose of each move minded, or if
// that is not enough, without.
func (g *grid) settle(vs []vertex, asked, tolerance float64, most int) (best []vertex, off float64) {
	off = math.Inf(1)
	for _, stray := range []float64{0.2, 0} {
		moved := dosing{g, asked, tolerance / 20, most, stray}.settle(vs, tolerance)
		if o := math.Abs(g.dose(moved) - asked); o < off {
			best, off = moved, o
		}
		if off <= tolerance {
			break
		}
	}
	return best, off
}

// settle makes moves while they bring the dose nearer; a way that is still off by
// more than the tolerance may take further points.
func (d dosing) settle(vs []vertex, tolerance float64) []vertex {
	vs = sorted(vs)
	for range 200 {
		off := d.dose(vs) - d.asked
		if math.Abs(off) <= d.enough {
			break
		}
		next := d.better(vs, off, d.moves(vs))
		if next == nil && math.Abs(off) > tolerance && len(vs) < d.most {
			next = d.better(vs, off, d.insertions(vs))
		}
		if next == nil {
			break
		}
		vs = next
	}
	return vs
}

// clear says whether the way from one vertex to the next is in the tube.
func (g *grid) clear(v, w vertex) bool {
	ok := true
	g.along(v, w, func(i int, command float64) bool {
		ok = g.holds(i, command)
		return ok
	})
	return ok && g.holds(w.i%g.n, g.rungs.command(w.rung))
}

// open is the dose from one vertex over some to another.
func (g *grid) open(v vertex, over []vertex, last vertex) float64 {
	sum := 0.0
	for _, w := range over {
		sum += g.doseTo(v, w)
		v = w
	}
	return sum + g.doseTo(v, last)
}

// doseTo is the dose from one vertex up to the next.
func (g *grid) doseTo(v, w vertex) float64 {
	span := g.t[w.i%g.n] - g.t[v.i%g.n]
	if span <= 0 {
		span += curve.Day
	}
	if g.limits.Hold {
		return span * g.rungs.light(v.rung)
	}
	return span * g.rungs.response.MeanBetween(g.rungs.command(v.rung), g.rungs.command(w.rung))
}

// excess is the dose given over that asked on the way from one vertex to the next.
func (g *grid) excess(v, w vertex) float64 {
	i, end := v.i, w.i
	if end <= i {
		end += g.n
	}
	return g.doseTo(v, w) - (g.area[end] - g.area[i])
}

// ringDose is the dose of vertices in any order.
func (g *grid) ringDose(vs []vertex) float64 { return g.dose(sorted(vs)) }

func sorted(vs []vertex) []vertex {
	vs = slices.Clone(vs)
	slices.SortFunc(vs, func(a, b vertex) int { return cmp.Compare(a.i, b.i) })
	return vs
}

func (g *grid) dose(vs []vertex) float64 { return g.open(vs[0], vs[1:], vs[0]) }
