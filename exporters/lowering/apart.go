package lowering

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// slack is how far the dose of one lit stretch may be off. Moonlight is judged within 10 %.
const slack = 0.08

// fewestApart and mostApart are how many points a stretch may be given for itself.
const fewestApart, mostApart = 3, 8

// Apart is Lower for a day of several lit stretches with dark between them, such as daylight and
// moonlight. Lower keeps the dose of the whole day, in which that of a faint stretch is lost: on coarse
// steps its light may be off by half. Where it is off by more than 8 %, the stretch gets points of its
// own, up to eight, and the rest of the day what is left of them, so that the greatest departure of the
// day is the least of those tried; it is not proven to be the least there is. If no such points
// are found, or they lose the dose of the day, the result is Lower's. It calls lower in place of Lower, which
// may remember what it gave before: the days of a year have daylight in common.
func Apart(want curve.Curve, limits Limits, lower func(curve.Curve, Limits) Result) Result {
	limits = limits.whole()
	whole := lower(want, limits)
	a := newTarget(want, newLadder(limits), limits)
	cuts := a.cuts()
	if len(cuts) < 2 {
		return whole
	}
	worst, off := a.furthest(whole, limits, cuts)
	if off <= slack {
		return whole
	}
	own, rest := a.stretch(cuts, worst), a.stretch(cuts, -1-worst)
	best, found := whole, false
	limits.Exact = false // it is asked of the whole day, whose bound this keeps
	for n := fewestApart; n <= min(mostApart, limits.MaxPoints-fewestApart); n++ {
		l := limits
		l.MaxPoints, l.DoseTolerance = n, slack/2
		faint := lower(own, l)
		if math.Abs(faint.DoseDelivered-faint.DoseAsked) > slack*faint.DoseAsked {
			continue
		}
		l.MaxPoints, l.DoseTolerance = limits.MaxPoints-n, limits.DoseTolerance
		day := lower(rest, l)
		if found && day.Greatest >= best.Greatest {
			break // with fewer points left it comes no nearer
		}
		r, ok := a.joined(faint, day, limits)
		if _, now := a.furthest(r, limits, cuts); ok && now <= slack && a.keeps(r, whole, limits) && (!found || r.Greatest < best.Greatest) {
			best, found = r, true
		}
	}
	best.Bound = whole.Bound
	return best
}

// cuts are the middles of the dark parts, rising.
func (a target) cuts() (out []float64) {
	for _, d := range a.dark {
		out = append(out, wrap((d.from+d.to)/2))
	}
	slices.Sort(out)
	return out
}

// between is what lies from the k-th cut to the next, over midnight for the last.
func between(cuts []float64, k int) (spans []span) {
	if k+1 < len(cuts) {
		return []span{{cuts[k], cuts[k+1]}}
	}
	return []span{{cuts[k], curve.Day}, {0, cuts[0]}}
}

// stretch is the light asked from the k-th cut to the next; of -1-k, that of all others.
func (a target) stretch(cuts []float64, k int) curve.Curve {
	var parts []curve.Curve
	for i := range cuts {
		if i == k || k < 0 && i != -1-k {
			for _, s := range between(cuts, i) {
				parts = append(parts, a.Between(s.from, s.to))
			}
		}
	}
	return curve.Sum(parts...)
}

// furthest is the stretch whose dose is furthest off, as a share of it.
func (a target) furthest(r Result, l Limits, cuts []float64) (worst int, off float64) {
	played, err := a.played(r.Points, l)
	if err != nil {
		return 0, 0
	}
	for k := range cuts {
		asked, given := 0.0, 0.0
		for _, s := range between(cuts, k) {
			asked += a.Integral(s.from, s.to)
			given += played.Integral(s.from, s.to)
		}
		if d := math.Abs(given-asked) / asked; asked > 0 && d > off {
			worst, off = k, d
		}
	}
	return worst, off
}

// joined is the day of the points of two of its parts.
func (a target) joined(b, c Result, l Limits) (Result, bool) {
	points := slices.Concat(b.Points, c.Points)
	slices.SortFunc(points, func(p, q port.Point) int { return cmp.Compare(p.Time, q.Time) })
	for i := 1; i < len(points); i++ {
		if points[i].Time == points[i-1].Time {
			return Result{}, false
		}
	}
	if first, last := points[0], points[len(points)-1]; first.Time == 0 && first.Command != last.Command && !l.Hold {
		return Result{}, false // the next date may have another table, whose light does not jump at midnight
	}
	played, err := a.played(points, l)
	if err != nil || len(points) > l.MaxPoints {
		return Result{}, false
	}
	got := a.norm.Greatest(a, played, 0, curve.Day)
	return report(a, l, answer{points: points, got: got}), true
}

// keeps reports whether a result has the dose of the day, or comes as near to it as another.
func (a target) keeps(r, other Result, l Limits) bool {
	off := func(r Result) float64 { return math.Abs(r.DoseDelivered - r.DoseAsked) }
	return off(r) <= max(l.DoseTolerance*r.DoseAsked, off(other))
}
