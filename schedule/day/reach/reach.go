package reach

import (
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Ask is what is asked of a channel on a day.
type Ask struct {
	Daylight curve.Curve // daylight and switched light
	Moon     curve.Curve
	Auto     curve.Curve // what is lit while its level is still to be found, at any level
}

// Reached is what a channel can show of it.
type Reached struct {
	Curve curve.Curve // everything
	Moon  curve.Curve // the moonlight in it
}

// Day is what the ports of a plan can show of what is asked of its channels, in their
// order. Channels without a port, or that are switched, are as asked.
func Day(p *plan.Plan, asks []Ask) []Reached {
	out := make([]Reached, len(asks))
	leads := leadsOf(p, len(asks))
	for i, a := range asks {
		out[i] = Reached{curve.Sum(a.Daylight, a.Moon), a.Moon}
		if l := leads[i]; l != nil {
			out[i] = l.show(a)
		}
	}
	lit := make([]spans, len(asks)) // by what is asked, or will be
	for i, a := range asks {
		lit[i] = litSpans(curve.Sum(out[i].Curve, a.Auto))
	}
	for i, l := range leads {
		if l != nil && l.floor > 0 {
			on := lit[i].outside() // where the floor stands
			if l.outlet != (port.Ref{}) {
				on = on.within(fed(leads, l.outlet, lit))
			}
			out[i].Curve = raised(out[i].Curve, on, l.floor)
		}
	}
	for _, q := range p.Ports() {
		for k := 1; k < len(q.Channels); k++ {
			first := out[q.Channels[0]]
			out[q.Channels[k]] = Reached{follow(q.Port, k, first.Curve), follow(q.Port, k, first.Moon)}
		}
	}
	return out
}

// lead is how the port that a channel leads answers it.
type lead struct {
	least, foot, floor float64
	outlet             port.Ref
}

// leadsOf is the port of each channel that is the first on one: of several the one with the
// greatest least light; nil for none.
func leadsOf(p *plan.Plan, channels int) []*lead {
	out := make([]*lead, channels)
	for _, q := range p.Ports() {
		if len(q.Channels) == 0 || q.Signal == port.Switch || !q.Known() {
			continue
		}
		l := &lead{q.Least(0), q.Foot(0), q.Floor(0), q.Outlet}
		if at := &out[q.Channels[0]]; *at == nil || (*at).least < l.least {
			*at = l
		}
	}
	return out
}

// near is a share of the least light within which a level counts as reaching it.
const near = 1e-9

// show is what the port can show by itself.
func (l *lead) show(a Ask) Reached {
	moon := a.Moon
	if top, _ := moon.Max(); top < l.least*(1-near) {
		moon = curve.Curve{}
	}
	whole := curve.Sum(a.Daylight, moon)
	if whole.Dark() {
		return Reached{}
	}
	drop, low := l.parts(whole)
	kept := whole
	for _, s := range append(drop, low...) {
		kept, moon = without(kept, s), without(moon, s)
	}
	cs := []curve.Curve{kept}
	for _, s := range low {
		for _, on := range sameDose(whole, s, l.least) {
			cs = append(cs, curve.Hold(wrap(on.from), wrap(on.to), l.least))
		}
	}
	if len(drop)+len(low) == 0 {
		return Reached{whole, moon}
	}
	return Reached{curve.Sum(cs...), moon}
}

// fed is when an outlet is on: while any lamp it feeds is to be lit.
func fed(leads []*lead, outlet port.Ref, lit []spans) (on spans) {
	for i, l := range leads {
		if l != nil && l.outlet == outlet {
			on = append(on, lit[i]...)
		}
	}
	return on.joined()
}

// raised is a curve with the floor added where it is dark.
func raised(c curve.Curve, dark spans, floor float64) curve.Curve {
	cs := []curve.Curve{c}
	for _, s := range dark {
		cs = append(cs, curve.Ramp(s.from, s.to, curve.Linear, 1, 1, floor))
	}
	return curve.Sum(cs...)
}

// chord is how far a follower's curve may be from its chords, in light fraction.
const chord = 1e-5

// follow is the curve of lamp k of a port while its first gives a curve.
func follow(p port.Port, k int, first curve.Curve) curve.Curve {
	var cs []curve.Curve
	y := func(t float64, at func(float64) float64) float64 { return p.Follow(k, at(t)) }
	var cut func(a, b, ya, yb float64, deep int)
	cut = func(a, b, ya, yb float64, deep int) {
		off := 0.0
		for _, x := range []float64{0.25, 0.5, 0.75} {
			off = max(off, abs(y(a+x*(b-a), first.At)-(ya+x*(yb-ya))))
		}
		if off <= chord || deep == 0 {
			cs = append(cs, line(a, b, ya, yb))
			return
		}
		m := (a + b) / 2
		cut(a, m, ya, y(m, first.Before), deep-1)
		cut(m, b, y(m, first.At), yb, deep-1)
	}
	breaks := first.Breaks()
	for i, c := range breaks[1:] {
		if a := breaks[i]; c > a {
			cut(a, c, y(a, first.At), y(c, first.Before), 16)
		}
	}
	return curve.Sum(cs...)
}

// line is a straight piece from one light to another.
func line(from, to, a, b float64) curve.Curve {
	top := max(a, b)
	if top <= 0 {
		return curve.Curve{}
	}
	return curve.Ramp(from, to, curve.Linear, a/top, b/top, top)
}

func abs(x float64) float64 { return max(x, -x) }

func wrap(t float64) float64 {
	if t >= curve.Day {
		return t - curve.Day
	}
	return t
}
