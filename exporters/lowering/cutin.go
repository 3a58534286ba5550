package lowering

import (
	"math"
	"slices"

	"dayloom/schedule/curve"
)

// crossings are the times at which the curve passes a light without a jump.
func crossings(want curve.Curve, light float64) []float64 {
	var out []float64
	bs := want.Breaks()
	for i := 1; i < len(bs); i++ {
		a, b := bs[i-1], bs[i]
		const n = 64 // the curve's pieces are monotone, their sums nearly so
		above := want.At(a) >= light
		for k := 1; k <= n; k++ {
			t := a + (b-a)*float64(k)/n
			y := want.Before(t)
			if (y >= light) != above {
				out = append(out, bisect(want, light, a+(b-a)*float64(k-1)/n, t, above))
				above = y >= light
			}
		}
	}
	return out
}

func bisect(want curve.Curve, light, from, to float64, above bool) float64 {
	for range 60 {
		mid := (from + to) / 2
		if mid <= from || mid >= to {
			break
		}
		if (want.At(mid) >= light) == above {
			from = mid
		} else {
			to = mid
		}
	}
	return to
}

// lowParts are the parts of the day at which the curve is lit but below a light;
// with dark, the dark parts as well.
func lowParts(want curve.Curve, breaks []float64, light float64, dark bool) []span {
	var out []span
	for i := 1; i < len(breaks); i++ {
		from, to := breaks[i-1], breaks[i]
		y := want.At((from + to) / 2)
		if to-from < 1e-6 || y >= light || y <= 0 && !dark {
			continue
		}
		if n := len(out); n > 0 && out[n-1].to == from {
			out[n-1].to = to
		} else {
			out = append(out, span{from, to})
		}
	}
	return out
}

// joinOverMidnight takes a last part that runs to midnight and a first that
// runs from it as one, which then ends after 86400.
func joinOverMidnight(parts []span) []span {
	n := len(parts)
	if n < 2 || parts[0].from > 0 || parts[n-1].to < curve.Day {
		return parts
	}
	out := slices.Clone(parts[1:])
	out[n-2].to += parts[0].to
	return out
}

// sameDose is how a lamp that is dark or at one light gives the dose of a part
// of the curve below that light. The lamp is on next to what is lit around the
// part; with dark on both sides it is on about the middle of the dose, with
// light on both sides it is off about the middle of what is too much.
func sameDose(want curve.Curve, part span, light float64) []forced {
	asked, moment, spare := 0.0, 0.0, 0.0
	const n = 512
	h := part.length() / n
	for k := range n { // only where on is centred comes from this sum
		t := part.from + (float64(k)+0.5)*h
		y := want.At(t)
		moment += t * y
		spare += t * (light - y)
		asked += y
	}
	dose := ringIntegral(want, part)
	on := min(math.Round(dose/light*1000)/1000, part.length()) // s; to the millisecond
	litBefore, litAfter := want.Before(wrap(part.from)) >= light/2, want.At(wrap(part.to)) >= light/2
	if part.length() >= curve.Day {
		litBefore, litAfter = false, false
	}
	lit := span{part.from, part.from + on}
	switch {
	case litBefore && litAfter:
		off := part.length() - on
		gap := centred(spare/(n*light-asked), off, part)
		return folded([]forced{{span{part.from, gap.from}, light}, {gap, 0}, {span{gap.to, part.to}, light}})
	case litAfter:
		lit = span{part.to - on, part.to}
	case !litBefore:
		lit = centred(moment/asked, on, part)
	}
	return folded([]forced{{span{part.from, lit.from}, 0}, {lit, light}, {span{lit.to, part.to}, 0}})
}

// centred is a span of a length about a time, moved to lie inside the part.
func centred(middle, length float64, part span) span {
	from := math.Round(min(max(middle-length/2, part.from), part.to-length)*1000) / 1000
	return span{from, from + length}
}

func wrap(t float64) float64 { return math.Mod(t+curve.Day, curve.Day) }

func ringIntegral(want curve.Curve, s span) float64 {
	if s.to <= curve.Day {
		return want.Integral(s.from, s.to)
	}
	return want.Integral(s.from, curve.Day) + want.Integral(0, s.to-curve.Day)
}

// folded brings parts back into one day and drops empty ones.
func folded(parts []forced) []forced {
	var out []forced
	add := func(from, to, light float64) {
		if to-from > 1e-6 {
			out = append(out, forced{span{from, to}, light})
		}
	}
	for _, f := range parts {
		add(f.from, min(f.to, curve.Day), f.light)
		add(max(f.from, curve.Day)-curve.Day, f.to-curve.Day, f.light)
	}
	return out
}
