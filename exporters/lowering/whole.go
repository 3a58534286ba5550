package lowering

import (
	"math"

	"dayloom/exporters/departure"
	"dayloom/schedule/shape/port"
)

// ExactSize is how many times and commands, one times the other, are few enough for
// Limits.Exact, and unasked how many are few enough to try all ways without being asked to.
const (
	ExactSize = 3000
	unasked   = 400
)

// choices is how many times and commands there are, one times the other.
func (l Limits) choices(r *ladder) float64 { return math.Round(86400/l.TimeStep) * float64(r.top+1) }

// exact says whether all times and commands are few enough to try all ways.
func (g *grid) exact() bool {
	n := g.limits.choices(g.rungs)
	return n <= unasked || g.limits.Exact && n <= ExactSize
}

// places is where points may stand in the day after a start, in the tube in hand.
func (g *grid) places(s start) (out []vertex) {
	for i := s.i + 1; i < s.i+g.n; i++ {
		if !g.station[i] {
			continue
		}
		if !g.exact() {
			for x, b := g.nodes[i], 0; b <= darkBit; b++ {
				if x.full>>b&1 == 1 {
					out = append(out, vertex{i, x.rung(b)})
				}
			}
			continue
		}
		first, last, dark := g.rungs.inside(g.pl[i], g.pu[i])
		if dark {
			out = append(out, vertex{i, 0})
		}
		for r := first; r <= last; r++ {
			if r > 0 || !dark {
				out = append(out, vertex{i, r})
			}
		}
	}
	return out
}

// handy is how many pairs of places a web of all ways may have where it is only a help.
const handy = 1_600_000

// whole is a way within a departure that keeps the dose, of all that there are on the
// grid; nil when none was found, or there are more pairs of places than so many, and then
// whether there is none.
func (g *grid) whole(departure float64, keep window, pairs int) (vs []vertex, sure bool) {
	g.tube(departure, g.most())
	sure = true
	most := fewStarts
	if g.exact() {
		most = math.MaxInt
	}
	for _, s := range g.starts(most) {
		points := g.limits.MaxPoints
		if s.point {
			points--
		}
		places := g.places(s)
		if len(places)*len(places) > pairs {
			return nil, false
		}
		points = min(points, len(places))
		w := g.weave(s, [][]vertex{places})
		if lo, hi := w.doses(points); lo > keep.hi || hi < keep.lo {
			continue
		}
		way, known := w.find(keep.lo, keep.hi)
		if way != nil {
			return w.vertices(way), true
		}
		sure = sure && known
	}
	return nil, sure
}

// answer is points with what was proven of them.
type answer struct {
	points []port.Point
	way    []vertex
	off    float64 // s: by which their dose is outside the tolerance
	got    departure.Supremum
	lower  float64 // no table that comes as near to the dose departs less
	proven bool    // these points are as near as there can be
}

// best of all the ways there are: the one with the least departure that keeps the dose,
// to the width of a bracket, above a departure that is too little; with the dose as near
// as it can be where no way keeps it.
func (g *grid) closeIn(keep window, low float64) (best answer, ok bool) {
	vs, sure := g.whole(2, keep, math.MaxInt)
	if vs == nil {
		if keep, vs = g.widen(keep); vs == nil {
			return best, false
		}
	}
	best = g.judge(vs, keep)
	rounds := 0
	for best.got.High > low+2*departure.Width {
		try := (low + best.got.Low) / 2
		vs, known := g.whole(try, keep, math.MaxInt)
		if vs == nil {
			sure = sure && known
			low = try
			continue
		}
		next := g.judge(vs, keep)
		if next.got.High < best.got.High {
			best = next
		}
		if next.got.Low <= try+departure.Width {
			continue
		}
		if rounds++; rounds > mostRounds {
			low, sure = try, false
			continue
		}
		g.add(g.peaks(vs, try))
	}
	best.lower, best.proven = low, sure
	return best, true
}

// widen is the least window about another that some way's dose is in, and such a way.
func (g *grid) widen(keep window) (window, []vertex) {
	wider := func(by float64) window { return window{keep.lo - by, keep.hi + by} }
	low, high := 0.0, 86400.0
	var best []vertex
	for high > low+1e-3 {
		mid := (low + high) / 2
		if vs, _ := g.whole(2, wider(mid), math.MaxInt); vs != nil {
			best, high = vs, min(mid, keep.off(g.dose(vs)))
		} else {
			low = mid
		}
	}
	return wider(high + 1e-9), best
}

// judge plays a way.
func (g *grid) judge(vs []vertex, keep window) answer {
	out := answer{points: g.points(vs), way: vs, off: keep.off(g.dose(vs))}
	if tr, err := g.asked.played(out.points, g.limits); err == nil {
		out.got = g.asked.norm.Greatest(g.asked, tr, 0, 86400)
	}
	return out
}
