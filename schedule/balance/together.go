package balance

import (
	"math"
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

const (
	stride    = 0.01 // of a level: how far apart the two days are that a straight line is laid through
	lines     = 16   // of straight lines laid about one level after another
	tangents  = 4    // of them, that touch; those after go through the levels before
	straight  = 1e-7 // of a dose: a line that is right to this is right
	bentSpare = 2e-5 // of tolerances and limits, kept free where curves are chords: their rounding decides no verdict
)

// bend is a channel whose light does not simply go with a level: it follows another on its port by its own response, or its
// port cannot be dark. What reach makes of the day at some levels, and of days at levels a little off, gives the lines.
type bend struct {
	curve curve.Curve // at the level
	level float64     // of the channel that it goes with
	dose  line
	top   line // of daylight
	dark  day.Channel
}

// line is a value at a level, and what a unit of the level adds.
type line struct{ value, slope float64 }

// through is the line of two values.
func through(level, value, other, there float64) line {
	if other == level {
		return line{value: value}
	}
	return line{value, (there - value) / (other - level)}
}

// at0 is the line's value at level 0.
func (l line) at0(level float64) float64 { return l.value - l.slope*level }

// ports finds which channels go together, and lays the first lines about the middle of their levels.
func (t *task) ports() {
	n := len(t.p.Channels)
	t.leads, t.bends = make([]int, n), make([]*bend, n)
	for c := range t.leads {
		t.leads[c] = c
	}
	var bent []int
	for _, q := range t.p.Ports() {
		for k, c := range q.Channels {
			first := q.Channels[0]
			t.leads[c] = first
			if floor := q.Signal != port.Switch && q.Known() && q.Floor(0) > 0; floor || k > 0 && t.autos[first].peak {
				bent = append(bent, c)
			}
			if k > 0 {
				t.autos[c].peak = false
			}
		}
	}
	if !slices.ContainsFunc(t.autos, func(a auto) bool { return a.peak }) {
		return // the day as it is has it
	}
	middle := make([]float64, n)
	for c, lead := range t.leads {
		middle[c] = t.middle(lead)
	}
	for _, c := range bent {
		t.bends[c] = &bend{}
	}
	if bent != nil {
		t.bendAt(middle, nil, make([]day.Hours, n))
	}
}

// middle is a level that a port can show, well above none.
func (t *task) middle(c int) float64 {
	return max(t.autos[c].from, t.least[c], min(t.autos[c].to, 1)/2)
}

// bent tells whether any channel's light is taken along a line.
func (t *task) bent() bool {
	return slices.ContainsFunc(t.bends, func(b *bend) bool { return b != nil })
}

// spare is kept free at the ends of tolerances and shares.
func (t *task) spare() float64 {
	if t.bent() {
		return bentSpare
	}
	return inside
}

// bendAt lays the lines about levels: through other levels where those are given and apart, else through levels close by.
func (t *task) bendAt(peaks, others []float64, hours []day.Hours) {
	near, none := slices.Clone(peaks), make([]float64, len(peaks))
	for c, lead := range t.leads {
		switch a := t.autos[lead]; {
		case others != nil && others[c] > 0 && math.Abs(others[c]-peaks[c]) > stride*stride*peaks[c]:
			near[c] = others[c] // the line then spans a kink between them
		case peaks[c] == 0:
			near[c] = t.middle(lead)
		case peaks[c]*(1+stride) <= min(a.to, 1):
			near[c] *= 1 + stride
		default:
			near[c] *= 1 - stride
		}
	}
	here, there, dark := t.dayAt(peaks, hours), t.dayAt(near, hours), t.dayAt(none, hours)
	for c, b := range t.bends {
		if b == nil {
			continue
		}
		h, o := here.Channels[c], there.Channels[c]
		t.bends[c] = &bend{h.Curve, peaks[c], through(peaks[c], h.DoseS, near[c], o.DoseS), through(peaks[c], h.Daylight, near[c], o.Daylight), dark.Channels[c]}
	}
}

// dayAt is the day as the ports show it at given levels and hours.
func (t *task) dayAt(peaks []float64, hours []day.Hours) day.Day {
	p, change := *t.p, t.o.Change
	p.Day = put(p.Day, peaks, hours)
	if change.Named != nil {
		named := *change.Named
		named.Parts = put(named.Parts, peaks, hours)
		change.Named = &named
	}
	return day.Build(&p, t.o.Date, change)
}

// together lays a channel's light along its line.
func (s *system) together(c int) {
	b, lead := s.bends[c], s.leads[c]
	if b == nil {
		return
	}
	s.varOf[c], s.unit[c] = s.varOf[lead], curve.Curve{}
	if fixed := !s.autos[lead].peak; fixed || s.box.shown[lead] == dark {
		is := b.dark
		if fixed || b.level == 0 {
			is = day.Channel{Curve: b.curve, DoseS: b.dose.value, Daylight: b.top.value}
		}
		s.steady[c], s.dose0[c], s.dose1[c], s.top0[c], s.top1[c] = is.Curve, is.DoseS, 0, is.Daylight, 0
		return
	}
	s.dose0[c], s.dose1[c] = b.dose.at0(b.level), b.dose.slope
	s.top0[c], s.top1[c] = b.top.at0(b.level), b.top.slope
	switch {
	case b.level == 0:
		s.steady[c] = b.curve
		if u := day.Unit(s.p, lead, s.o.Change); !u.Dark() {
			top, _ := u.Max()
			s.unit[c] = u.Scale(b.top.slope / top)
		}
	case b.top.value > 0: // all of the curve goes as its top does
		s.steady[c] = b.curve.Scale(b.top.at0(b.level) / b.top.value)
		s.unit[c] = b.curve.Scale(b.top.slope / b.top.value)
	default:
		s.steady[c] = b.curve
	}
}

// settle looks for the best box with lines laid about the levels found before, until they are right there.
func (t *task) settle(d depth) (*search, error) {
	if !t.bent() {
		return t.search(d)
	}
	d = max(d, firmly) // a quick search may end without levels
	var best *search
	var before []float64
	least := math.Inf(1)
	for i := range lines {
		k, err := t.search(d)
		if err != nil || k.best == nil {
			if best != nil {
				break
			}
			return k, err
		}
		peaks, hours := k.best.sys.peaksAndHours(k.best.res.x)
		off := k.best.sys.offLine(k.best.res.x, t.dayAt(peaks, hours))
		if off < least || best == nil {
			best, least = k, off
		}
		if off < straight || t.ctx.Err() != nil {
			break
		}
		if i < tangents {
			before = nil
		}
		t.bendAt(peaks, before, hours)
		before = peaks
	}
	best.unsure = least > bentSpare
	best.within()
	best.best.res.met = best.best.res.met && !best.unsure
	return best, nil
}

// within makes the lines exact at the answer, and where they never were right, lowers levels until every limit holds.
func (k *search) within() {
	f, low, high := k.best, 0.0, 1.0
	lower, x := f.sys.lower, slices.Clone(f.res.x)
	at := func(part float64) bool {
		for j := range x {
			f.res.x[j] = lower[j] + part*(x[j]-lower[j])
		}
		peaks, hours := f.sys.peaksAndHours(f.res.x)
		k.bendAt(peaks, nil, hours)
		f.sys = k.system(f.sys.box, 1)
		return len(f.sys.brokenAt(f.res.x)) == 0
	}
	if at(1) || !k.unsure {
		return
	}
	for range 30 {
		if mid := (low + high) / 2; at(mid) {
			low = mid
		} else {
			high = mid
		}
	}
	at(low)
}

// offLine is by how much a day is off the lines at an answer, at most, in parts of its doses and levels.
func (s *system) offLine(x []float64, d day.Day) (most float64) {
	off := func(a, b, small float64) float64 { return math.Abs(a-b) / max(a, b, small) }
	doses := s.doses(x)
	for c, b := range s.bends {
		if b == nil {
			continue
		}
		most = max(most, off(doses[c], d.Channels[c].DoseS, 1))
		top := s.top0[c]
		if j := s.varOf[c]; j >= 0 {
			top += s.top1[c] * x[j]
		}
		most = max(most, off(top, d.Channels[c].Daylight, 1e-4))
	}
	return most
}
