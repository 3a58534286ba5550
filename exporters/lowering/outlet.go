package lowering

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// outlet is when the outlet of a port is on: while the target is lit, to the
// nearest time step. Times too short for a step are left out.
func (a target) outlet(step float64) []port.Point {
	type turn struct {
		slot int
		on   float64
	}
	slots := int(math.Floor(curve.Day/step + 1e-9))
	var turns []turn
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		on := 0.0
		if a.At((from+to)/2) > 0 {
			on = 1
		}
		if slot := int(math.Round(from / step)); slot < slots {
			turns = append(turns, turn{slot, on})
		}
	}
	slices.SortStableFunc(turns, func(p, q turn) int { return cmp.Compare(p.slot, q.slot) })
	var out []port.Point
	for i, t := range turns {
		if i+1 < len(turns) && turns[i+1].slot == t.slot {
			continue // the last word of a slot counts
		}
		if n := len(out); n == 0 || out[n-1].Command != t.on {
			out = append(out, port.Point{Time: float64(t.slot) * step, Command: t.on})
		}
	}
	if n := len(out); n > 1 && out[0].Command == out[n-1].Command {
		out = out[1:] // it is so already over midnight
	}
	return out
}

// played is the light of a port with its points, through its outlet if it has one.
func (a target) played(points []port.Point, l Limits) (port.Played, error) {
	if a.cut == 0 {
		return l.played(points, nil)
	}
	return l.played(points, a.outlet(l.TimeStep))
}

// offSeconds is how long an outlet is off in a day.
func offSeconds(points []port.Point) float64 {
	tr, err := Limits{Switch: true}.Track(points)
	if err != nil {
		return 0
	}
	return curve.Day - tr.Dose()
}
