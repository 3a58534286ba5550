package lowering

import (
	"cmp"
	"math"
	"math/bits"
	"slices"
)

// A cut is where the ring of the day is opened for the search. level: the
// command is level there at a rung, with no point at the cut; else a point
// stands there.
type cut struct {
	at    int // sample
	level bool
}

// fewest is a way round the day with the fewest points, at most most of them,
// that keeps within the tube in hand and goes through the cut at the rung; nil
// when there is none. It is a breadth-first search over stations and rungs: the
// rungs that one straight line can reach from a point, at any later station,
// are an interval that narrows as the line's slope is hemmed in by the samples
// passed, so each point is expanded once and each step costs the same. With care,
// of equally few points those are preferred whose moves each keep their dose.
func (g *grid) fewest(c cut, rung, most int, care bool) []vertex {
	clear(g.seen)
	g.queue = g.queue[:0]
	end := c.at + g.n
	level := g.rungs.command(rung)
	g.care, g.from, g.level, g.count = care, c.at, g.rungs.light(rung), 1
	home := end // from this sample on, level at the rung leads to the cut
	if c.level {
		for home > c.at && g.holds(home-1, level) && g.holds(home, level) {
			home--
		}
		if home == c.at { // level all day
			if at := slices.Index(g.station, true); at >= 0 {
				return []vertex{{at, rung}}
			}
		}
		g.seed(c.at, end, level, rung)
	} else if b := g.nodes[c.at].bit(rung, g.rungs.dark); b >= 0 {
		g.reach(c.at, 1<<b, -1)
	}
	from := 0
	for points := 1; from < len(g.queue); points++ {
		to := len(g.queue)
		g.count = int32(points + 1)
		if care {
			g.rank(g.queue[from:to])
		}
		if c.level {
			if at := g.arrived(from, home, end, rung); at >= 0 && points <= most {
				return g.trace(at)
			}
		} else if b := g.nodes[c.at].bit(rung, g.rungs.dark); b >= 0 && g.seen[end]>>b&1 == 1 {
			return g.trace(g.parent[end*64+b])
		}
		if points > most || c.level && points == most {
			return nil
		}
		for _, id := range g.queue[from:to] {
			g.expand(int(id), end, c.level)
		}
		from = to
	}
	return nil
}

// rank puts points first whose way up to them keeps the dose best.
func (g *grid) rank(ids []int32) {
	slices.SortStableFunc(ids, func(a, b int32) int { return cmp.Compare(g.astray[a], g.astray[b]) })
}

// at is the vertex of a point of the search, its sample not brought back into one day.
func (g *grid) at(id int32) vertex {
	i := int(id) / 64
	return vertex{i, g.nodes[i].rung(int(id) % 64)}
}

// holds says whether a level command is within the tube at a sample.
func (g *grid) holds(i int, command float64) bool {
	return g.cl[i] <= command && command <= g.cu[i]
}

// seed takes as first points those that a level command from the cut leads to.
func (g *grid) seed(from, end int, level float64, rung int) {
	last := from
	for last < end && g.holds(last, level) {
		last++
	}
	for i := last - 1; i >= from; i-- { // a late first point is the better one
		if !g.station[i] {
			continue
		}
		if g.limits.Hold {
			g.reach(i, g.nodes[i].full, -1)
		} else if b := g.nodes[i].bit(rung, g.rungs.dark); b >= 0 {
			g.reach(i, 1<<b, -1)
		}
	}
}

// reach notes the rungs of a station that are reached for the first time. With
// care, points that reach it in the same number are weighed against each other
// when the track is held: all rungs of a station are then reached at once. For a
// ramp, whose moves take longer to weigh, the first has to do.
func (g *grid) reach(i int, rungs uint64, parent int32) {
	fresh := rungs &^ g.seen[i]
	g.seen[i] |= fresh
	if g.care && g.limits.Hold && rungs != 0 {
		if cost := g.cost(parent, int32(i*64+bits.TrailingZeros64(rungs))); fresh != 0 || g.depth[i] == g.count && cost < g.astray[i*64] {
			g.depth[i], g.astray[i*64] = g.count, cost
			for b := rungs; b != 0; b &= b - 1 {
				id := int32(i*64 + bits.TrailingZeros64(b))
				g.parent[id], g.astray[id] = parent, cost
			}
		}
	}
	for b := fresh; b != 0; b &= b - 1 {
		id := int32(i*64 + bits.TrailingZeros64(b))
		g.queue = append(g.queue, id)
		if g.limits.Hold && g.care {
			continue
		}
		g.parent[id] = parent
		if g.care {
			g.astray[id] = g.cost(parent, id)
		}
	}
}

// cost is how far the dose is astray on the way to a point by way of another, or
// of the level from the cut.
func (g *grid) cost(parent, id int32) float64 {
	v := g.at(id)
	if parent >= 0 {
		return g.astray[parent] + math.Abs(g.excess(g.at(parent), v))
	}
	return math.Abs(g.level*(g.t[v.i]-g.t[g.from]) - (g.area[v.i] - g.area[g.from]))
}

// arrived is the point in the queue from which the rung leads home: the first,
// or with care the one whose dose is least astray all the way.
func (g *grid) arrived(from, home, end, rung int) int32 {
	best, least := int32(-1), math.Inf(1)
	for _, id := range g.queue[from:] {
		v := g.at(id)
		if v.i < home || v.i >= end || v.rung != rung {
			continue
		}
		if !g.care {
			return id
		}
		last := math.Abs(g.level*(g.t[end]-g.t[v.i]) - (g.area[end] - g.area[v.i]))
		if cost := g.astray[id] + last; cost < least {
			best, least = id, cost
		}
	}
	return best
}

// trace is the points that lead to one, in order.
func (g *grid) trace(id int32) []vertex {
	var vs []vertex
	for ; id >= 0; id = g.parent[id] {
		v := g.at(id)
		vs = append(vs, vertex{v.i % g.n, v.rung})
	}
	slices.Reverse(vs)
	return vs
}

// expand reaches every point that one move from a point can. A level search
// ends before the cut comes round, one with a point at the cut upon it.
func (g *grid) expand(id, end int, level bool) {
	i := id / 64
	command := g.rungs.command(g.nodes[i].rung(id % 64))
	last := end
	if level {
		last = end - 1
	}
	if g.limits.Hold {
		for k := i + 1; k <= last && g.holds(k, command); k++ {
			if g.station[k] {
				g.reach(k, g.nodes[k].full, int32(id))
			}
		}
		return
	}
	least, most := -steep, steep // slopes that pass all samples so far
	start := g.t[i]
	for k := i + 1; k <= last; k++ {
		dt := g.t[k] - start
		low, high := command+least*dt, command+most*dt
		if cl := g.cl[k]; cl > low {
			low, least = cl, (cl-command)/dt
		}
		if cu := g.cu[k]; cu < high {
			high, most = cu, (cu-command)/dt
		}
		if low > high {
			return
		}
		if g.nodes[k].full&^g.seen[k] != 0 {
			g.reach(k, g.inside(k, low, high), int32(id))
		}
	}
}

// steep is a slope, in commands a second, beyond any that a range has.
const steep = 1e12

// inside is the rungs of a station with commands from low to high.
func (g *grid) inside(k int, low, high float64) uint64 {
	x := &g.nodes[k]
	r := g.rungs
	var out uint64
	if x.full>>darkBit == 1 && low <= r.foot+1e-7*r.step && high >= r.foot-1e-7*r.step {
		out = 1 << darkBit
	}
	if x.full<<1 == 0 {
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
