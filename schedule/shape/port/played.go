package port

import (
	"math"
	"sort"

	"dayloom/photon/dimmer"
)

// litMove is a move with no kink or step of the light inside.
type litMove struct {
	move
	lit bool
}

// Played is the light of one lamp over a day. Values at a jump: At is the limit from
// later times, Before from earlier ones. Steps of the response below 1e-7 of full
// light are not told apart.
type Played struct {
	response dimmer.Response
	moves    []litMove // in order, without gaps from 0 to Day
}

// Dark is no light all day.
func Dark() Played { return Played{moves: []litMove{{move: Steady(0).moves[0]}}} }

// find is the move that holds the time t, 0 ≤ t ≤ Day: at a boundary the later one, or
// with before the earlier one.
func (p Played) find(t float64, before bool) litMove {
	i := sort.Search(len(p.moves), func(i int) bool {
		return p.moves[i].to > t || before && p.moves[i].to == t
	})
	return p.moves[min(i, len(p.moves)-1)]
}

// At is the light fraction at t seconds after midnight, at a jump the one that
// follows; t wraps at the day's end.
func (p Played) At(t float64) float64 {
	t = wrap(t)
	return p.within(p.find(t, false), t)
}

// Before is the limit of the light fraction as t is reached from earlier times.
// Midnight looks at the day's end.
func (p Played) Before(t float64) float64 {
	if t = wrap(t); t == 0 {
		t = Day
	}
	return p.within(p.find(t, true), t)
}

// jump is the least change of light that is taken for one.
const jump = 1e-7

// within is the light at t as seen from inside the move: at its ends a command a hair
// inside tells on which side of a step of the response the move lies.
func (p Played) within(m litMove, t float64) float64 {
	if !m.lit {
		return 0
	}
	c := m.command(t)
	y := p.response.Fraction(c)
	if m.c0 == m.c1 || c != m.c0 && c != m.c1 {
		return y
	}
	hair := min(1e-9*math.Abs(m.c1-m.c0)+1e-15*math.Abs(c), math.Abs(m.c1-m.c0)/2)
	if (c == m.c0) == (m.c1 < m.c0) {
		hair = -hair
	}
	if inside := p.response.Fraction(c + hair); math.Abs(inside-y) > jump {
		return inside
	}
	return y
}

// Integral is ∫ light dt from a to b, 0 ≤ a ≤ b ≤ 86400: seconds of full light, in
// closed form.
func (p Played) Integral(a, b float64) float64 {
	first := sort.Search(len(p.moves), func(i int) bool { return p.moves[i].to > a })
	sum := 0.0
	for _, m := range p.moves[first:] {
		from, to := max(a, m.from), min(b, m.to)
		if to <= from {
			break
		}
		if m.lit {
			sum += p.response.MeanBetween(m.command(from), m.command(to)) * (to - from)
		}
	}
	return sum
}

// Dose is the integral over the whole day: seconds of full light.
func (p Played) Dose() float64 { return p.Integral(0, Day) }

// Breaks are the rising times, 0 and 86400 included, between which the light is smooth
// and monotone: it can have a kink or a jump at these times and at no others.
func (p Played) Breaks() []float64 {
	out := []float64{0}
	for _, m := range p.moves {
		if m.to > out[len(out)-1] {
			out = append(out, m.to)
		}
	}
	return out
}

// Bend is no less than |d²y/dt²| anywhere between two neighbouring breaks, in s⁻².
func (p Played) Bend(from, to float64) float64 {
	m := p.find((from+to)/2, false)
	if !m.lit || m.c0 == m.c1 {
		return 0
	}
	slope := (m.c1 - m.c0) / (m.to - m.from)
	return p.response.Bend(m.c0, m.c1) * slope * slope
}

// Max is the greatest light fraction of the day and the first time at which it is given
// or, at a jump, approached. Light that is only touched for an instant, at the turn of a
// ramp, does not count.
func (p Played) Max() (light, at float64) {
	light = math.Inf(-1)
	for _, m := range p.moves {
		for _, t := range [2]float64{m.from, m.to} {
			if y := p.within(m, t); y > light {
				light, at = y, wrap(t)
			}
		}
	}
	return light, at
}
