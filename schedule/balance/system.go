package balance

import (
	"context"
	"math"

	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// task is a plan on a date before any hours are chosen; it is shared by all boxes.
type task struct {
	ctx    context.Context
	p      *plan.Plan
	f      light.Field
	o      Options
	z      float64 // margin of limits on light in standard deviations
	base   day.Day // what is not to be found
	age    []float64
	autos  []auto    // as Plan.Channels; nothing of followers
	leads  []int     // of each channel: the one that its level is asked of
	bends  []*bend   // of each channel: nil where its light goes with its level
	least  []float64 // peak of each that its port can show
	places []place
	limits []limit
	looks  []mix.Place        // as places; nil where no colour is wished for
	like   *[mix.Bins]float64 // the shares wished for; nil: none
	fault  string             // why there is no task
	mute   bool               // wishes of colour are told and not worked for
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
	box          box
	vars         []variable
	varOf        []int // of each channel, −1: none
	lower, upper []float64
	steady       []curve.Curve // of each channel: what no variable changes
	unit         []curve.Curve // of each channel, per unit of its variable; dark for hours
	dose0        []float64     // s, of each channel at variables zero
	dose1        []float64     // s, per unit of its variable
	top0         []float64     // light fraction of each channel when all is at peak, moonlight left out
	top1         []float64     // per unit of its variable
	moments      moments
}

func newTask(ctx context.Context, p *plan.Plan, f light.Field, o Options) *task {
	t := &task{ctx: ctx, p: p, f: f, o: o, age: o.Age}
	if o.Boxes == 0 {
		t.o.Boxes = mostBoxes
	}
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
	light := o.Least
	if light == nil {
		light = LeastLight(p)
	}
	t.least = make([]float64, len(p.Channels))
	for c := range p.Channels {
		t.autos = append(t.autos, autoOf(o.Change.Parts(p), c))
		if top, _ := day.Unit(p, c, o.Change).Max(); t.autos[c].peak && top > 0 {
			t.least[c] = light[c] / top
		}
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
	t.ports()
	t.limits = t.allLimits()
	t.colours()
	return t
}

// system chooses the box of hours; lit says with which end of it the limits are faced.
func (t *task) system(b box, lit int) *system {
	n := len(t.p.Channels)
	s := &system{
		task: t, box: b, varOf: make([]int, n), steady: make([]curve.Curve, n), unit: make([]curve.Curve, n),
		dose0: make([]float64, n), dose1: make([]float64, n), top0: make([]float64, n), top1: make([]float64, n),
	}
	for c, a := range t.autos {
		base := t.base.Channels[c]
		s.varOf[c], s.steady[c], s.dose0[c], s.top0[c] = -1, base.Curve, base.DoseS, base.Daylight
		switch {
		case a.peak:
			s.peak(c, b)
		case a.hours && !b.off[c]:
			s.hours(c, b, lit)
		}
	}
	for c := range t.leads {
		s.together(c)
	}
	s.moments = newMoments(s)
	return s
}

func (s *system) add(v variable, lower, upper float64) {
	s.varOf[v.channel] = len(s.vars)
	s.vars = append(s.vars, v)
	s.lower, s.upper = append(s.lower, lower), append(s.upper, max(lower, upper))
}

// peak makes the peak of a channel a variable: within what the plan allows, at least what its port can show once
// a box has it lit, and no more than full light.
func (s *system) peak(c int, b box) {
	u := day.Unit(s.p, c, s.o.Change)
	top, _ := u.Max()
	lower, upper := s.autos[c].from, s.most(c, top)
	switch b.shown[c] {
	case lit:
		lower = max(lower, s.least[c])
	case dark:
		upper = 0
	}
	s.dose1[c], s.top1[c], s.unit[c] = u.Dose(), top, u
	s.add(variable{channel: c}, lower, upper)
}

// most is the greatest peak of a channel whose day at unit peak reaches top.
func (t *task) most(c int, top float64) float64 { return min(t.autos[c].to, 1/max(top, 1)) }

func (s *system) hours(c int, b box, lit int) {
	ends := [2]float64{b.lo[c], b.hi[c]}
	var cs [2]curve.Curve
	for i, h := range ends {
		cs[i] = day.Switched(s.hoursOf(c, b, h), c, s.o.Change)
	}
	d := [2]float64{cs[0].Dose(), cs[1].Dose()}
	faced := cs[1]
	if lit == 0 { // whatever the hours and their place, the lamp burns then
		faced = curve.Curve{}
		if on, h := b.core(s.autos[c].switched, c, s.o.Centred); h > 0 {
			faced = day.Switched(day.Hours{On: forward(0, on), Off: forward(0, on+h)}, c, s.o.Change)
		}
	}
	s.steady[c] = curve.Sum(s.steady[c], faced)
	s.dose0[c], s.dose1[c] = s.dose0[c]+d[0], d[1]-d[0]
	if !cs[1].Dark() {
		s.top0[c] = 1
	}
	s.add(variable{c, true, ends}, 0, 1)
}

// doses are the seconds of full light of each channel at x.
func (s *system) doses(x []float64) []float64 {
	out := append([]float64(nil), s.dose0...)
	for c, j := range s.varOf {
		if j >= 0 {
			out[c] += x[j] * s.dose1[c]
		}
	}
	return out
}

// wanted are the linear functions that ranks are about: places' DLI over target, then, place by place, how far
// each share of the spectrum lies inside its range, as a part of the light there at full output, then the sides of the
// colours that are wished for.
func (s *system) wanted() (out []form) {
	all := math.Inf(1)
	for _, pl := range s.places {
		f := form{coef: make([]float64, len(s.vars)), lo: -all, hi: all}
		if pl.target.asked() {
			for c, cell := range pl.cells {
				full := cell.PPFD * s.age[c] * 1e-6 / pl.target.DLI
				f.base += full * s.dose0[c]
				if j := s.varOf[c]; j >= 0 {
					f.coef[j] += full * s.dose1[c]
				}
			}
		}
		out = append(out, f)
	}
	for _, pl := range s.places {
		for _, share := range s.p.Balance.Shares {
			in, light := s.part(pl, share)
			full := 0.0
			for c, cell := range pl.cells {
				full += cell.PPFD * s.age[c] * min(1, s.top0[c]+s.top1[c])
			}
			if full <= 0 {
				continue // dark there: no share to speak of
			}
			if share.AtLeast > 0 {
				out = append(out, combine(in, 1/full, light, -share.AtLeast/full))
			}
			if share.AtMost < 1 {
				out = append(out, combine(light, share.AtMost/full, in, -1/full))
			}
		}
	}
	return append(out, s.polygons()...)
}

// part is the light of a band at a place with all at peak, and all light there.
func (s *system) part(pl place, share plan.BandShare) (in, all form) {
	k := s.band(share)
	in.coef, all.coef = make([]float64, len(s.vars)), make([]float64, len(s.vars))
	for c, cell := range pl.cells {
		light, band := cell.PPFD*s.age[c], 0.0
		if k < len(cell.Bands) {
			band = cell.Bands[k] * s.age[c]
		}
		in.base += band * s.top0[c]
		all.base += light * s.top0[c]
		if j := s.varOf[c]; j >= 0 {
			in.coef[j] += band * s.top1[c]
			all.coef[j] += light * s.top1[c]
		}
	}
	return in, all
}

// combine is a·p + b·q, free of earlier ranks.
func combine(a form, p float64, b form, q float64) form {
	out := form{coef: make([]float64, len(a.coef)), base: p*a.base + q*b.base, lo: math.Inf(-1), hi: math.Inf(1)}
	for j := range out.coef {
		out.coef[j] = p*a.coef[j] + q*b.coef[j]
	}
	return out
}

// met tells whether every place has its target and least DLI at x.
func (s *system) met(x []float64) bool {
	doses := s.doses(x)
	for _, pl := range s.places {
		if !pl.target.met(s.dli(pl, doses)) {
			return false
		}
	}
	return true
}

// dli is a place's, mol m⁻² d⁻¹.
func (s *system) dli(pl place, doses []float64) float64 {
	return light.DLI(light.Full(pl.cells, s.age), doses)
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
