package lowering

import (
	"math"
	"slices"

	"dayloom/schedule/curve"
)

// span is a part of the day, from ≤ to, not over midnight.
type span struct{ from, to float64 }

func (s span) length() float64 { return s.to - s.from }

// forced is a part of the day where the target is a light of its own.
type forced struct {
	span
	light float64
}

// jump is a step of the target at a time, in the time step that runs for so long
// from from on: the one before it when it falls on the grid of times itself.
type jump struct{ at, step, from, length float64 }

// near says that a time is inside the time step of the jump; closed, at its ends
// as well.
func (j jump) near(t float64, closed bool) bool {
	d := wrap(t - j.from + 1e-6)
	if closed {
		return d <= j.length+2e-6
	}
	return d > 2e-6 && d < j.length
}

// other is the light that would be asked at a time near the jump if it came
// earlier, or later, so that the time is on its other side.
func (j jump) other(t, light float64) float64 {
	if wrap(t-j.from+1e-6) < wrapUp(j.at-j.from) {
		return light + j.step
	}
	return light - j.step
}

// target is the light that a port can be asked to follow: the curve, but no
// brighter than the port can be, and below the cut-in dark or at the darkest
// light, switched at the times that keep the dose.
type target struct {
	want    curve.Curve
	floor   float64 // a port that is never dark: its darkest light
	roof    float64
	forced  []forced
	low     []span // where the curve is below the cut-in
	darkest float64
	hold    bool      // the port holds its commands
	cut     bool      // an outlet makes a port dark that cannot be dark itself
	breaks  []float64 // rising, 0 and 86400 included: smooth between them
	jumps   []jump
}

func newTarget(want curve.Curve, r *ladder, l Limits) target {
	a := target{want: want, roof: r.most(), darkest: r.darkest, hold: l.Hold, cut: l.Outlet && !r.dark}
	canBeDark := r.dark || a.cut
	a.breaks = want.Breaks()
	a.breaks = append(a.breaks, crossings(want, a.roof)...)
	if !canBeDark {
		a.floor = r.darkest
	}
	if a.darkest > 0 {
		a.breaks = append(a.breaks, crossings(want, a.darkest)...)
		slices.Sort(a.breaks)
		a.low = lowParts(want, a.breaks, a.darkest, !canBeDark)
		if canBeDark {
			for _, part := range joinOverMidnight(a.low) {
				a.forced = append(a.forced, sameDose(want, part, a.darkest)...)
			}
		}
	}
	for i, f := range a.forced {
		f.span = span{snap(f.from, l.TimeStep), snap(f.to, l.TimeStep)}
		a.forced[i] = f
		a.breaks = append(a.breaks, f.from, f.to)
	}
	a.breaks = tidy(a.breaks)
	for _, t := range a.breaks[:len(a.breaks)-1] {
		before, after := a.before(t), a.at(t)
		onGrid := math.Abs(t-math.Round(t/l.TimeStep)*l.TimeStep) < apart
		if math.Abs(before-after) > 1e-9 && !(l.Hold && onGrid) { // what is held can jump on the grid
			from := (math.Ceil((wrapUp(t)-apart)/l.TimeStep) - 1) * l.TimeStep
			a.jumps = append(a.jumps, jump{t, after - before, from, min(l.TimeStep, curve.Day-from)})
		}
	}
	return a
}

// snap is a time, or the one of the grid when that is all but the same: crossings are
// found to a fraction of a millisecond.
func snap(t, step float64) float64 {
	if near := math.Round(t/step) * step; math.Abs(t-near) < apart {
		return near
	}
	return t
}

// wrapUp takes midnight for the end of the day.
func wrapUp(t float64) float64 {
	if t = wrap(t); t < 1e-6 {
		return t + curve.Day
	}
	return t
}

// tidy sorts times and drops those within a microsecond of another.
func tidy(ts []float64) []float64 {
	slices.Sort(ts)
	return slices.CompactFunc(ts, func(a, b float64) bool { return math.Abs(b-a) < 1e-6 })
}

func (a target) at(t float64) float64 {
	for _, f := range a.forced {
		if f.from <= t && t < f.to {
			return f.light
		}
	}
	return a.within(a.want.At(t))
}

func (a target) before(t float64) float64 {
	if t == 0 {
		t = curve.Day
	}
	for _, f := range a.forced {
		if f.from < t && t <= f.to {
			return f.light
		}
	}
	return a.within(a.want.Before(t))
}

// dose is the day's dose that a port can be asked for: that of the curve, but for
// light out of its reach.
func (a target) dose() float64 {
	sum := a.want.Dose()
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		if y := a.want.At((from + to) / 2); y != a.within(y) {
			sum += a.within(y)*(to-from) - a.want.Integral(from, to)
		}
	}
	return sum
}

func (a target) within(y float64) float64 { return min(max(y, a.floor), a.roof) }

// apart is how near to a jump, s, a sample stands for it.
const apart = 1.1e-3

// band is the lights that are right for the port at t: one, but both and all between them
// within the time step of a jump.
func (a target) band(t float64) (lo, hi float64) {
	before, after := a.before(t), a.at(t)
	b, c := a.before(wrap(t-apart)), a.at(wrap(t+apart))
	jumps := math.Abs(b-c) > 1e-3
	if jumps {
		before, after = b, c
	}
	lo, hi = min(before, after), max(before, after)
	if !a.hold { // a ramp has arrived when the time step of a jump ends; what is held may go on up to it
		lo, hi = after, after
	}
	for _, j := range a.jumps {
		if !j.near(t, a.hold) {
			continue
		}
		z := j.other(t, after)
		if jumps {
			z = before
		}
		lo, hi = min(lo, z, after), max(hi, z, after)
	}
	if a.cut { // the outlet sees to the dark
		lo, hi = max(lo, a.darkest), max(hi, a.darkest)
	}
	return lo, hi
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
	if from == 0 && a.level(a.breaks[len(a.breaks)-2], curve.Day) && a.at(0) == a.before(0) {
		from = a.breaks[len(a.breaks)-2] - curve.Day
	}
	if to == curve.Day && a.level(0, a.breaks[1]) && a.at(0) == a.before(0) {
		to += a.breaks[1]
	}
	steps := math.Floor(min(t-from, to-t) / step)
	every := 1
	for steps >= 32 {
		every, steps = 2*every, steps/2
	}
	return int(math.Round(t/step))%every == 0
}

// level says whether the target is one light between two neighbouring breaks.
func (a target) level(from, to float64) bool {
	mid := (from + to) / 2
	return a.at(from) == a.at(mid) && a.at(mid) == a.before(to)
}
