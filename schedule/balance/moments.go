package balance

import (
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
)

// piece is one monotone stretch of a channel's curve, fixed (one false) or per unit of its variable.
type piece struct {
	curve.Piece
	channel int
	one     bool
}

// span is a part of the day between breaks. Fractions are affine in the variables: zero + one·x,
// channel by channel, at its two ends; over is by how much they may exceed the chord between.
type span struct {
	a, b      float64
	pieces    []piece
	zero, one [2][]float64
	over      [2][]float64 // of zero, of one
}

// moment is a time in a span; at a break the span says which side is meant.
type moment struct {
	span int
	t    float64
}

// moments is the day as spans.
type moments struct {
	n     int
	varOf []int
	spans []span
}

func newMoments(s *system) moments {
	m := moments{n: len(s.steady), varOf: s.varOf}
	var all []piece
	breaks := []float64{0, curve.Day}
	list := func(c int, one bool, cv curve.Curve) {
		for _, p := range cv.Pieces() {
			all = append(all, piece{p, c, one})
			breaks = append(breaks, p.From, p.To)
		}
	}
	for c, cv := range s.steady {
		list(c, false, cv)
	}
	for c, cv := range s.unit {
		list(c, true, cv)
	}
	slices.Sort(breaks)
	breaks = slices.Compact(breaks)
	for i := range len(breaks) - 1 {
		sp := span{a: breaks[i], b: breaks[i+1]}
		for _, p := range all {
			if p.From <= sp.a && sp.b <= p.To {
				sp.pieces = append(sp.pieces, p)
			}
		}
		sp.zero[0], sp.one[0] = m.values(&sp, sp.a)
		sp.zero[1], sp.one[1] = m.values(&sp, sp.b)
		sp.over = m.over(&sp)
		m.spans = append(m.spans, sp)
	}
	return m
}

// values are zero and one at a time of the span.
func (m *moments) values(sp *span, t float64) (zero, one []float64) {
	zero, one = make([]float64, m.n), make([]float64, m.n)
	for _, p := range sp.pieces {
		if p.one {
			one[p.channel] += p.At(t)
		} else {
			zero[p.channel] += p.At(t)
		}
	}
	return zero, one
}

// over bounds how far the pieces rise above their chords: h²·max(−f″)/8, with −f″ ≤ π²/2 for
// (1 − cos πu)/2 and π²/4 for sin(πu/2). Linear and even ramps are convex and never do.
func (m *moments) over(sp *span) (out [2][]float64) {
	out = [2][]float64{make([]float64, m.n), make([]float64, m.n)}
	for _, p := range sp.pieces {
		h := (p.U1 - p.U0) * (sp.b - sp.a) / (p.To - p.From)
		rise := p.Level * h * h * math.Pi * math.Pi / 16
		switch p.Shape {
		case curve.Smooth:
		case curve.Solar:
			rise /= 2
		default:
			continue
		}
		if p.one {
			out[1][p.channel] += rise
		} else {
			out[0][p.channel] += rise
		}
	}
	return out
}

// at is zero and one at a moment.
func (m *moments) at(w moment) (zero, one []float64) { return m.values(&m.spans[w.span], w.t) }

// mix is zero + one·x for every channel.
func (m *moments) mix(zero, one, x []float64) []float64 {
	y := append([]float64(nil), zero...)
	for c, j := range m.varOf {
		if j >= 0 {
			y[c] += one[c] * x[j]
		}
	}
	return y
}

// scene is the day at one x.
type scene struct {
	*moments
	x    []float64
	ceil []float64 // most of each channel at any moment
	tops []top     // moments that no other moment outshines in every channel
	open []shine   // spans that may hold a brighter moment than the tops
}

type top struct {
	moment
	y []float64
}

// shine is a part of a span with the fractions at its ends.
type shine struct {
	span             int
	t                [2]float64 // s after midnight
	a, b, over, ceil []float64  // fractions at the ends, above their chord, and at most
}

