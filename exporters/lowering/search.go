package lowering

import (
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
// passed, so each point is expanded once and each step costs the same.
func (g *grid) fewest(c cut, rung, most int) []vertex {
	clear(g.seen)
	g.queue = g.queue[:0]
	end := c.at + g.n
	level := g.rungs.command(rung)
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

// holds says whether a level command is within the tube at a sample.
func (g *grid) holds(i int, command float64) bool {
	return g.cl[i] <= command && command <= g.cu[i]
}

// seed takes as first points those that a level command from the cut leads to.
func (g *grid) seed(from, end int, level float64, rung int) {
	for i := from; i < end && g.holds(i, level); i++ {
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

// reach notes the rungs of a station that are reached for the first time.
func (g *grid) reach(i int, rungs uint64, parent int32) {
	fresh := rungs &^ g.seen[i]
	g.seen[i] |= fresh
	for ; fresh != 0; fresh &= fresh - 1 {
		id := int32(i*64 + bits.TrailingZeros64(fresh))
		g.parent[id] = parent
		g.queue = append(g.queue, id)
	}
}

// arrived is the first point in the queue from which the rung leads home.
func (g *grid) arrived(from, home, end, rung int) int32 {
	for _, id := range g.queue[from:] {
		i := int(id) / 64
		if i >= home && i < end && g.nodes[i].rung(int(id)%64) == rung {
			return id
		}
	}
	return -1
}

// trace is the points that lead to one, in order.
func (g *grid) trace(id int32) []vertex {
	var vs []vertex
	for ; id >= 0; id = g.parent[id] {
		i := int(id) / 64
		vs = append(vs, vertex{i % g.n, g.nodes[i].rung(int(id) % 64)})
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
	least, most := math.Inf(-1), math.Inf(1) // slopes that pass all samples so far
	for k := i + 1; k <= last; k++ {
		dt := g.t[k] - g.t[i]
		low, high := command+least*dt, command+most*dt
		if g.cl[k] > low {
			low = g.cl[k]
		}
		if g.cu[k] < high {
			high = g.cu[k]
		}
		if low > high {
			return
		}
		if g.station[k] && g.nodes[k].full&^g.seen[k] != 0 {
			g.reach(k, g.inside(k, low, high), int32(id))
		}
		least, most = (low-command)/dt, (high-command)/dt
	}
}

// inside is the rungs of a station with commands from low to high.
func (g *grid) inside(k int, low, high float64) uint64 {
	x := &g.nodes[k]
	r := &g.rungs
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
