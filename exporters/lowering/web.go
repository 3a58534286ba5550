package lowering

import (
	"cmp"
	"math"
	"slices"
)

// web is a choice of places for points, and the moves between them inside the tube in
// hand, each with its dose. A way leads from the start over points to the start a day
// later.
type web struct {
	*grid
	start start
	at    []vertex  // the start, then the places by layer and sample
	moves [][]move  // from each place
	home  []float64 // dose of the move from each to the start a day later; NaN: none

	layered bool // a way has one place in each layer: moves lead to places further on

	lo, hi [][]float64 // by points left: the least and the greatest dose from each place home
	failed map[state]bool
	left   int // moves that may still be weighed
}

// move is to a place of a web, with the dose on the way, s.
type move struct {
	to   int32
	dose float64
}

// state is a way's end with the points it has left and its dose, rounded.
type state struct {
	at, points int32
	dose       int64
}

// How many moves a search for a dose weighs, at most: of all ways, and of some.
const (
	patience   = 100_000_000
	impatience = 300_000
)

// weave makes the web of ways with a point in each of the layers in turn; of one layer,
// with any number of points in it. The start is its place 0.
func (g *grid) weave(s start, layers [][]vertex) *web {
	w := &web{grid: g, start: s, at: []vertex{s.vertex}}
	first := []int{0}
	clear(g.open)
	for _, l := range layers {
		for _, v := range l {
			g.open[v.i] = 1
		}
		first = append(first, len(w.at))
		w.at = append(w.at, l...)
	}
	first = append(first, len(w.at))
	one := len(layers) == 1
	w.layered = !one
	for k := range len(layers) + 1 {
		base, end := first[min(k+1, len(layers)+1)], first[min(k+2, len(layers)+1)]
		if one {
			base, end = 1, len(w.at)
		}
		for u := first[k]; u < first[k+1]; u++ {
			moves, home := w.from(w.at[u], w.at[base:end], base, one || k == len(layers))
			w.moves, w.home = append(w.moves, moves), append(w.home, home)
		}
	}
	return w
}

// from is the moves from a vertex to some others, numbered from base on, and home.
func (w *web) from(v vertex, to []vertex, base int, home bool) (out []move, homeward float64) {
	homeward = math.NaN()
	p, _ := slices.BinarySearchFunc(to, v.i+1, func(u vertex, i int) int { return cmp.Compare(u.i, i) })
	end := w.start.i + w.n
	if !home {
		if len(to) == 0 {
			return nil, homeward
		}
		end = to[len(to)-1].i
	}
	hair, dark := 1e-7*w.rungs.step, w.rungs.dark
	w.walk(v, end, func(k int, low, high float64) {
		for ; p < len(to) && to[p].i == k; p++ {
			c := w.rungs.command(to[p].rung)
			if (w.limits.Hold || low-hair <= c && c <= high+hair) && w.may(v, dark && to[p].rung == 0, w.t[k]) {
				out = append(out, move{int32(base + p), w.doseTo(v, to[p])})
			}
		}
		if home && k == end {
			u := vertex{end, w.start.rung}
			c := w.rungs.command(u.rung)
			if (w.limits.Hold && w.start.point || low-hair <= c && c <= high+hair) && w.may(v, dark && u.rung == 0, w.t[k]) {
				homeward = w.doseTo(v, u)
			}
		}
	})
	return out, homeward
}

// doseTo is the dose from one vertex up to a later one.
func (g *grid) doseTo(v, u vertex) float64 {
	span := g.t[u.i] - g.t[v.i]
	if g.limits.Hold || v.rung == u.rung {
		return span * g.rungs.light(v.rung)
	}
	return span * g.rungs.response.MeanBetween(g.rungs.command(v.rung), g.rungs.command(u.rung))
}

// doses is the least and the greatest dose of all ways with at most so many points;
// lo > hi when there is none.
func (w *web) doses(points int) (lo, hi float64) {
	n := len(w.moves)
	w.lo, w.hi = make([][]float64, points+1), make([][]float64, points+1)
	for k := range w.lo {
		if w.layered && k > 0 { // from each place there are as many points as layers left
			w.lo[k], w.hi[k] = w.lo[0], w.hi[0]
			continue
		}
		w.lo[k], w.hi[k] = make([]float64, n), make([]float64, n)
		for u := n - 1; u >= 0; u-- {
			lo, hi := math.Inf(1), math.Inf(-1)
			if h := w.home[u]; h == h {
				lo, hi = h, h
			}
			if from := max(k-1, 0); k > 0 || w.layered {
				for _, m := range w.moves[u] {
					lo, hi = min(lo, m.dose+w.lo[from][m.to]), max(hi, m.dose+w.hi[from][m.to])
				}
			}
			w.lo[k][u], w.hi[k][u] = lo, hi
		}
	}
	return w.lo[points][0], w.hi[points][0]
}

// find is a way with a dose from lo to hi, near the middle when that is easy; nil when
// none is found, and then whether there is none.
func (w *web) find(lo, hi float64) (way []int32, sure bool) {
	w.failed, w.left = map[state]bool{}, impatience
	if w.limits.Exact && w.exact() {
		w.left = patience
	}
	if way, ok := w.onward(0, len(w.lo)-1, 0, lo, hi); ok {
		slices.Reverse(way)
		return way, true
	}
	return nil, w.left > 0
}

// onward is a way home from a place, last place first, so that the dose so far comes to
// lie from lo to hi.
func (w *web) onward(at int32, points int, dose, lo, hi float64) (way []int32, ok bool) {
	if h := dose + w.home[at]; lo <= h && h <= hi {
		return []int32{}, true
	}
	key := state{at, int32(points), int64(math.Round(dose * 1e6))}
	if w.left -= 1 + len(w.moves[at]); points == 0 || w.left <= 0 || w.failed[key] {
		return nil, false
	}
	type choice struct {
		move
		off float64
	}
	var choices []choice
	for _, m := range w.moves[at] {
		a, b := dose+m.dose+w.lo[points-1][m.to], dose+m.dose+w.hi[points-1][m.to]
		if a <= hi && b >= lo {
			choices = append(choices, choice{m, math.Abs(a + b - lo - hi)})
		}
	}
	slices.SortFunc(choices, func(a, b choice) int { return cmp.Compare(a.off, b.off) })
	for _, c := range choices {
		if way, ok := w.onward(c.to, points-1, dose+c.dose, lo, hi); ok {
			return append(way, c.to), true
		}
	}
	w.failed[key] = true
	return nil, false
}

// vertices are the points of a way of the web.
func (w *web) vertices(way []int32) []vertex {
	var vs []vertex
	if w.start.point {
		vs = append(vs, vertex{w.start.i % w.n, w.start.rung})
	}
	for _, k := range way {
		vs = append(vs, vertex{w.at[k].i % w.n, w.at[k].rung})
	}
	if len(vs) == 0 {
		vs = []vertex{{slices.Index(w.station, true), w.start.rung}}
	}
	slices.SortFunc(vs, func(a, b vertex) int { return cmp.Compare(a.i, b.i) })
	return vs
}
