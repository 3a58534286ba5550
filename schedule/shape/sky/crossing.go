package sky

import (
	"math"
	"slices"
	"time"
)

// Interval is the time from From, included, to To, not included.
type Interval struct{ From, To time.Time }

// step is how densely a height is sampled. Heights have one hump a day, which
// the search for summits and troughs needs to see in three neighbours.
const step = 30 * time.Minute

type sample struct {
	at     time.Time
	height float64
}

// above gives the parts of [from, to) in which height is positive, in order.
// Ends that are crossings are rounded to the second.
func above(height func(time.Time) float64, from, to time.Time) []Interval {
	if !from.Before(to) {
		return nil
	}
	points := samples(height, from, to)
	var up []Interval
	start := from
	add := func(end time.Time) {
		if start.Before(end) {
			up = append(up, Interval{start, end})
		}
	}
	for i, b := range points[1:] {
		a := points[i]
		switch {
		case a.height <= 0 && b.height > 0:
			start = crossing(height, a, b)
		case a.height > 0 && b.height <= 0:
			add(crossing(height, a, b))
		}
	}
	if points[len(points)-1].height > 0 {
		add(to)
	}
	return up
}

// samples takes the height at from, at every step and at to, and where it comes
// nearest to the horizon without a sample beyond it: a short visit to the
// other side would go unseen between two points of one sign.
func samples(height func(time.Time) float64, from, to time.Time) []sample {
	take := func(t time.Time) sample { return sample{t, height(t)} }
	grid := []sample{take(from.Add(-step))} // one point outside each end, to see a turn next to it
	for t := from; t.Before(to); t = t.Add(step) {
		grid = append(grid, take(t))
	}
	grid = append(grid, take(to), take(to.Add(step)))

	points := slices.Clone(grid[1 : len(grid)-1])
	for i := 1; i < len(grid)-1; i++ {
		a, b, c := grid[i-1], grid[i], grid[i+1]
		oneSide := (a.height > 0) == (b.height > 0) && (b.height > 0) == (c.height > 0)
		near := math.Abs(b.height)
		if !oneSide || near > math.Abs(a.height) || near > math.Abs(c.height) {
			continue
		}
		if t := take(nearest(height, a.at, c.at, b.height > 0)); t.at.After(from) && t.at.Before(to) {
			points = append(points, t)
		}
	}
	slices.SortStableFunc(points, func(a, b sample) int { return a.at.Compare(b.at) })
	return points
}

// nearest is the turning point of height between a and b, the lowest one if it
// is up there, else the highest, by cutting off a third at a time.
func nearest(height func(time.Time) float64, a, b time.Time, isUp bool) time.Time {
	for b.Sub(a) > 100*time.Millisecond {
		third := b.Sub(a) / 3
		p, q := a.Add(third), b.Add(-third)
		if (height(p) < height(q)) == isUp {
			b = q
		} else {
			a = p
		}
	}
	return a.Add(b.Sub(a) / 2)
}

// crossing halves the time between a and b, of different sign, down to the
// horizon, and rounds it to the second without leaving the two.
func crossing(height func(time.Time) float64, a, b sample) time.Time {
	lo, hi := a.at, b.at
	for hi.Sub(lo) > 10*time.Millisecond {
		mid := lo.Add(hi.Sub(lo) / 2)
		if (height(mid) > 0) == (a.height > 0) {
			lo = mid
		} else {
			hi = mid
		}
	}
	switch at := hi.Round(time.Second); {
	case at.Before(a.at):
		return a.at
	case at.After(b.at):
		return b.at
	default:
		return at
	}
}
