package balance

import (
	"math"

	"dayloom/schedule/curve"
	"dayloom/schedule/day"
	"dayloom/schedule/leximin"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// task is a plan on a date before any hours are chosen; it is shared by all boxes.
type task struct {
	p      *plan.Plan
	f      light.Field
	o      Options
	z      float64 // margin of limits on light in standard deviations
	base   day.Day // what is not to be found
	age    []float64
	autos  []auto // as Plan.Channels
	places []place
	limits []limit
}

// place is a coral or an area mean with its target.
type place struct {
	name   string
	zone   int
	coral  int // −1: an area
	cells  []light.Cell
	target Target
}

// variable is one number to be found: the peak of a channel, or where its hours lie between two ends.
type variable struct {
	channel  int
	switched bool
	hours    [2]float64 // s
}

// system is a task with hours in one box: everything linear in the variables.
type system struct {
	*task
	vars    []variable
	varOf   []int // of each channel, −1: none
	upper   []float64
	steady  []curve.Curve // of each channel: what no variable changes
	unit    []curve.Curve // of each variable; dark for hours
	dose0   []float64     // s, of each channel at variables zero
	dose1   []float64     // s, per unit of its variable
	top0    []float64     // light fraction of each channel when all is at peak, moonlight left out
	top1    []float64     // per unit of its variable
	moments moments
}

func newTask(p *plan.Plan, f light.Field, o Options) *task {
	t := &task{p: p, f: f, o: o, age: o.Age}
	if o.Sure > 0 {
		t.z = max(0, math.Sqrt2*math.Erfinv(2*o.Sure-1))
	}
	t.base = day.Build(p, o.Date, o.Change)
	if t.age == nil {
		t.age = make([]float64, len(p.Channels))
		for c := range t.age {
			t.age[c] = 1
		}
	}
	for c := range p.Channels {
		t.autos = append(t.autos, autoOf(o.Change.Parts(p), c))
	}
	for i, c := range p.Corals {
		t.places = append(t.places, place{c.Name, c.Zone, i, f.Corals[i], TargetOf(p, i)})
	}
	for _, own := range o.Targets {
		t.places[own.Coral].target = own
	}
	for _, a := range f.Areas {
		z := p.Zones[a.Zone]
		t.places = append(t.places, place{z.Name + " (area)", a.Zone, -1, a.Mean, target(z)})
	}
	t.limits = t.allLimits()
	return t
}

// system chooses the box of hours; lit says with which end of it the limits are faced.
func (t *task) system(b box, lit int) *system {
	n := len(t.p.Channels)
	s := &system{
		task: t, varOf: make([]int, n), steady: make([]curve.Curve, n), dose0: make([]float64, n),
		dose1: make([]float64, n), top0: make([]float64, n), top1: make([]float64, n),
	}
	for c, a := range t.autos {
		base := t.base.Channels[c]
		s.varOf[c], s.steady[c], s.dose0[c], s.top0[c] = -1, base.Curve, base.DoseS, base.Daylight
		switch {
		case a.peak:
			s.peak(c)
		case a.hours && !b.off[c]:
			s.hours(c, b, lit)
		}
	}
	s.moments = newMoments(s)
	return s
}

func (s *system) add(v variable, upper float64, unit curve.Curve) {
	s.varOf[v.channel] = len(s.vars)
	s.vars, s.upper, s.unit = append(s.vars, v), append(s.upper, upper), append(s.unit, unit)
}

func (s *system) peak(c int) {
	u := day.Unit(s.p, c, s.o.Change)
	top, _ := u.Max()
	upper := 1.0
	if top > 1 {
		upper = 1 / top
	}
	s.dose1[c], s.top1[c] = u.Dose(), top
	s.add(variable{channel: c}, upper, u)
}

func (s *system) hours(c int, b box, lit int) {
	ends := [2]float64{b.lo[c], b.hi[c]}
	var cs [2]curve.Curve
	for i, h := range ends {
		cs[i] = day.Switched(hoursOf(s.autos[c].switched, h), c, s.o.Change)
	}
	d := [2]float64{cs[0].Dose(), cs[1].Dose()}
	s.steady[c] = curve.Sum(s.steady[c], cs[lit])
	s.dose0[c], s.dose1[c] = s.dose0[c]+d[0], d[1]-d[0]
	if !cs[1].Dark() {
		s.top0[c] = 1
	}
	s.add(variable{c, true, ends}, 1, curve.Curve{})
}

// doses are the seconds of full light of each channel at x.
func (s *system) doses(x []float64) []float64 {
	out := append([]float64(nil), s.dose0...)
	for j, v := range s.vars {
		out[v.channel] += x[j] * s.dose1[v.channel]
	}
	return out
}

// problem is the system as package leximin wants it.
func (s *system) problem() leximin.Problem {
	n := len(s.vars)
	q := leximin.Problem{Lower: make([]float64, n), Upper: s.upper, Cost: make([]float64, n), Limits: s.broken}
	for _, pl := range s.places {
		if !pl.target.asked() { // a departure that is none, whatever the light
			q.Aims = append(q.Aims, leximin.Aim{Coef: make([]float64, n), Const: 1, Target: 1})
			continue
		}
		a := leximin.Aim{Coef: make([]float64, n), Target: pl.target.DLI, Unit: pl.target.DLI * s.unitOf(pl)}
		for c, cell := range pl.cells {
			full := cell.PPFD * s.age[c] * 1e-6
			a.Const += full * s.dose0[c]
			if j := s.varOf[c]; j >= 0 {
				a.Coef[j] = full * s.dose1[c]
			}
		}
		q.Aims = append(q.Aims, a)
	}
	q.Ratios = s.ratios()
	least := s.leastPower()
	for j, v := range s.vars {
		q.Cost[j] = s.power(v.channel, least/100) * s.dose1[v.channel] / kWh
	}
	if s.p.Balance.LeastChange && s.o.From != nil {
		q.From = make([]float64, n)
		for j, v := range s.vars {
			if !v.switched {
				q.From[j] = s.o.From[v.channel]
			}
		}
	}
	return q
}

const kWh = 3.6e6 // J

// unitOf is what departures count in, as a part of the target.
func (t *task) unitOf(pl place) float64 {
	if t.o.Tolerances && pl.target.Within > 0 {
		return pl.target.Within
	}
	return 1
}

// power is a channel's at full output, W.
func (t *task) power(c int, unknown float64) float64 {
	if w := t.p.Channels[c].PowerW; w > 0 {
		return w
	}
	return unknown
}

func (t *task) leastPower() float64 {
	least := math.Inf(1)
	for _, c := range t.p.Channels {
		if c.PowerW > 0 {
			least = min(least, c.PowerW)
		}
	}
	if math.IsInf(least, 1) {
		return 100
	}
	return least
}

// ratios are the band shares of rank 3, place by place.
func (s *system) ratios() (out []leximin.Ratio) {
	n := len(s.vars)
	for _, pl := range s.places {
		for _, share := range s.p.Balance.Shares {
			k := s.band(share)
			r := leximin.Ratio{Num: make([]float64, n), Den: make([]float64, n), Lo: share.AtLeast, Hi: share.AtMost}
			for c, cell := range pl.cells {
				in, all := 0.0, cell.PPFD*s.age[c]
				if k < len(cell.Bands) {
					in = cell.Bands[k] * s.age[c]
				}
				r.Num0 += in * s.top0[c]
				r.Den0 += all * s.top0[c]
				if j := s.varOf[c]; j >= 0 {
					r.Num[j], r.Den[j] = in*s.top1[c], all*s.top1[c]
				}
			}
			out = append(out, r)
		}
	}
	return out
}

// band is where a share's band stands in the field's cells.
func (t *task) band(share plan.BandShare) int {
	for k, b := range t.f.Bands {
		if b == share.Band {
			return k
		}
	}
	return len(t.f.Bands)
}
