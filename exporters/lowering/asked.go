package lowering

import (
	"math"
	"slices"

	"dayloom/exporters/departure"
	"dayloom/schedule/shape/curve"
)

// span is a part of the day, from ≤ to; over midnight it ends after 86400.
type span struct{ from, to float64 }

func (s span) length() float64 { return s.to - s.from }

// target is the light that a port is to follow: the curve, but no darker and no brighter
// than the port can be.
type target struct {
	curve.Curve
	floor, roof float64
	cut         float64 // what a port that cannot be dark gives at its bottom while an outlet sees to the dark; 0: no such
	norm        departure.Norm
	breaks      []float64 // rising, 0 and 86400 included: smooth between them
	jumps       []departure.Jump
	dark        []span // where the command is the bottom of the range
}

func newTarget(want curve.Curve, r *ladder, l Limits) target {
	a := target{Curve: want, roof: r.most(), norm: departure.Norm{Step: l.TimeStep, Hold: l.Hold}}
	a.breaks = append(want.Breaks(), crossings(want, a.roof)...)
	switch bottom := r.light(0); {
	case l.Outlet:
		a.cut = bottom
	default:
		a.floor = bottom
		a.breaks = append(a.breaks, crossings(want, a.floor)...)
	}
	a.breaks = tidy(a.breaks)
	a.jumps = a.norm.Jumps(a)
	a.dark = a.darkParts()
	return a
}

// wrap is a time of the day before, the day or the day after as one of the day.
func wrap(t float64) float64 {
	if t >= 0 && t < curve.Day {
		return t // to the last bit: it may be a break
	}
	return math.Mod(t+curve.Day, curve.Day)
}

// tidy sorts times and drops those within a microsecond of another.
func tidy(ts []float64) []float64 {
	slices.Sort(ts)
	return slices.CompactFunc(ts, func(a, b float64) bool { return math.Abs(b-a) < 1e-6 })
}

func (a target) within(y float64) float64 { return min(max(y, a.floor), a.roof) }

// At is the light asked, at a jump the one that follows.
func (a target) At(t float64) float64 { return a.within(a.Curve.At(t)) }

// Before is the light asked just before a time.
func (a target) Before(t float64) float64 { return a.within(a.Curve.Before(t)) }

// Breaks are the times between which the target is smooth.
func (a target) Breaks() []float64 { return a.breaks }

// dose is the day's dose that a port can be asked for: that of the curve, but for
// light out of its reach.
func (a target) dose() float64 {
	sum := a.Curve.Dose()
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		if y := a.Curve.At((from + to) / 2); y != a.within(y) {
			sum += a.within(y)*(to-from) - a.Integral(from, to)
		}
	}
	return sum
}

// crossings are the times at which the curve passes a light without a jump.
func crossings(want curve.Curve, light float64) []float64 {
	var out []float64
	bs := want.Breaks()
	add := func(t float64) {
		if i, _ := slices.BinarySearch(bs, t); t-bs[max(i-1, 0)] > 1e-6 && bs[i]-t > 1e-6 {
			out = append(out, t) // a break itself stays what it is
		}
	}
	for i := 1; i < len(bs); i++ {
		a, b := bs[i-1], bs[i]
		const n = 64 // the curve's pieces are monotone, their sums nearly so
		above := want.At(a) >= light
		for k := 1; k <= n; k++ {
			t := a + (b-a)*float64(k)/n
			if y := want.Before(t); (y >= light) != above {
				add(bisect(want, light, a+(b-a)*float64(k-1)/n, t, above))
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

// level says whether the target is one light between two neighbouring breaks.
func (a target) level(from, to float64) bool {
	mid := (from + to) / 2
	return a.At(from) == a.At(mid) && a.At(mid) == a.Before(to)
}

// band is a range of light fractions.
type band struct{ lo, hi float64 }

// bands are the lights that are right just before a time and just after it: one, but
// within the time step of a jump both of its sides and all between.
func (a target) bands(t float64) (before, after band) {
	y, z := a.Before(t), a.At(t)
	before, after = band{y, y}, band{z, z}
	for _, j := range a.jumps {
		d := wrap(t - j.From + 1e-6)
		if j.Length == 0 || d > j.Length+2e-6 {
			continue
		}
		if d > 2e-6 {
			before.take(j)
		}
		if d < j.Length {
			after.take(j)
		}
	}
	for _, b := range []*band{&before, &after} { // the outlet sees to the dark
		b.lo, b.hi = max(b.lo, a.cut), max(b.hi, a.cut)
	}
	return before, after
}

func (b *band) take(j departure.Jump) {
	b.lo, b.hi = min(b.lo, j.Before, j.After), max(b.hi, j.Before, j.After)
}

// worthwhile says whether a point may be wanted at a time that is a multiple of
// a step. Where the target is level a point matters the less the further it is
// from the level part's ends, so the times there are thinned to a sixteenth of
// that distance.
func (a target) worthwhile(t, step float64) bool {
	i, _ := slices.BinarySearch(a.breaks, t)
	i = min(max(i, 1), len(a.breaks)-1)
	from, to := a.breaks[i-1], a.breaks[i]
	if !a.level(from, to) {
		return true
	}
	over := a.At(0) == a.Before(0)
	if from == 0 && over && a.level(a.breaks[len(a.breaks)-2], curve.Day) {
		from = a.breaks[len(a.breaks)-2] - curve.Day
	}
	if to == curve.Day && over && a.level(0, a.breaks[1]) {
		to += a.breaks[1]
	}
	steps := math.Floor(min(t-from, to-t) / step)
	every := 1
	for steps >= 32 {
		every, steps = 2*every, steps/2
	}
	return int(math.Round(t/step))%every == 0
}
