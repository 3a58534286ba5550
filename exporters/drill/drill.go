package drill

import (
	"math"
	"slices"
	"sort"

	"dayloom/exporters/timetable"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// RiskRatio is how many times a normal day's DLI or greatest PPFD counts as a risk
// of bleaching.
const RiskRatio = 1.5

// Place is what a fault does to one coral, or to the mean of an area.
type Place struct {
	Name                  string
	Zone                  int
	DLI, NormalDLI        float64 // mol m⁻² d⁻¹, over the 24 h from the beginning of the fault
	Peak, NormalPeak      float64 // µmol m⁻² s⁻¹
	ReachedS              float64 // s from the beginning until it has had a normal day's DLI; 0: not in 24 h, or no more than that
	Over, Under, Bleaches bool    // above the zone's limits, below its least DLI, above RiskRatio
}

// DLIRatio and PeakRatio are faulted over normal, +Inf for light where none is normal.
func (p Place) DLIRatio() float64 { return ratio(p.DLI, p.NormalDLI) }

// PeakRatio is that of the greatest PPFD.
func (p Place) PeakRatio() float64 { return ratio(p.Peak, p.NormalPeak) }

func ratio(a, b float64) float64 {
	switch {
	case b > 0:
		return a / b
	case a > 0:
		return math.Inf(1)
	}
	return 1
}

// Outcome is one fault and what it does everywhere.
type Outcome struct {
	Kind                      Kind
	Controller, Port, Channel string // what fails; empty where it is not that
	BeginS                    float64
	Places                    []Place
	Worst                     int // the place that is hit most
}

// output is a port of the table with its course over the day and where it hangs.
type output struct {
	timetable.Port
	course   port.Course
	channels []int // of its lamps; none: it only feeds others
	outlet   int   // -1: none
}

// system is a day's table over a plan.
type system struct {
	plan      *plan.Plan
	ports     []output
	byChannel [][]lampRef
	spans     [][2]float64 // of the controller's day, s, to beyond midnight: in which racks hang elsewhere
}

// lampRef is a lamp of a port.
type lampRef struct{ port, lamp int }

// Run drills every fault on a date's table: f is the light of the plan's channels
// where its corals are, age what is left of each channel's flux (nil: all), shift by how much the controller's
// clock is ahead of the day's, s.
func Run(p *plan.Plan, f light.Field, t timetable.Table, age []float64, shift float64) ([]Outcome, error) {
	s, err := newSystem(p, t)
	if err != nil {
		return nil, err
	}
	s = s.aside(f.Spans(), shift)
	places := placesOf(p, f, s, age)
	normal := map[float64]day{}
	var out []Outcome
	for _, ft := range s.faults() {
		if _, ok := normal[ft.begin]; !ok {
			normal[ft.begin] = s.day(fault{begin: ft.begin})
		}
		out = append(out, outcome(p, ft, places, normal[ft.begin], s.day(ft)))
	}
	return out, nil
}

func newSystem(p *plan.Plan, t timetable.Table) (system, error) {
	s := system{plan: p, byChannel: make([][]lampRef, len(p.Channels))}
	if _, err := t.Light(); err != nil {
		return s, err
	}
	for i, q := range t.Ports {
		course, _ := q.Course(q.Points) // it has just been played
		o := output{q, course, nil, t.Port(q.Outlet)}
		for k, l := range q.Lamps {
			c := slices.IndexFunc(p.Channels, func(c plan.Channel) bool { return c.Name == l.Channel })
			if c >= 0 && !t.OnlyFeeds(i) {
				o.channels = append(o.channels, c)
				s.byChannel[c] = append(s.byChannel[c], lampRef{i, k})
			}
		}
		s.ports = append(s.ports, o)
	}
	return s, nil
}

// aside is the system with racks that hang elsewhere in some spans of the day, by how much the controller's clock is
// ahead of it.
func (s system) aside(spans [][2]float64, shift float64) system {
	for _, span := range spans {
		from := math.Mod(span[0]+shift+port.Day, port.Day)
		s.spans = append(s.spans, [2]float64{from, from + span[1] - span[0]})
	}
	return s
}

// place is a place with the PPFD that each lamp of byChannel, in turn, gives there at
// full light: first where racks hang usually, then in each of the system's spans.
type place struct {
	name string
	zone int
	full [][]float64
}

func placesOf(p *plan.Plan, f light.Field, s system, age []float64) []place {
	full := func(cells []light.Cell) []float64 {
		var out []float64
		for c, lamps := range s.byChannel {
			for range lamps {
				full := cells[c].PPFD / float64(len(lamps))
				if age != nil {
					full *= age[c]
				}
				out = append(out, full)
			}
		}
		return out
	}
	var out []place
	for i, c := range p.Corals {
		pl := place{c.Name, c.Zone, [][]float64{full(f.Corals[i])}}
		for _, a := range f.Asides {
			pl.full = append(pl.full, full(a.Corals[i]))
		}
		out = append(out, pl)
	}
	for i, a := range f.Areas {
		pl := place{p.Zones[a.Zone].Name + " (area)", a.Zone, [][]float64{full(a.Mean)}}
		for _, aside := range f.Asides {
			pl.full = append(pl.full, full(aside.Areas[i].Mean))
		}
		out = append(out, pl)
	}
	return out
}

// day is the lamps over 24 h, and what each gives at and between its breaks.
type day struct {
	lamps         []port.Played // as byChannel has them
	breaks        []float64
	hung          []int       // [break]: the span up to the next one, from 1 on; 0: none
	after, before [][]float64 // [break][lamp], light fraction
	parts         [][]float64 // [break][lamp], s of full light from this break to the next
}

// hair is how far from a break its two sides are looked at, s: more than rounding,
// less than any light can change in.
const hair = 1e-6

// day is the 24 h from the beginning of a fault, taken as a ring.
func (s system) day(f fault) day {
	own := make([]output, len(s.ports))
	for i, p := range s.ports {
		own[i] = p
		own[i].course = p.course.From(f.begin)
	}
	if f.change != nil {
		f.change(own)
	}
	lit := make([][]port.Played, len(own))
	for i, p := range own {
		supply := port.Steady(1)
		if p.outlet >= 0 {
			supply = own[p.outlet].course
		}
		lit[i] = p.Light(p.course, supply)
	}
	d := day{}
	for c, lamps := range s.byChannel {
		for _, r := range lamps {
			l := lit[r.port][r.lamp]
			if f.dead == c+1 {
				l = port.Dark()
			}
			d.lamps = append(d.lamps, l)
			d.breaks = append(d.breaks, l.Breaks()...)
		}
	}
	for _, span := range s.spans {
		for _, t := range span {
			d.breaks = append(d.breaks, math.Mod(t-f.begin+port.Day, port.Day))
		}
	}
	slices.Sort(d.breaks)
	d.breaks = slices.Compact(d.breaks)
	for i, t := range d.breaks {
		end := d.breaks[min(i+1, len(d.breaks)-1)]
		d.hung = append(d.hung, s.span(math.Mod(f.begin+(t+end)/2, port.Day)))
		n := len(d.lamps)
		after, before, part := make([]float64, n), make([]float64, n), make([]float64, n)
		for k, l := range d.lamps {
			after[k], before[k] = l.At(min(t+hair, port.Day-hair)), l.Before(max(t-hair, hair))
			part[k] = l.Integral(t, end)
		}
		d.after, d.before, d.parts = append(d.after, after), append(d.before, before), append(d.parts, part)
	}
	return d
}

// span is that of a second of the controller's day, from 1 on; 0: none.
func (s system) span(t float64) int {
	return 1 + slices.IndexFunc(s.spans, func(x [2]float64) bool { return x[0] <= t && t < x[1] || t+port.Day < x[1] })
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i := range a {
		sum += a[i] * b[i]
	}
	return sum
}

// sums are DLI and greatest PPFD at a place.
func (d day) sums(full [][]float64) (dli, peak float64) {
	for i := range d.breaks {
		if i == len(d.breaks)-1 {
			break // no light follows the last, and none comes before the first
		}
		here := full[d.hung[i]]
		dli += light.DLI(here, d.parts[i])
		peak = max(peak, dot(d.after[i], here), dot(d.before[i+1], here))
	}
	return dli, peak
}

// reached is when a DLI has been had; the day's own must be greater.
func (d day) reached(places [][]float64, dli float64) float64 {
	sum := 0.0
	for i := range d.breaks {
		full := places[d.hung[i]]
		part := light.DLI(full, d.parts[i])
		if sum+part < dli {
			sum += part
			continue
		}
		from, to := d.breaks[i], d.breaks[min(i+1, len(d.breaks)-1)]
		ms := sort.Search(int((to-from)*1000), func(k int) bool {
			got := sum
			for n, l := range d.lamps {
				got += full[n] * l.Integral(from, from+float64(k)/1000) * 1e-6
			}
			return got >= dli
		})
		return from + float64(ms)/1000
	}
	return port.Day
}

// more is the least relative excess of a DLI that counts as more light.
const more = 1e-6

func outcome(p *plan.Plan, f fault, places []place, normal, faulted day) Outcome {
	out := Outcome{Kind: f.kind, Controller: f.controller, Port: f.port, Channel: f.channel, BeginS: f.begin}
	for i, pl := range places {
		q := Place{Name: pl.name, Zone: pl.zone}
		q.NormalDLI, q.NormalPeak = normal.sums(pl.full)
		q.DLI, q.Peak = faulted.sums(pl.full)
		if q.DLI > q.NormalDLI*(1+more) && q.NormalDLI > 0 {
			q.ReachedS = faulted.reached(pl.full, q.NormalDLI)
		}
		z := p.Zones[pl.zone]
		q.Over = z.DLIMax > 0 && q.DLI > z.DLIMax || z.PPFDMax > 0 && q.Peak > z.PPFDMax
		q.Under = q.DLI < z.DLIMin
		q.Bleaches = max(q.DLIRatio(), q.PeakRatio()) > RiskRatio
		out.Places = append(out.Places, q)
		if worse(q, out.Places[out.Worst]) {
			out.Worst = i
		}
	}
	return out
}

// worse ranks risk before limits before the size of the change.
func worse(a, b Place) bool {
	for _, pair := range [][2]bool{{a.Bleaches, b.Bleaches}, {a.Over, b.Over}, {a.Under, b.Under}} {
		if pair[0] != pair[1] {
			return pair[0]
		}
	}
	return size(a) > size(b)
}

// size is how far a place is from normal, more and less alike.
func size(p Place) float64 {
	return max(math.Abs(math.Log(p.DLIRatio())), math.Abs(math.Log(p.PeakRatio())))
}
