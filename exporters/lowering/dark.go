package lowering

import (
	"slices"

	"dayloom/schedule/shape/curve"
)

// darkLong is how long, s, the day has to be dark for the command to be the bottom of the
// range.
const darkLong = 600

// darkParts is where the day is dark, or as dark as the port can be, for ten minutes
// and two time steps or more; the time step in which the light jumps there is not part of it.
func (a target) darkParts() []span {
	var parts []span
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		if a.At((from+to)/2) > a.floor+1e-9 || !a.level(from, to) {
			continue
		}
		if n := len(parts); n > 0 && parts[n-1].to == from {
			parts[n-1].to = to
		} else {
			parts = append(parts, span{from, to})
		}
	}
	if n := len(parts); n > 1 && parts[0].from == 0 && parts[n-1].to == curve.Day { // over midnight
		parts[n-1].to += parts[0].to
		parts = parts[1:]
	}
	var out []span
	for _, p := range parts {
		if p.length() < max(darkLong, 2*a.norm.Step)-1e-6 {
			continue
		}
		from, to := 0.0, 0.0 // what jumps at an end does so in a time step
		for _, j := range a.jumps {
			if p.length() < curve.Day && j.Length > 0 {
				if ahead := wrap(j.From + j.Length - p.from + 1e-6); same(j.At, p.from) {
					from = ahead
				}
				if back := wrap(p.to - j.From + 1e-6); same(j.At, p.to) {
					to = back
				}
			}
		}
		out = append(out, span{p.from + max(from-1e-6, 0), p.to - max(to-1e-6, 0)})
	}
	return out
}

// same reports whether two times of the day are one.
func same(t, u float64) bool { return wrap(t-u+1e-6) < 2e-6 }

// bottom reports whether the command at t is the bottom of the range. At the ends of a
// dark part what is held may change, a ramp has arrived or begins.
func (a target) bottom(t float64) bool {
	hair := 1e-6
	if a.norm.Hold {
		hair = -1e-6
	}
	return slices.ContainsFunc(a.dark, func(s span) bool {
		inside := func(t float64) bool { return s.from-hair <= t && t <= s.to+hair }
		return inside(t) || inside(t+curve.Day) || s.length() >= curve.Day
	})
}

// lit is how long the day is not dark, s.
func (a target) lit() float64 {
	sum := curve.Day
	for _, d := range a.dark {
		sum -= d.length()
	}
	return sum
}

// longest is the longest dark part.
func (a target) longest() (longest span, ok bool) {
	for _, d := range a.dark {
		if d.length() > longest.length() {
			longest, ok = d, true
		}
	}
	return longest, ok
}
