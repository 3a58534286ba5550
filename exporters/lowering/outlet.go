package lowering

import (
	"cmp"
	"math"
	"slices"

	"dayloom/exporters/track"
	"dayloom/schedule/curve"
)

// light is what a lamp gives over a day.
type light interface {
	Light(t float64) float64
	LightBefore(t float64) float64
	Integral(from, to float64) float64
	Breaks() []float64
}

// gated is the light of a port whose supply an outlet cuts: the product of both.
type gated struct{ port, outlet track.Track }

func (g gated) Light(t float64) float64       { return g.port.Light(t) * g.outlet.Light(t) }
func (g gated) LightBefore(t float64) float64 { return g.port.LightBefore(t) * g.outlet.LightBefore(t) }

func (g gated) Breaks() []float64 {
	return tidy(slices.Concat(g.port.Breaks(), g.outlet.Breaks()))
}

func (g gated) Integral(from, to float64) float64 {
	sum, bs := 0.0, g.outlet.Breaks()
	for i := 1; i < len(bs); i++ {
		if a, b := max(from, bs[i-1]), min(to, bs[i]); b > a && g.outlet.Light((a+b)/2) > 0 {
			sum += g.port.Integral(a, b)
		}
	}
	return sum
}

// outlet is when the outlet of a port is on: while the target is lit, to the
// nearest time step. Times too short for a step are left out.
func (a target) outlet(step float64) []track.Point {
	type turn struct {
		slot int
		on   float64
	}
	slots := int(math.Floor(curve.Day/step + 1e-9))
	var turns []turn
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		on := 0.0
		if a.at((from+to)/2) > 0 {
			on = 1
		}
		if slot := int(math.Round(from / step)); slot < slots {
			turns = append(turns, turn{slot, on})
		}
	}
	slices.SortStableFunc(turns, func(p, q turn) int { return cmp.Compare(p.slot, q.slot) })
	var out []track.Point
	for i, t := range turns {
		if i+1 < len(turns) && turns[i+1].slot == t.slot {
			continue // the last word of a slot counts
		}
		if n := len(out); n == 0 || out[n-1].Command != t.on {
			out = append(out, track.Point{Time: float64(t.slot) * step, Command: t.on})
		}
	}
	if n := len(out); n > 1 && out[0].Command == out[n-1].Command {
		out = out[1:] // it is so already over midnight
	}
	return out
}

// played is the light of a port with its points, through its outlet if it has one.
func (a target) played(points []track.Point, l Limits) (light, error) {
	port, err := l.Track(points)
	if err != nil || !a.cut {
		return port, err
	}
	outlet, err := Limits{Switch: true}.Track(a.outlet(l.TimeStep))
	return gated{port, outlet}, err
}

// offSeconds is how long an outlet is off in a day.
func offSeconds(points []track.Point) float64 {
	tr, err := Limits{Switch: true}.Track(points)
	if err != nil {
		return 0
	}
	return curve.Day - tr.Dose()
}
