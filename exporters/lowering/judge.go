package lowering

import (
	"math"
	"slices"

	"dayloom/schedule/curve"
	"dayloom/schedule/port"
)

// departure is the greatest departure of the light of a track from the lights that
// are right, and when it is: the norm that the points are chosen by.
func (a target) departure(tr port.Played) (most, at float64) {
	return greatest(a.stretches(tr), a.off(tr.At, a.at), a.off(tr.Before, a.before))
}

// stretches are the times between which light and target are smooth.
func (a target) stretches(tr port.Played) []float64 {
	ts := slices.Concat(a.breaks, tr.Breaks())
	for _, j := range a.jumps {
		ts = append(ts, j.from, wrap(j.from+j.length))
	}
	return tidy(ts)
}

// off is how far a light is above (or, negative, below) those that are right.
func (a target) off(given, asked func(float64) float64) func(float64) float64 {
	return func(t float64) float64 {
		y, z := given(t), asked(t)
		lo, hi := z, z
		for _, j := range a.jumps {
			if j.near(t, false) {
				other := j.other(t, z)
				lo, hi = min(lo, other), max(hi, other)
			}
		}
		return y - min(max(y, lo), hi)
	}
}

// anywhere is the plain greatest departure from the curve itself.
func (a target) anywhere(tr port.Played) (most, at float64) {
	return greatest(a.stretches(tr),
		func(t float64) float64 { return tr.At(t) - a.want.At(t) },
		func(t float64) float64 { return tr.Before(t) - a.want.Before(t) })
}

// parts is how finely a smooth stretch is looked at before its extremes are
// closed in on. Both lights are monotone there, of one formula each.
const parts = 8

// hair is how far inside a stretch its ends are looked at, s: times that ought to
// be one may differ by rounding.
const hair = 3e-6

// greatest is the greatest |gap| over the stretches between the times; after and
// before are the gap's limits from either side.
func greatest(ts []float64, after, before func(float64) float64) (most, at float64) {
	take := func(t, y float64) {
		if y = math.Abs(y); y > most {
			most, at = y, wrap(t)
		}
	}
	for i := 1; i < len(ts); i++ {
		from, to := ts[i-1], ts[i]
		if to-from < 4*hair {
			continue
		}
		from, to = from+hair, to-hair
		h := (to - from) / parts
		var ys [parts + 1]float64
		ys[0], ys[parts] = after(from), before(to)
		for k := 1; k < parts; k++ {
			ys[k] = after(from + float64(k)*h)
		}
		for k, y := range ys {
			take(from+float64(k)*h, y)
		}
		for k, y := range ys {
			left, right := ys[max(k-1, 0)], ys[min(k+1, parts)]
			if (y-left)*(y-right) >= 0 && math.Abs(y) > most/2 {
				peak := y > left || y > right
				take(extreme(after, max(from, from+float64(k-1)*h), min(to, from+float64(k+1)*h), peak))
			}
		}
	}
	return most, at
}

// extreme closes in on a peak (or a trough) by golden section.
func extreme(f func(float64) float64, a, b float64, peak bool) (t, y float64) {
	const golden = 0.6180339887498949
	s, u := b-golden*(b-a), a+golden*(b-a)
	fs, fu := f(s), f(u)
	for range 40 {
		if (fs > fu) == peak {
			b, u, fu = u, s, fs
			s = b - golden*(b-a)
			fs = f(s)
		} else {
			a, s, fs = s, u, fu
			u = a + golden*(b-a)
			fu = f(u)
		}
	}
	return s, fs
}

// below tells what the points give where the curve is below the cut-in.
func (a target) below(tr port.Played) BelowCutIn {
	b := BelowCutIn{Darkest: a.darkest}
	for _, s := range a.low {
		b.Seconds += s.length()
		b.LightAsked += a.want.Integral(s.from, s.to)
		b.LightGiven += tr.Integral(s.from, min(s.to, curve.Day))
	}
	return b
}

// above lists the times, one in each smooth stretch at most, at which a track
// departs by more than a limit.
func (a target) above(tr port.Played, limit float64) []float64 {
	ts := a.stretches(tr)
	var out []float64
	for i := 1; i < len(ts); i++ {
		if most, at := greatest(ts[i-1:i+1], a.off(tr.At, a.at), a.off(tr.Before, a.before)); most > limit {
			if off := 2 * apart; ts[i]-ts[i-1] > 2*off { // at an end it would be lost in the sample there
				at = wrap(min(max(at, ts[i-1]+off), ts[i]-off))
			}
			out = append(out, at)
		}
	}
	return out
}
