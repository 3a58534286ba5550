package lowering

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
)

// room is by how much the least departure may grow where the dose cannot be kept
// otherwise; each step tries that much more.
var room = []float64{1, 1.05, 1.1, 1.2, 1.4, 1.7, 2.2, 3, 5, 8, 14, 25, 50, 100, 1e3, 1e4}

// closer is the relative width to which the room that a dose needs is closed in on.
const closer = 0.01

// window is the doses that keep the one asked.
type window struct{ lo, hi float64 }

// off is how far a dose is outside.
func (w window) off(dose float64) float64 { return max(w.lo-dose, dose-w.hi, 0) }

// kept is the doses that are near enough to the one asked of a port, with what it gives
// to nobody while its outlet is off.
func (g *grid) kept() window {
	asked := g.asked.dose()
	tolerance := g.limits.DoseTolerance * asked
	if g.asked.cut > 0 {
		asked += g.asked.cut * offSeconds(g.asked.outlet(g.limits.TimeStep))
	}
	return window{asked - tolerance - 1e-9, asked + tolerance + 1e-9}
}

// keepDose moves the points of a solution, and takes more if there are any left, until
// the day's dose is kept, with as little more departure as will do; when nothing will,
// the way nearest in dose is kept.
func (g *grid) keepDose(s solution, keep window) solution {
	if keep.off(g.dose(s.vertices)) == 0 {
		return s
	}
	least := s.departure
	best, bestOff := s, keep.off(g.dose(s.vertices))
	try := func(times float64) (kept bool) {
		for k, from := range [][]vertex{best.vertices, nil} {
			if k == 1 && times == 1 {
				break // that is the way in hand
			}
			if from == nil {
				from = g.within(least*times, g.limits.MaxPoints).vertices
			}
			g.tube(least*times, g.most())
			vs, off := g.settle(from, keep)
			if off > 0 && g.limits.MaxPoints > len(vs) {
				if more, o := g.settle(g.spread(vs), keep); o < off {
					vs, off = more, o
				}
			}
			if off < bestOff || off == 0 && least*times < best.departure {
				best, bestOff = solution{vs, least * times, s.lower}, off
			}
			if off == 0 {
				return true
			}
		}
		return false
	}
	for k, times := range room {
		if least*times > 2 && k > 0 {
			break
		}
		if !try(times) {
			continue
		}
		for low, high := room[max(k-1, 0)], times; high > low*(1+closer) && g.near == 1; { // as little as will do
			if mid := math.Sqrt(low * high); try(mid) {
				high = mid
			} else {
				low = mid
			}
		}
		break
	}
	if bestOff > 0 && g.night >= 0 { // as where all is dark, and no point stands that could be moved: all ways, where they are few
		for _, times := range room {
			if least*times > 2 {
				break
			}
			if vs, _ := g.whole(least*times, keep, handy); vs != nil {
				best, bestOff = solution{vs, least * times, s.lower}, 0
				break
			}
		}
	}
	for _, times := range []float64{1.03, 1.1, 1.25} { // all ways, where they are few
		if g.near > 1 || g.night < 0 || least*times >= best.departure {
			break
		}
		if vs, _ := g.whole(least*times, keep, handy); vs != nil {
			return solution{vs, least * times, s.lower}
		}
	}
	return best
}

// settle moves the points of a way within the tube in hand until it keeps a dose: all
// points at once, each to the places about it, at first with wide strides and then with
// narrow ones. It says how far off the dose is in the end; infinite: no way was found.
func (g *grid) settle(vs []vertex, keep window) (best []vertex, off float64) {
	off = math.Inf(1)
	stride := max(1, 4*g.n/max(1, 16*len(vs)))
	for pass := 0; pass < 40 && off > 0 && stride > 0 && len(vs) > 0; pass++ {
		next := g.about(vs, stride, pass, keep, min(off, curve.Day))
		if next != nil {
			if o := keep.off(g.dose(next)); o < off*(1-1e-3) {
				vs, best, off = next, next, o
				continue
			}
		}
		if pass%2 == 1 || g.night >= 0 {
			stride /= 2
		}
	}
	return best, off
}

