package proof

import (
	"math"
	"slices"

	"dayloom/exporters/departure"
	"dayloom/schedule/curve"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

// Between neighbouring breaks of curve and track both are smooth, so looking at
// this many places in each stretch finds extremes to well under what a step of
// any command is worth.
const looks = 16

// hair is how far before a break the limit from before is looked for, s: far enough
// for the rounding of times that go from one clock to another.
const hair = 1e-6

// times lists the seconds of the plan's day in a run at which to look: the breaks
// of the outputs named and those given, with places between.
func (pl player) times(r run, outputs []int, breaks []float64) []float64 {
	length := r.to - r.from
	at := []float64{r.day, r.day + length}
	for _, k := range outputs {
		for _, b := range pl.lamps[r.table][k].Breaks() {
			at = append(at, r.day+b-r.from)
		}
	}
	at = append(at, breaks...)
	slices.Sort(at)
	at = slices.Compact(slices.DeleteFunc(at, func(s float64) bool { return s < r.day || s > r.day+length }))
	var out []float64
	for i := 0; i+1 < len(at); i++ {
		for n := range looks {
			out = append(out, at[i]+(at[i+1]-at[i])*float64(n)/looks)
		}
		out = append(out, at[i+1]-min(hair, (at[i+1]-at[i])/2)) // the limit from before
	}
	return out
}

// peak is the greatest sum of full·light over the day.
func (pl player) peak(got []channelPlay, full []float64) float64 {
	best := 0.0
	var all []int
	for _, g := range got {
		all = append(all, g.outputs...)
	}
	for _, r := range pl.runs {
		for _, s := range pl.times(r, all, nil) {
			sum := 0.0
			for i, g := range got {
				for _, k := range g.outputs {
					sum += full[i] * pl.light(k, r, s) / float64(len(g.outputs))
				}
			}
			best = max(best, sum)
		}
	}
	return best
}

// usualTimeStep is the time step, s, of a port that the plan does not have.
const usualTimeStep = 60

// norm is what the clock of an output's port allows it at jumps of what is asked.
func (o output) norm(p *plan.Plan) departure.Norm {
	n := departure.Norm{Step: usualTimeStep, Hold: o.port.Hold}
	for _, q := range p.Ports() {
		if q.Ref() == o.port.Ref() && q.TimeStep > 0 {
			n.Step = q.TimeStep
		}
	}
	return n
}

func (pl player) port(k int, p *plan.Plan, want day.Channel) Port {
	o := pl.outputs[k]
	t := pl.file.Tables[pl.runs[0].table]
	out := Port{Controller: o.port.Controller, Name: o.port.Name, Channel: o.channel(), Points: len(t.Ports[t.Port(o.port.Ref())].Points),
		AskedS: want.DoseS, DeliveredS: pl.dose(k)}
	for _, r := range pl.runs {
		ahead := r.from - r.day // of the controller's clock
		s := o.norm(p).Greatest(want.Curve.Shift(ahead), pl.lamps[r.table][k], r.from, r.to)
		if s.High > out.Greatest {
			out.Greatest, out.GreatestAtS = s.High, math.Mod(s.At-ahead+curve.Day, curve.Day)
		}
	}
	return out
}