func (m *moments) scene(x []float64) *scene {
	s := &scene{moments: m, x: x}
	var all []top
	var parts []shine
	for i := range m.spans {
		sp := &m.spans[i]
		p := shine{span: i, t: [2]float64{sp.a, sp.b}, a: m.mix(sp.zero[0], sp.one[0], x), b: m.mix(sp.zero[1], sp.one[1], x),
			over: m.mix(sp.over[0], sp.over[1], x)}
		p.close()
		parts = append(parts, p)
		all = append(all, top{moment{i, sp.a}, p.a}, top{moment{i, sp.b}, p.b})
	}
	for i, q := range all {
		if !s.outshone(q.y) {
			keep := s.tops[:0]
			for _, o := range s.tops {
				if !below(o.y, q.y) {
					keep = append(keep, o)
				}
			}
			s.tops = append(keep, all[i])
		}
	}
	s.ceil = slices.Clone(parts[0].ceil)
	for _, p := range parts {
		for c, v := range p.ceil {
			s.ceil[c] = max(s.ceil[c], v)
		}
		if !s.outshone(p.ceil) && !(s.outshone(sum(p.a, p.over)) && s.outshone(sum(p.b, p.over))) {
			s.open = append(s.open, p)
		}
	}
	return s
}

// close fills in the ceiling: pieces are monotone, so their greater end is their greatest value.
func (p *shine) close() {
	p.ceil = make([]float64, len(p.a))
	for c := range p.ceil {
		p.ceil[c] = max(p.a[c], p.b[c])
	}
}

// outshone tells whether a moment is known at which every channel gives as much as y.
func (s *scene) outshone(y []float64) bool {
	for _, o := range s.tops {
		if below(y, o.y) {
			return true
		}
	}
	return false
}

func below(a, b []float64) bool {
	for c, v := range a {
		if v > b[c] {
			return false
		}
	}
	return true
}

func sum(a, b []float64) []float64 {
	out := append([]float64(nil), a...)
	for c, v := range b {
		out[c] += v
	}
	return out
}

// worst is the greatest value of a limit and its moment. Values below enough are not told apart.
func (s *scene) worst(l *limit, enough float64) (best float64, at moment) {
	if enough > 0 {
		if g := l.at(s.ceil); g <= enough {
			return g, at
		}
	}
	for i, o := range s.tops {
		if g := l.at(o.y); i == 0 || g > best {
			best, at = g, o.moment
		}
	}
	for i := range s.open {
		best, at = s.search(l, &s.open[i], best, at, enough)
	}
	return best, at
}

// search halves a part until it holds nothing better than best.
func (s *scene) search(l *limit, p *shine, best float64, at moment, enough float64) (float64, moment) {
	if least := max(best+sharp, enough); l.at(p.ceil) <= least ||
		(l.at(sum(p.a, p.over)) <= least && l.at(sum(p.b, p.over)) <= least) || p.t[1]-p.t[0] < 1e-4 {
		return best, at
	}
	t := (p.t[0] + p.t[1]) / 2
	zero, one := s.at(moment{p.span, t})
	y := s.mix(zero, one, s.x)
	if g := l.at(y); g > best {
		best, at = g, moment{p.span, t}
	}
	over := make([]float64, len(p.over))
	for c, v := range p.over {
		over[c] = v / 4
	}
	sides := [2]shine{
		{span: p.span, t: [2]float64{p.t[0], t}, a: p.a, b: y, over: over},
		{span: p.span, t: [2]float64{t, p.t[1]}, a: y, b: p.b, over: over},
	}
	if l.at(sides[1].b) > l.at(sides[0].a) {
		sides[0], sides[1] = sides[1], sides[0]
	}
	for i := range sides {
		sides[i].close()
		best, at = s.search(l, &sides[i], best, at, enough)
	}
	return best, at
}
