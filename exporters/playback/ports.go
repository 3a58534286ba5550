package playback

import (
	"math"

	"dayloom/exporters/departure"
	"dayloom/exporters/timetable"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Port is how one lamp of a port follows its channel's curve.
type Port struct {
	Controller, Name, Channel string
	Points                    int
	AskedS, DeliveredS        float64 // s of full light
	Greatest                  float64 // greatest departure in light fraction; at a jump of the curve both sides are right for one time step
	GreatestAtS               float64 // s of the plan's day
	Allowed                   float64 // of the departure that is furthest beyond what is allowed, or nearest to it; +Inf: nothing is claimed
	Beyond                    float64 // by how much it is beyond; at most 0 when the port follows
	BeyondAtS                 float64
}

// Kept reports whether the port's dose is what was asked.
func (p Port) Kept() bool {
	return math.Abs(p.DeliveredS-p.AskedS) <= Allowed*p.AskedS+1e-6
}

// Follows reports whether the light is where it was asked, as nearly as is claimed.
func (p Port) Follows() bool { return p.Beyond <= 1e-6 }

// Claims is the greatest departure that a fresh compilation of a date has for each port,
// for timetables that do not say theirs.
type Claims map[port.Ref]float64

// port holds output k against channel i.
func (pl player) port(k int, a Asked, i int) Port {
	o, want := pl.outputs[k], a.Day.Channels[i]
	out := Port{Controller: o.port.Controller, Name: o.port.Name, Channel: o.channel(), AskedS: want.DoseS, DeliveredS: pl.dose(k), Beyond: math.Inf(-1), Allowed: math.Inf(1)}
	for n, r := range pl.runs {
		t := pl.file.Tables[r.table]
		q := t.Ports[t.Port(o.port.Ref())]
		if n == 0 {
			out.Points = len(q.Points)
		}
		if r.borrowed {
			continue // the neighbouring date has points of its own, which are not in the file
		}
		asked := want.Curve.Shift(r.from - r.day)
		sup := norm(q).Greatest(asked, pl.lamps[r.table][k], r.from, r.to)
		at := sup.At - r.from + r.day
		if sup.High > out.Greatest {
			out.Greatest, out.GreatestAtS = sup.High, at
		}
		claim, ok := a.Claims[q.Ref()]
		if q.Claim != nil {
			claim, ok = *q.Claim, true
		}
		if !ok {
			continue
		}
		if sup.Low <= claim {
			if beyond := sup.Low - claim; beyond > out.Beyond {
				out.Beyond, out.BeyondAtS, out.Allowed = beyond, at, claim
			}
			continue
		}
		out.judge(q, o.lamp, r, asked, pl.lamps[r.table][k], claim)
	}
	return out
}

// judge looks wherever the light is further from the curve than is claimed: by a command step
// of light and the curve's change in one time step it may be.
func (p *Port) judge(q timetable.Port, lamp int, r run, asked curve.Curve, given port.Played, claim float64) {
	n := norm(q)
	jumps := n.Jumps(asked)
	for _, t := range n.Above(asked, given, claim) {
		if t < r.from || t > r.to {
			continue
		}
		off := n.Greatest(asked, given, max(t-nearby, 0), min(t+nearby, port.Day)).Low
		allowed := claim + stepLight(q, lamp, t) + change(asked, jumps, t, n.Step) + departure.Width
		if beyond := off - allowed; beyond > p.Beyond {
			p.Beyond, p.BeyondAtS, p.Allowed = beyond, t-r.from+r.day, allowed
		}
	}
}

// nearby is how far about a time, s, the departure at that time is looked for.
const nearby = 1e-3

// change is how much the curve changes in one time step before or after a time, without its
// jumps, for which a time step is allowed in any case.
func change(asked curve.Curve, jumps []departure.Jump, t, step float64) float64 {
	most := 0.0
	for _, s := range [2]float64{t - step, t} {
		by := math.Abs(asked.At(s+step) - asked.At(s))
		for _, j := range jumps {
			if d := math.Mod(j.At-s+2*port.Day, port.Day); d > 0 && d <= step {
				by -= math.Abs(j.After - j.Before)
			}
		}
		most = max(most, by)
	}
	return most
}

// norm is what the port's clock allows it at jumps.
func norm(q timetable.Port) departure.Norm {
	n := departure.Norm{Step: q.TimeStep, Hold: q.Hold}
	if !(n.Step > 0) {
		n.Step = 60
	}
	return n
}

// stepLight is what one step of the command is worth in light at a time, without the jump
// with which a lamp goes on.
func stepLight(q timetable.Port, lamp int, t float64) float64 {
	course, err := q.Course(q.Points)
	if err != nil {
		return 0 // it was played before
	}
	l, c := q.Lamps[lamp], course.Command(t)
	here := l.Response.Fraction(c)
	up := l.Response.Fraction(min(c+q.Step, q.Range[1])) - here
	down := here - l.Response.Fraction(max(c-q.Step, q.Range[0]))
	q.Hold = false // only where the lamp begins with a jump
	if foot := q.Foot(lamp); foot > 0 {
		if here == 0 {
			up = 0
		}
		if here-down < foot*(1-1e-9) {
			down = 0
		}
	}
	return max(up, down)
}
