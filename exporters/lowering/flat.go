package lowering

import (
	"math"

	"dayloom/schedule/curve"
	"dayloom/schedule/port"
)

// flat lowers a curve that only has level parts, such as moonlight or a switch,
// without a search: each level goes to the rung whose light is nearest, each change
// to a point, or on a ramp to two points one time step apart. No track departs less,
// since at its own points any track stands on some rung, and none does with fewer
// points unless levels round to one. Where that misses the dose and one part of the
// day is lit, the part is shared out between the two rungs around its level; any held
// track with the dose has to leave the nearest rung somewhere, so none departs less
// either. A ramp could, by at most the difference of two rungs, if it let the night
// glimmer for the dose; here the night is dark.
// It reports false, and leaves the curve to the search, when changes are not on the
// grid of times, points are too many or the dose is missed all the same.
func flat(a target, r *ladder, l Limits) ([]port.Point, bool) {
	if a.cut || a.want.Dark() {
		return nil, false
	}
	times, rungs, ok := levels(a, r, l.TimeStep)
	if !ok {
		return nil, false
	}
	if points, ok := changes(times, rungs, r, l); ok && fits(points, a, l) {
		return points, true
	}
	return shared(times, rungs, a, r, l)
}

// fits says whether points are few enough and keep the dose.
func fits(points []port.Point, a target, l Limits) bool {
	dose := a.want.Dose()
	return len(points) <= l.MaxPoints && math.Abs(doseOf(points, l)-dose) <= l.DoseTolerance*dose
}

// doseOf is infinite for points that cannot be played.
func doseOf(points []port.Point, l Limits) float64 {
	played, err := l.Track(points)
	if err != nil {
		return math.Inf(1)
	}
	return played.Dose()
}

// shared lowers a day with one lit part, on the nearest rung there, to the rungs on
// both sides of its level: the brighter one first, for as many time steps as come
// nearest to the dose.
func shared(times []float64, rungs []int, a target, r *ladder, l Limits) ([]port.Point, bool) {
	if len(a.forced) > 0 || len(a.low) > 0 {
		return nil, false
	}
	from, to, rung := 0.0, 0.0, 0
	for i, t := range times {
		switch last := rungs[(i+len(rungs)-1)%len(rungs)]; {
		case rungs[i] == last:
		case last == 0 && rung == 0:
			from, rung = t, rungs[i]
		case rungs[i] == 0 && last != 0:
			to = t
		default:
			return nil, false // more than one lit part or level
		}
	}
	level := a.at(from)
	if rung == 0 || !r.dark || to == from {
		return nil, false
	}
	bright := rung
	if r.light(rung) < level {
		bright++
	}
	if bright > r.top || bright-1 < r.lit {
		return nil, false
	}
	steps := int(math.Round(wrapUp(to-from) / l.TimeStep))
	at := func(n int) ([]port.Point, bool) { // n time steps on the brighter rung
		times, rungs := inOrder([]float64{from, wrap(from + float64(n)*l.TimeStep), to}, []int{bright, bright - 1, 0})
		return changes(times, rungs, r, l)
	}
	lo, hi := 1, steps-1
	for hi-lo > 1 { // the dose rises with n
		m := (lo + hi) / 2
		if points, ok := at(m); ok && doseOf(points, l) < a.want.Dose() {
			lo = m
		} else {
			hi = m
		}
	}
	best, ok := at(lo)
	if next, okNext := at(hi); okNext && (!ok || math.Abs(doseOf(next, l)-a.want.Dose()) < math.Abs(doseOf(best, l)-a.want.Dose())) {
		best, ok = next, true
	}
	return best, ok && fits(best, a, l)
}

// inOrder sorts times with their rungs.
func inOrder(times []float64, rungs []int) ([]float64, []int) {
	for i := 1; i < len(times); i++ {
		for k := i; k > 0 && times[k] < times[k-1]; k-- {
			times[k], times[k-1] = times[k-1], times[k]
			rungs[k], rungs[k-1] = rungs[k-1], rungs[k]
		}
	}
	return times, rungs
}

// levels lists the times, on the grid, from which each level of the target holds, and
// the rung nearest to it. Where the target switches below the cut-in, which it may do
// anywhere within a time step, the nearest time of the grid is as right.
func levels(a target, r *ladder, step float64) (times []float64, rungs []int, ok bool) {
	for _, p := range a.want.Pieces() {
		if p.U0 != p.U1 {
			return nil, nil, false
		}
	}
	for _, t := range a.breaks[:len(a.breaks)-1] {
		light := a.at(t)
		if light > a.roof || light < a.floor {
			return nil, nil, false
		}
		n := math.Round(t / step)
		if math.Abs(t/step-n) > 1e-6 && !a.switches(t) {
			return nil, nil, false
		}
		t = wrap(n * step)
		if k := len(times); k > 0 && t <= times[k-1] {
			return nil, nil, false // two changes in one time step
		}
		times, rungs = append(times, t), append(rungs, r.nearest(light))
	}
	return times, rungs, true
}

// switches says whether the target is switched at a time to keep a dose.
func (a target) switches(t float64) bool {
	for _, f := range a.forced {
		if math.Abs(f.from-t) < 1e-6 || math.Abs(f.to-t) < 1e-6 {
			return true
		}
	}
	return false
}

// nearest is the rung whose light is nearest to a light, the lower of two. Rungs that
// are dark count as one, at the foot.
func (r *ladder) nearest(light float64) int {
	best := 0
	lo, hi := r.lit, r.top
	for lo < hi { // light rises with the rung
		if m := (lo + hi) / 2; r.light(m) < light {
			lo = m + 1
		} else {
			hi = m
		}
	}
	for _, rung := range []int{lo - 1, lo} {
		if rung >= r.lit && math.Abs(r.light(rung)-light) < math.Abs(r.light(best)-light) {
			best = rung
		}
	}
	return best
}

// changes makes points where the rung changes; midnight is no change when the same
// rung holds on both sides.
func changes(times []float64, rungs []int, r *ladder, l Limits) (points []port.Point, ok bool) {
	n := len(times)
	for i, t := range times {
		last := rungs[(i+n-1)%n]
		if rungs[i] == last {
			continue
		}
		if !l.Hold {
			before := wrap(t - l.TimeStep)
			points = append(points, port.Point{Time: before, Command: r.command(last)})
		}
		points = append(points, port.Point{Time: t, Command: r.command(rungs[i])})
	}
	if points == nil {
		return []port.Point{{Time: 0, Command: r.command(rungs[0])}}, true
	}
	if !l.Hold && points[0].Time > points[1].Time { // the ramp to midnight's change begins the day before
		points = append(points[1:], points[0])
	}
	for i := 1; i < len(points); i++ {
		if points[i].Time <= points[i-1].Time {
			return nil, false // two changes within one time step
		}
	}
	return points, len(points) == 1 || points[len(points)-1].Time < curve.Day
}
