package lowering

import (
	"cmp"
	"math"
	"slices"
)

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
