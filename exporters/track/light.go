package track

import (
	"math"
	"slices"
	"sort"
)

// Points is a copy of the points.
func (tr Track) Points() []Point { return slices.Clone(tr.points) }

// Hold reports whether commands are held between points.
func (tr Track) Hold() bool { return tr.hold }

// find is the move that holds the time t, 0 ≤ t < Day: at a boundary the later
// one, or with before the earlier one.
func (tr Track) find(t float64, before bool) move {
	i := sort.Search(len(tr.moves), func(i int) bool {
		return tr.moves[i].to > t || before && tr.moves[i].to == t
	})
	return tr.moves[min(i, len(tr.moves)-1)]
}

func wrap(t float64) float64 {
	t = math.Mod(t, Day)
	if t < 0 {
		t += Day
	}
	return t
}

// Command is what the port shows at t seconds after midnight; t wraps at the
// day's end.
func (tr Track) Command(t float64) float64 {
	t = wrap(t)
	return tr.find(t, false).command(t)
}

// Light is the light fraction at t seconds after midnight, at a jump the one
// that follows; t wraps at the day's end.
func (tr Track) Light(t float64) float64 {
	t = wrap(t)
	return tr.within(tr.find(t, false), t)
}

// LightBefore is the limit of the light fraction as t is reached from earlier
// times. Midnight looks at the day's end.
func (tr Track) LightBefore(t float64) float64 {
	if t = wrap(t); t == 0 {
		t = Day
	}
	return tr.within(tr.find(t, true), t)
}

// step is the least change of light that is taken for a jump.
const step = 1e-7

// within is the light at t as seen from inside the move: at its ends a command a
// hair inside tells on which side of a step of the response the move lies.
func (tr Track) within(m move, t float64) float64 {
	c := m.command(t)
	y := tr.response.Fraction(c)
	if m.c0 == m.c1 || c != m.c0 && c != m.c1 {
		return y
	}
	hair := min(1e-9*math.Abs(m.c1-m.c0)+1e-15*math.Abs(c), math.Abs(m.c1-m.c0)/2)
	if (c == m.c0) == (m.c1 < m.c0) {
		hair = -hair
	}
	if inside := tr.response.Fraction(c + hair); math.Abs(inside-y) > step {
		return inside
	}
	return y
}

// Integral is ∫ light dt from a to b, 0 ≤ a ≤ b ≤ 86400: seconds of full light,
// in closed form.
func (tr Track) Integral(a, b float64) float64 {
	first := sort.Search(len(tr.moves), func(i int) bool { return tr.moves[i].to > a })
	sum := 0.0
	for _, m := range tr.moves[first:] {
		from, to := max(a, m.from), min(b, m.to)
		if to <= from {
			break
		}
		sum += tr.response.MeanBetween(m.command(from), m.command(to)) * (to - from)
	}
	return sum
}

// Dose is the integral over the whole day: seconds of full light.
func (tr Track) Dose() float64 { return tr.Integral(0, Day) }

// Breaks are the rising times, 0 and 86400 included, between which the light is
// smooth: it can have a kink or a jump at these times and at no others.
func (tr Track) Breaks() []float64 {
	out := []float64{0}
	for _, m := range tr.moves {
		if m.to > out[len(out)-1] {
			out = append(out, m.to)
		}
	}
	return out
}

// Max is the greatest light fraction of the day and the time of the first point
// next to which it is given: more command never gives less light, so it is at a
// point. Light that a ramp only touches for an instant, at its turn, does not count.
func (tr Track) Max() (light, at float64) {
	light = math.Inf(-1)
	for _, p := range tr.points {
		if y := max(tr.Light(p.Time), tr.LightBefore(p.Time)); y > light {
			light, at = y, p.Time
		}
	}
	return light, at
}
