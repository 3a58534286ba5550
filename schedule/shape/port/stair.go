package port

import (
	"math"
	"slices"
)

// Stair is what a controller that moves on its step only, at whole seconds, makes of
// points: points that are each held until the next, the last over midnight.
func (p Port) Stair(points []Point) []Point {
	var out []Point
	add := func(second, command float64) { out = append(out, Point{math.Round(second), command}) }
	for i, q := range points {
		next := points[(i+1)%len(points)]
		if i+1 == len(points) {
			next.Time += Day
		}
		if p.Hold || q.Command == next.Command {
			add(q.Time, q.Command)
			continue
		}
		add(q.Time, p.level(p.snap(q.Command)))
		p.climb(q, next, add)
	}
	return tidy(out)
}

// edge is the command at which a ramp goes over between levels n and n+1, by the first
// of the port's lamps.
func (p Port) edge(n int) float64 {
	a, b := p.level(n), p.level(n+1)
	share := 0.5
	if len(p.Lamps) > 0 {
		r := p.Lamps[0].Response
		if f, g := r.Fraction(a), r.Fraction(b); g-f > 1e-12 {
			share = min(max((g-r.MeanBetween(a, b))/(g-f), 0), 1)
		}
	}
	return min(a+share*(b-a), b)
}

// snap is the level that a command on a ramp shows as.
func (p Port) snap(command float64) int {
	n := int(math.Floor((command - p.Range[0]) / p.step()))
	if command >= p.edge(n) {
		n++
	}
	return n
}

// climb adds the steps of a ramp from one point to the next.
func (p Port) climb(from, to Point, add func(second, command float64)) {
	n, end := p.snap(from.Command), p.snap(to.Command)
	up := 1
	if end < n {
		up = -1
	}
	for ; n != end; n += up {
		edge := p.edge(min(n, n+up))
		share := (edge - from.Command) / (to.Command - from.Command)
		add(from.Time+min(max(share, 0), 1)*(to.Time-from.Time), p.level(n+up))
	}
}

// tidy brings steps into one day: what ran past midnight goes to its start, of several
// in a second the last stays, and what changes nothing goes.
func tidy(s []Point) []Point {
	if cut := slices.IndexFunc(s, func(r Point) bool { return r.Time >= Day }); cut >= 0 {
		var early []Point
		for _, r := range s[cut:] {
			early = append(early, Point{r.Time - Day, r.Command})
		}
		s = append(early, s[:cut]...)
	}
	var out []Point
	for i, r := range s {
		if i+1 < len(s) && s[i+1].Time == r.Time {
			continue
		}
		if n := len(out); n > 0 && out[n-1].Command == r.Command {
			continue
		}
		out = append(out, r)
	}
	if n := len(out); n > 1 && out[n-1].Command == out[0].Command {
		out = out[1:] // the last is held over midnight anyway
	}
	return out
}