// about is a way nearer in dose than so much, with each point moved by at most two
// strides; nil when there is none in the tube. Of a ring that is lit all day one point stays; which one,
// goes by the pass.
func (g *grid) about(vs []vertex, stride, pass int, keep window, off float64) []vertex {
	s := start{vertex{g.night, 0}, false}
	if s.i < 0 {
		s = start{vs[pass%len(vs)], true}
	}
	var layers [][]vertex
	for _, v := range g.inOrder(s, vs) {
		layers = append(layers, g.beside(v, stride))
	}
	if len(layers) == 0 {
		return nil
	}
	w := g.weave(s, layers)
	lo, hi := w.doses(len(layers))
	if lo > hi {
		return nil
	}
	least := max(lo-keep.hi, keep.lo-hi, 0)
	for _, share := range []float64{0, 0.05, 0.2, 0.5, 1} { // as near as it is easy to come
		wide := least + share*(off-least) + 1e-6
		if way, _ := w.find(keep.lo-wide, keep.hi+wide); way != nil {
			return w.vertices(way)
		}
	}
	return nil
}

// inOrder is the points that follow the start round the day, without one that is the start.
func (g *grid) inOrder(s start, vs []vertex) []vertex {
	var out []vertex
	for _, v := range vs {
		if v.i %= g.n; v.i <= s.i {
			v.i += g.n
		}
		if !s.point || v.i != s.i+g.n {
			out = append(out, v)
		}
	}
	slices.SortFunc(out, func(a, b vertex) int { return cmp.Compare(a.i, b.i) })
	return out
}

// beside is places about a point: stations up to two strides away, and rungs that are in
// the tube there up to as many of theirs.
func (g *grid) beside(v vertex, stride int) []vertex {
	var out []vertex
	r := g.rungs
	up := max(1, r.top*stride/800)
	for _, i := range g.stationsNear(v.i, stride) {
		for o := -2; o <= 2; o++ {
			rung := v.rung + o*up
			switch {
			case v.rung == 0 && r.dark && (o != 0 && (r.cliff || o < 0)):
				continue
			case v.rung == 0 && r.dark && o > 0:
				rung = r.lit + o*up
			case rung < r.lit && o != 0:
				continue
			case rung > r.top:
				continue
			}
			if g.leaves(i, r.command(rung)) {
				out = append(out, vertex{i, rung})
			}
		}
	}
	return out
}

// stationsNear are five stations about one, a stride apart.
func (g *grid) stationsNear(i, stride int) []int {
	out := []int{i}
	for _, way := range []int{-1, 1} {
		k := i
		for range 2 {
			for left := stride; left > 0; {
				if k += way; k <= 0 || k >= 2*g.n {
					break
				}
				if g.station[k] {
					left--
				}
			}
			if k > 0 && k < 2*g.n && g.station[k] {
				out = append(out, k)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// spread is a way with one point more, in the middle of its longest lit move.
func (g *grid) spread(vs []vertex) []vertex {
	at, longest := -1, 1
	for k, v := range vs {
		next := vs[(k+1)%len(vs)]
		if next.i <= v.i {
			next.i += g.n
		}
		if n := next.i - v.i; n > longest && !g.bottom[(v.i+n/2)%g.n] {
			at, longest = k, n
		}
	}
	if at < 0 {
		return vs
	}
	v, next := vs[at], vs[(at+1)%len(vs)]
	i := v.i + longest/2
	for !g.station[i%g.n] {
		i++
	}
	if i >= v.i+longest || v.rung == 0 && g.rungs.dark {
		return vs
	}
	rung := v.rung
	if !g.limits.Hold && next.rung >= g.rungs.lit {
		rung = (v.rung + next.rung) / 2
	}
	out := append(slices.Clone(vs), vertex{i % g.n, rung})
	slices.SortFunc(out, func(a, b vertex) int { return cmp.Compare(a.i, b.i) })
	return out
}

// dose is the day's dose of a way, s of full light.
func (g *grid) dose(vs []vertex) float64 {
	sum := 0.0
	for k, v := range vs {
		u := vs[(k+1)%len(vs)]
		if u.i <= v.i {
			u.i += g.n
		}
		if len(vs) == 1 {
			return curve.Day * g.rungs.light(v.rung)
		}
		sum += g.doseTo(v, u)
	}
	return sum
}
