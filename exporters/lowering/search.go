package lowering

import (
	"math"
	"math/bits"
	"slices"
)

// start is where the ring of the day is opened: the way goes through the vertex, and
// through it again a day later. point: a point stands there.
type start struct {
	vertex
	point bool
}

// fewest is a way round the day with the fewest points, at most most of them,
// that keeps within the tube in hand and goes through the start; nil when there is
// none. It is a breadth-first search over stations and rungs: the rungs that one
// straight line can reach from a point, at any later station, are an interval that
// narrows as the line's slope is hemmed in by the samples passed, so each point is
// expanded once and each step costs the same.
func (g *grid) fewest(s start, most int) []vertex {
	for k := range g.open {
		g.open[k] = g.nodes[k].full
	}
	g.queue = g.queue[:0]
	if !g.leaves(s.i, g.rungs.command(s.rung)) {
		return nil
	}
	if g.expand(s.vertex, -1, s) {
		return g.trace(-1, s)
	}
	points := 1
	if s.point {
		points = 2
	}
	for from := 0; from < len(g.queue) && points <= most; points++ {
		to := len(g.queue)
		for _, id := range g.queue[from:to] {
			if g.expand(g.at(id), id, s) {
				return g.trace(id, s)
			}
		}
		from = to
	}
	return nil
}

// at is the vertex of a point of the search.
func (g *grid) at(id int32) vertex {
	i := int(id) / 64
	return vertex{i, g.nodes[i].rung(int(id) % 64)}
}

// trace is the points that lead to one, in order.
func (g *grid) trace(id int32, s start) []vertex {
	var vs []vertex
	for ; id >= 0; id = g.parent[id] {
		v := g.at(id)
		vs = append(vs, vertex{v.i % g.n, v.rung})
	}
	if s.point {
		vs = append(vs, vertex{s.i % g.n, s.rung})
	}
	if len(vs) == 0 { // level all day
		vs = []vertex{{slices.Index(g.station, true), s.rung}}
	}
	slices.Reverse(vs)
	return vs
}

// expand reaches every point that one move from a point can, before the start comes
// round, and reports whether the move can go there.
func (g *grid) expand(v vertex, id int32, s start) (arrived bool) {
	end := s.i + g.n
	home := g.rungs.command(s.rung)
	g.walk(v, end, func(k int, low, high float64) {
		if k == end {
			dark := s.rung == 0 && g.rungs.dark
			arrived = low <= home && home <= high && g.may(v, dark, g.t[k]) || g.limits.Hold && s.point
			return
		}
		g.reach(k, g.mask(v, k, low, high), id)
	})
	return arrived
}

// reach notes the rungs of a station that are reached for the first time.
func (g *grid) reach(i int, rungs uint64, parent int32) {
	fresh := rungs & g.open[i]
	g.open[i] &^= fresh
	for b := fresh; b != 0; b &= b - 1 {
		id := int32(i*64 + bits.TrailingZeros64(b))
		g.queue = append(g.queue, id)
		g.parent[id] = parent
	}
}

// walk visits the samples that one move from a point can go to, up to the end, with the
// commands it can have there: low to high. Of a held track that is the command itself.
func (g *grid) walk(v vertex, end int, visit func(k int, low, high float64)) {
	if v.i >= end {
		return
	}
	command := g.rungs.command(v.rung)
	cl, cu := g.cl[:end+1], g.cu[:end+1]
	if g.limits.Hold {
		pl, pu := g.pl[:end+1], g.pu[:end+1]
		for k := v.i + 1; k < len(cl) && cl[k] <= command && command <= cu[k]; k++ {
			if k == end || g.open[k] != 0 {
				visit(k, command, command)
			}
			if command < pl[k] || command > pu[k] {
				return
			}
		}
		return
	}
	least, most := -steep, steep // slopes that pass all samples so far
	ts := g.t[:end+1]
	start := ts[v.i]
	for k := v.i + 1; k < len(cl); k++ {
		dt := ts[k] - start
		low, high := command+least*dt, command+most*dt
		if cl := cl[k]; cl > low {
			low, least = cl, (cl-command)/dt
		}
		if cu := cu[k]; cu < high {
			high, most = cu, (cu-command)/dt
		}
		if low > high {
			return
		}
		if g.open[k] != 0 || k == end {
			visit(k, low, high)
		}
	}
}

// steep is a slope, in commands a second, beyond any that a range has.
const steep = 1e12

// longRise is how long, s, a rise through the cut-in may last with few points.
const longRise = 3600

// may says whether a ramp may go from a vertex to a dark or lit one at a time. Where the
// lamp lights with a jump, commands between dark and lit are passed through in one time
// step; with four to six points a rise may take an hour.
func (g *grid) may(v vertex, dark bool, t float64) bool {
	if !g.rungs.cliff || g.limits.Hold || (v.rung == 0) == dark {
		return true
	}
	most := g.limits.TimeStep
	if n := g.limits.MaxPoints; !dark && n >= 4 && n <= 6 {
		most = max(most, longRise)
	}
	return t-g.t[v.i] <= most+1e-3
}

// mask is the rungs of a station that a move from a vertex may end on: with commands
// from low to high, or for a held track any.
func (g *grid) mask(v vertex, k int, low, high float64) uint64 {
	x := &g.nodes[k]
	if g.limits.Hold {
		return x.full
	}
	r := g.rungs
	var out uint64
	if x.full>>darkBit == 1 && low <= r.foot+1e-7*r.step && high >= r.foot-1e-7*r.step && g.may(v, true, g.t[k]) {
		out = 1 << darkBit
	}
	if x.full<<1 == 0 || !g.may(v, false, g.t[k]) {
		return out
	}
	per := 1 / (r.step * float64(x.stride))
	base := r.foot + float64(x.base)*r.step
	first := max(0, int(math.Ceil((low-base)*per-1e-6)))
	last := min(darkBit-1, int(math.Floor((high-base)*per+1e-6)))
	if last < first {
		return out
	}
	return out | x.full&(ones(last+1)&^ones(first))
}

// starts are where the ring may be opened. Where the day is dark, the way is at the
// bottom there. A held track is level everywhere else than at its points, so any sample
// that is no station will do, with every rung. A ramp without a dark part has a point somewhere in every stretch that no
// straight line passes; the shortest is tried, at most so many points of it.
func (g *grid) starts(most int) (out []start) {
	if g.night >= 0 {
		return []start{{vertex{g.night, 0}, false}}
	}
	from := slices.Index(g.station, false)
	to := from
	if !g.limits.Hold {
		from, to = g.turn()
	}
	for i := from; i <= to; i++ {
		if !g.limits.Hold && !g.station[i] {
			continue
		}
		x := g.between(g.pl[i], g.pu[i], allRungs)
		for b := 0; b <= darkBit; b++ {
			if x.full>>b&1 == 1 {
				out = append(out, start{vertex{i % g.n, x.rung(b)}, !g.limits.Hold})
			}
		}
	}
	if n := len(out); n > most {
		for k := range most {
			out[k] = out[k*n/most]
		}
		out = out[:most]
	}
	return out
}
