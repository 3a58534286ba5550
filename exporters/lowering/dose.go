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
		limit := max(s.departure, finest) * times * (1 + close)
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
			if off < bestOff/2 && next.departure < plain {
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

// better is the way after changes that bring the dose nearer, the cheapest first,
// of those that stay in the tube; nil when none does. Changes of one pass do not
// touch each other.
func (d dosing) better(vs []vertex, off float64, changes []change) []vertex {
	useful := changes[:0]
	for k, c := range changes {
		c.shift, c.order = d.shift(vs, c), k
		if c.off = math.Abs(off + c.shift); c.off < math.Abs(off)-d.enough/10 {
			c.price = c.off + d.stray*d.strays(vs, c)
			useful = append(useful, c)
		}
	}
	slices.SortFunc(useful, func(a, b change) int {
		return cmp.Or(cmp.Compare(a.price, b.price), cmp.Compare(a.order, b.order))
	})
	next, n := slices.Clone(vs), len(vs)
	touched := make([]bool, n+1)
	changed := false
	for _, c := range useful {
		before, after := (c.from+n-1)%n, c.to%n
		if math.Abs(off+c.shift) > math.Abs(off)-d.enough/10 || slices.Contains(touched[c.from:c.to], true) ||
			touched[before] || touched[after] || !d.allowed(next, c) {
			continue
		}
		if len(c.by) != c.to-c.from {
			return slices.Concat(vs[:c.from], c.by, vs[c.to:])
		}
		copy(next[c.from:c.to], c.by)
		for k := c.from; k < c.to; k++ {
			touched[k] = true
		}
		off += c.shift
		if changed = true; math.Abs(off) <= d.enough {
			break
		}
	}
	if !changed {
		return nil
	}
	return next
}

// change puts vertices in the place of vs[from:to].
type change struct {
	from, to int
	by       []vertex
	shift    float64 // s: what it adds to the dose
	off      float64 // s: how far off the dose is after it
	price    float64 // s: what changes are ordered by,
	order    int     // and then in the order they were thought of
}

// ends are the vertices before and after a change; whole says that it takes in
// all vertices, so that it is its own neighbour.
func (c change) ends(vs []vertex) (first, last vertex, whole bool) {
	n := len(vs)
	return vs[(c.from+n-1)%n], vs[c.to%n], c.to-c.from >= n
}

// shift is how much a change adds to the dose.
func (d dosing) shift(vs []vertex, c change) float64 {
	first, last, whole := c.ends(vs)
	if whole {
		return d.dose(c.by) - d.dose(vs)
	}
	return d.open(first, c.by, last) - d.open(first, vs[c.from:c.to], last)
}

// strays is how much more the moves beside a change are each off in dose.
func (d dosing) strays(vs []vertex, c change) float64 {
	first, last, whole := c.ends(vs)
	if whole {
		return 0
	}
	off := func(v vertex, over []vertex) (sum float64) {
		for _, w := range over {
			sum += math.Abs(d.excess(v, w))
			v = w
		}
		return sum + math.Abs(d.excess(v, last))
	}
	return off(first, c.by) - off(first, vs[c.from:c.to])
}

func (d dosing) allowed(vs []vertex, c change) bool {
	first, last, whole := c.ends(vs)
	if whole {
		first, last = c.by[len(c.by)-1], c.by[0]
	}
	for _, v := range c.by {
		if !d.clear(first, v) {
			return false
		}
		first = v
	}
	return d.clear(first, last)
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

// moves are one vertex by some stations and rungs, or two neighbours on one rung
// together.
func (d dosing) moves(vs []vertex) []change {
	n := len(vs)
	var out []change
	for k, v := range vs {
		lower, upper := -1, d.n
		if k > 0 {
			lower = vs[k-1].i
		}
		if k+1 < n {
			upper = vs[k+1].i
		}
		stations := d.stationsNear(v.i, lower, upper)
		rungs := d.rungsNear(v.rung, v.i)
		for _, i := range stations {
			for _, r := range rungs {
				if i != v.i || r != v.rung {
					out = append(out, change{from: k, to: k + 1, by: []vertex{{i, r}}})
				}
			}
		}
		if k+1 < n && vs[k+1].rung == v.rung {
			for _, r := range rungs {
				if r != v.rung {
					out = append(out, change{from: k, to: k + 2, by: []vertex{{v.i, r}, {vs[k+1].i, r}}})
				}
			}
		}
	}
	return out
}

// insertions are one more vertex, a quarter, half or three quarters of the way
// between two.
func (d dosing) insertions(vs []vertex) []change {
	var out []change
	for k := range vs {
		v, w := vs[k], vs[(k+1)%len(vs)]
		end := w.i
		if end <= v.i {
			end += d.n
		}
		for q := 1; q < 8; q++ {
			i := (v.i + (end-v.i)*q/8) % d.n
			if d.hi[i] == 0 {
				continue // the dark is not for making up dose
			}
			for !d.station[i] {
				i = (i + 1) % d.n
			}
			if i == v.i || i == w.i {
				continue
			}
			rung := v.rung
			if !d.limits.Hold {
				rung += (w.rung - v.rung) * q / 8
			}
			for _, r := range d.rungsNear(rung, i) {
				at := k + 1
				if i < v.i {
					at = 0 // past midnight
				}
				out = append(out, change{from: at, to: at, by: []vertex{{i, r}}})
			}
		}
	}
	return out
}

// stationsNear are the stations next to one, itself first, between two samples.
func (d dosing) stationsNear(i, lower, upper int) []int {
	out := []int{i}
	for _, step := range []int{-1, 1} {
		for k, left := i+step, 8; k > lower && k < upper && left > 0; k += step {
			if d.station[k] {
				out = append(out, k)
				left--
			}
		}
	}
	return out
}

// rungsNear are rungs about one, itself first, that are in the tube at a sample.
func (d dosing) rungsNear(rung, i int) []int {
	out := []int{rung}
	r := d.rungs
	take := func(x int) bool {
		if x < r.lit && r.dark && x != 0 || x < 0 || x > r.top || !d.holds(i, r.command(x)) {
			return false
		}
		out = append(out, x)
		return true
	}
	if rung == 0 && r.dark {
		take(r.lit)
		return out
	}
	for step := 1; ; step *= 2 {
		up, down := take(rung+step), take(rung-step)
		if !up && !down {
			break
		}
	}
	if rung == r.lit && r.dark {
		take(0)
	}
	return out
}
