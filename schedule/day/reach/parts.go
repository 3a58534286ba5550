package reach

import (
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
)

// span is a part of the day; to may be beyond midnight.
type span struct{ from, to float64 }

type spans []span

// instant is a time too short to be a part of a day, s.
const instant = 1e-6

// parts are the stretches that nowhere reach the least light, and the feet of the others
// that the port cannot follow.
func (l *lead) parts(c curve.Curve) (drop, low spans) {
	for _, s := range litSpans(c).ring() {
		if top(c, s) < l.least*(1-near) {
			drop = append(drop, s)
			continue
		}
		if l.foot > 0 {
			low = append(low, feet(c, s, l.foot)...)
		}
	}
	return drop, low
}

// litSpans are the parts of the day in which a curve gives light, within the day, joined.
func litSpans(c curve.Curve) (out spans) {
	for _, p := range c.Pieces() {
		out = append(out, span{p.From, p.To})
	}
	return out.joined()
}

// joined is spans by rising start, those that touch as one.
func (ss spans) joined() (out spans) {
	ss = slices.Clone(ss)
	slices.SortFunc(ss, func(a, b span) int {
		if a.from < b.from {
			return -1
		}
		return 1
	})
	for _, s := range ss {
		if n := len(out); n > 0 && s.from <= out[n-1].to+instant {
			out[n-1].to = max(out[n-1].to, s.to)
			continue
		}
		out = append(out, s)
	}
	return out
}

// ring joins a span that ends at midnight with one that begins there.
func (ss spans) ring() spans {
	n := len(ss)
	if n < 2 || ss[0].from > instant || ss[n-1].to < curve.Day-instant {
		return ss
	}
	out := slices.Clone(ss[1:])
	out[n-2].to = curve.Day + ss[0].to
	return out
}

// outside is the rest of the day.
func (ss spans) outside() (out spans) {
	at := 0.0
	for _, s := range ss {
		if s.from > at+instant {
			out = append(out, span{at, s.from})
		}
		at = s.to
	}
	if at < curve.Day-instant {
		out = append(out, span{at, curve.Day})
	}
	return out
}

// within is the parts of spans that lie in others.
func (ss spans) within(others spans) (out spans) {
	for _, s := range ss {
		for _, o := range others {
			if a, b := max(s.from, o.from), min(s.to, o.to); b > a+instant {
				out = append(out, span{a, b})
			}
		}
	}
	return out
}

// breaks are the breaks of a curve in a span that may go over midnight.
func breaks(c curve.Curve, s span) []float64 {
	out := []float64{s.from, s.to}
	for _, b := range c.Breaks() {
		for _, t := range []float64{b, b + curve.Day} {
			if t > s.from && t < s.to {
				out = append(out, t)
			}
		}
	}
	slices.Sort(out)
	return slices.Compact(out)
}

// after and before are the curve's limits at a time that may be beyond midnight.
func after(c curve.Curve, t float64) float64  { return c.At(wrap(t)) }
func before(c curve.Curve, t float64) float64 { return c.Before(wrap(t)) }

// looks is in how many places between two breaks a sum of pieces is looked at: each piece
// is monotone, their sum nearly so.
const looks = 16

// top is the greatest light of a curve in a span.
func top(c curve.Curve, s span) float64 {
	most, bs := 0.0, breaks(c, s)
	for i, b := range bs[1:] {
		for k := range looks {
			most = max(most, after(c, bs[i]+(b-bs[i])*float64(k)/looks))
		}
		most = max(most, before(c, b))
	}
	return most
}

// feet are the parts of a lit span in which the curve is below a light.
func feet(c curve.Curve, s span, light float64) (out spans) {
	bs := breaks(c, s)
	add := func(a, b float64) {
		if n := len(out); n > 0 && out[n-1].to == a {
			out[n-1].to = b
		} else if b > a+instant {
			out = append(out, span{a, b})
		}
	}
	light *= 1 - near
	for i, b := range bs[1:] {
		a := bs[i]
		from, under := a, after(c, a) < light
		for k := 1; k <= looks; k++ {
			t := a + (b-a)*float64(k)/looks
			y := before(c, t)
			if (y < light) == under {
				continue
			}
			at := crossing(c, light, t-(b-a)/looks, t, under)
			if under {
				add(from, at)
			}
			from, under = at, !under
		}
		if under {
			add(from, b)
		}
	}
	return out
}

// crossing is where the curve passes a light.
func crossing(c curve.Curve, light, from, to float64, under bool) float64 {
	for range 60 {
		mid := (from + to) / 2
		if mid <= from || mid >= to {
			break
		}
		if (after(c, mid) < light) == under {
			from = mid
		} else {
			to = mid
		}
	}
	return to
}

// without is a curve that is dark in a span.
func without(c curve.Curve, s span) curve.Curve {
	s = s.home()
	keep := spans{{0, s.from}, {s.to, curve.Day}}
	if s.to > curve.Day {
		keep = spans{{s.to - curve.Day, s.from}}
	}
	var cs []curve.Curve
	for _, k := range keep {
		cs = append(cs, c.Between(k.from, k.to))
	}
	return curve.Sum(cs...)
}

// sameDose is when a lamp that is dark or at one light gives the dose of a part of the
// curve below that light: on next to what is lit beside the part; with light on both sides
// it is off about the middle of what is too much.
func sameDose(c curve.Curve, part span, light float64) spans {
	on := min(integral(c, part)/light, part.to-part.from)
	litBefore, litAfter := before(c, part.from) >= light/2, after(c, part.to) >= light/2
	switch {
	case litBefore && litAfter:
		off := part.to - part.from - on
		gap := centred(c, part, light, off)
		return nonempty(span{part.from, gap.from}, span{gap.to, part.to})
	case litBefore:
		return nonempty(span{part.from, part.from + on})
	}
	return nonempty(span{part.to - on, part.to})
}

func nonempty(ss ...span) spans {
	return slices.DeleteFunc(ss, func(s span) bool { return s.to-s.from < instant })
}

// centred is a gap of a length about the middle of what a light is too much in a part.
func centred(c curve.Curve, part span, light, length float64) span {
	moment, spare := 0.0, 0.0
	const n = 512 // only where the gap is comes from this sum, not how long
	h := (part.to - part.from) / n
	for k := range n {
		t := part.from + (float64(k)+0.5)*h
		over := light - after(c, t)
		moment, spare = moment+t*over, spare+over
	}
	from := min(max(moment/math.Max(spare, 1e-300)-length/2, part.from), part.to-length)
	return span{from, from + length}
}

// home is a span that begins within the day.
func (s span) home() span {
	if s.from >= curve.Day {
		return span{s.from - curve.Day, s.to - curve.Day}
	}
	return s
}

func integral(c curve.Curve, s span) float64 {
	s = s.home()
	if s.to <= curve.Day {
		return c.Integral(s.from, s.to)
	}
	return c.Integral(s.from, curve.Day) + c.Integral(0, s.to-curve.Day)
}
