package curve

import (
	"container/heap"
	"math"
)

// term is one piece of one curve with its curve's weight, on an interval between breaks.
type term struct {
	piece  Piece
	weight float64
}

func value(ts []term, t float64) float64 {
	y := 0.0
	for _, x := range ts {
		y += x.weight * x.piece.At(t)
	}
	return y
}

// bounds are a lower and an upper bound of the sum on [a, b]: every piece is monotone, so
// its ends bound it; and the sum is off its chord by at most an eighth of its bend times
// the square of the length, which is the narrower where rises and falls cancel.
func bounds(ts []term, a, b float64) (lo, hi float64) {
	at, to, bend := 0.0, 0.0, 0.0
	for _, x := range ts {
		p, q := x.weight*x.piece.At(a), x.weight*x.piece.At(b)
		lo += min(p, q)
		hi += max(p, q)
		at, to, bend = at+p, to+q, bend+math.Abs(x.weight)*x.piece.bend()
	}
	off := bend * (b - a) * (b - a) / 8
	return max(lo, min(at, to)-off), min(hi, max(at, to)+off)
}

// several curves are worth a look for pieces that they have in common; the terms of fewer are summed as they stand.
const several = 24

// intervals splits the day at all breaks and lists what is lit on each part.
func intervals(cs []Curve, weights []float64, visit func(a, b float64, ts []term)) {
	all := terms(cs, weights)
	bs := breaks(cs)
	var ts []term
	for i := 0; i+1 < len(bs); i++ {
		a, b := bs[i], bs[i+1]
		ts = ts[:0]
		steady := 0.0
		for _, x := range all {
			switch {
			case x.piece.From > a || b > x.piece.To:
			case len(cs) > several && x.piece.U0 == x.piece.U1:
				steady += x.weight * x.piece.At(a)
			default:
				ts = append(ts, x)
			}
		}
		if steady != 0 {
			ts = append(ts, term{Piece{To: Day, Shape: Linear, U0: 1, U1: 1, Level: 1}, steady})
		}
		visit(a, b, ts)
	}
}

// terms are the pieces of all curves. Of several curves those that differ in level alone are one: the
// channels of a large plan mostly rise and fall together.
func terms(cs []Curve, weights []float64) (all []term) {
	known := map[Piece]int{}
	for k, c := range cs {
		for _, p := range c.pieces {
			switch {
			case weights[k] == 0:
			case len(cs) <= several:
				all = append(all, term{p, weights[k]})
			default:
				weight := weights[k] * p.Level
				p.Level = 1
				i, ok := known[p]
				if !ok {
					i, known[p] = len(all), len(all)
					all = append(all, term{piece: p})
				}
				all[i].weight += weight
			}
		}
	}
	return all
}

// box is an interval whose upper bound may still hold the maximum.
type box struct {
	a, b, hi float64
	ts       []term
}

type boxes []box

func (h boxes) Len() int           { return len(h) }
func (h boxes) Less(i, j int) bool { return h[i].hi > h[j].hi }
func (h boxes) Swap(i, j int)      { h[i], h[j] = h[j], h[i] }
func (h *boxes) Push(x any)        { *h = append(*h, x.(box)) }
func (h *boxes) Pop() any {
	old := *h
	x := old[len(old)-1]
	*h = old[:len(old)-1]
	return x
}

// peakTolerance is the relative gap at which the search for a maximum stops.
const peakTolerance = 1e-7

// Peak is the greatest value over the day of Σ weight·curve and the first time
// found at which it is reached (or, at a jump, approached). Weights may be any
// sign. The value is within 1e-7, relative, of the true maximum: pieces are
// monotone, so branch and bound closes in on it.
func Peak(cs []Curve, weights []float64) (value_, at float64) {
	best, when := 0.0, 0.0
	first := true
	h := &boxes{}
	offer := func(y, t float64) {
		if first || y > best {
			best, when, first = y, t, false
		}
	}
	intervals(cs, weights, func(a, b float64, ts []term) {
		offer(value(ts, a), a)
		offer(value(ts, b), b)
		if _, hi := bounds(ts, a, b); hi > best {
			*h = append(*h, box{a, b, hi, append([]term(nil), ts...)})
		}
	})
	heap.Init(h)
	for h.Len() > 0 {
		x := heap.Pop(h).(box)
		if x.hi <= best+peakTolerance*max(best, 1e-12) || x.b-x.a < 1e-6 {
			break
		}
		m := (x.a + x.b) / 2
		offer(value(x.ts, m), m)
		for _, side := range [2][2]float64{{x.a, m}, {m, x.b}} {
			if _, hi := bounds(x.ts, side[0], side[1]); hi > best {
				heap.Push(h, box{side[0], side[1], hi, x.ts})
			}
		}
	}
	return best, when
}

// Max is the curve's own greatest value and a time at which it is reached.
func (c Curve) Max() (value, at float64) { return Peak([]Curve{c}, []float64{1}) }

// TimeAbove is how many seconds of the day Σ weight·curve is above the threshold,
// to within a few milliseconds.
func TimeAbove(cs []Curve, weights []float64, threshold float64) float64 {
	total := 0.0
	intervals(cs, weights, func(a, b float64, ts []term) {
		above(ts, a, b, threshold, func(a, b float64) { total += b - a })
	})
	return total
}

// Above is TimeAbove and with it ∫ (Σ weight·curve − threshold) dt over that time.
func Above(cs []Curve, weights []float64, threshold float64) (seconds, beyond float64) {
	intervals(cs, weights, func(a, b float64, ts []term) {
		from, to := a, a // a stretch above the threshold
		integrate := func() {
			for _, x := range ts {
				beyond += x.weight * x.piece.Integral(from, to)
			}
			beyond -= threshold * (to - from)
			seconds += to - from
		}
		above(ts, a, b, threshold, func(a, b float64) {
			if a != to {
				integrate()
				from = a
			}
			to = b
		})
		integrate()
	})
	return seconds, beyond
}

// above visits, in order, the parts of [a, b] on which the sum is above the threshold.
func above(ts []term, a, b, threshold float64, visit func(a, b float64)) {
	lo, hi := bounds(ts, a, b)
	m := (a + b) / 2
	switch {
	case hi <= threshold:
	case lo > threshold:
		visit(a, b)
	case b-a < 1e-3:
		visit(a, m) // it crosses here
	default:
		above(ts, a, m, threshold, visit)
		above(ts, m, b, threshold, visit)
	}
}
