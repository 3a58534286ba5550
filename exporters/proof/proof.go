package proof

import (
	"fmt"
	"math"
	"slices"
	"sync"

	"dayloom/exporters/timetable"
	"dayloom/schedule/clock"
	"dayloom/schedule/curve"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/port"
)

// Allowed is the relative departure of a coral's DLI that still counts as kept.
const Allowed = 0.01

// Coral is what one coral was to get and what it gets.
type Coral struct {
	Name                     string
	Zone                     int
	AskedDLI, DeliveredDLI   float64 // mol m⁻² d⁻¹
	AskedPeak, DeliveredPeak float64 // µmol m⁻² s⁻¹
	OverLimit                bool    // brighter than ppfd_max by more than Allowed, and brighter than asked
	Kept                     bool    // neither off in DLI nor over the limit
}

// Departure is the delivered DLI less the asked, relative to the asked.
func (c Coral) Departure() float64 {
	if c.AskedDLI == 0 {
		return c.DeliveredDLI // nothing asked: any light is a departure
	}
	return c.DeliveredDLI/c.AskedDLI - 1
}

// Port is how one port follows its channel's curve.
type Port struct {
	Controller, Name, Channel string
	Points                    int
	AskedS, DeliveredS        float64 // s of full light
	Greatest                  float64 // largest departure in light fraction, away from jumps of the curve
	GreatestAtS               float64 // s of the plan's day
}

// Kept reports whether the port's dose is what was asked.
func (p Port) Kept() bool {
	return math.Abs(p.DeliveredS-p.AskedS) <= Allowed*p.AskedS+1e-6
}

// Result is a timetable held against a day.
type Result struct {
	Date    plan.Date
	Corals  []Coral
	Ports   []Port
	Missing []string // channels that should give light but have no port
}

// Kept reports whether every coral gets what was asked.
func (r Result) Kept() bool {
	return !slices.ContainsFunc(r.Corals, func(c Coral) bool { return !c.Kept })
}

// film is a timetable with the light of its tables, each played when it is first needed.
type film struct {
	file    timetable.File
	outputs []output
	tables  []func() ([]port.Played, error) // of each output
}

// output is one lamp of one port that gives light, in the order of the file's first table.
type output struct {
	port timetable.Port
	lamp int
}

func (o output) channel() string { return o.port.Lamps[o.lamp].Channel }

func newFilm(file timetable.File) film {
	f := film{file: file}
	first := file.Tables[0]
	for i, q := range first.Ports {
		for k := range q.Lamps {
			if !first.OnlyFeeds(i) {
				f.outputs = append(f.outputs, output{q, k})
			}
		}
	}
	for _, t := range file.Tables {
		f.tables = append(f.tables, sync.OnceValues(func() ([]port.Played, error) { return f.play(t) }))
	}
	return f
}

func (f film) play(t timetable.Table) ([]port.Played, error) {
	light, err := t.Light()
	if err != nil {
		return nil, err
	}
	var out []port.Played
	for _, o := range f.outputs {
		i := t.Port(o.port.Ref())
		if i < 0 {
			return nil, fmt.Errorf("the table from %v lacks port %s of %s", t.From, o.port.Name, o.port.Controller)
		}
		out = append(out, light[i][o.lamp])
	}
	return out, nil
}

// player holds what one day of playing needs.
type player struct {
	film
	runs  []run
	lamps map[int][]port.Played // of each output, by table
}

func (f film) on(c clock.Clock, date plan.Date) (player, error) {
	rs, err := runs(f.file, c, date)
	pl := player{f, rs, map[int][]port.Played{}}
	for _, r := range rs {
		if err == nil {
			pl.lamps[r.table], err = f.tables[r.table]()
		}
	}
	return pl, err
}

// PlaySwitched compares the switched ports of a timetable, which may have no others,
// with the channels of a plan that cannot be dimmed. The result has no corals.
func PlaySwitched(file timetable.File, p *plan.Plan, d day.Day) (Result, error) {
	pl, err := newFilm(file).on(clock.Of(p.Clock), d.Date)
	if err != nil {
		return Result{}, err
	}
	res := Result{Date: d.Date}
	for i, c := range p.Channels {
		got := pl.channel(c.Name)
		if len(got.outputs) == 0 && !c.Dimmable && !d.Channels[i].Curve.Dark() {
			res.Missing = append(res.Missing, c.Name)
		}
		for _, k := range got.outputs {
			if !c.Dimmable {
				res.Ports = append(res.Ports, pl.port(k, p, d.Channels[i]))
			}
		}
	}
	return res, nil
}

// Play compares a timetable with the day d of a plan, whose light field is f and
// whose channels have age left of their flux (nil: all).
func Play(file timetable.File, p *plan.Plan, f light.Field, d day.Day, age []float64) (Result, error) {
	pl, err := newFilm(file).on(clock.Of(p.Clock), d.Date)
	if err != nil {
		return Result{}, err
	}
	res := Result{Date: d.Date}
	got := make([]channelPlay, len(p.Channels))
	for i, c := range p.Channels {
		got[i] = pl.channel(c.Name)
		if len(got[i].outputs) == 0 && !d.Channels[i].Curve.Dark() {
			res.Missing = append(res.Missing, c.Name)
		}
		for _, k := range got[i].outputs {
			res.Ports = append(res.Ports, pl.port(k, p, d.Channels[i]))
		}
	}
	for i, c := range p.Corals {
		res.Corals = append(res.Corals, coral(p, c, f.Corals[i], d, got, age, pl))
	}
	return res, nil
}

// channelPlay is the outputs of a channel, by index, and their mean light.
type channelPlay struct {
	outputs []int
	dose    float64
}

func (pl player) channel(name string) channelPlay {
	var c channelPlay
	for k, o := range pl.outputs {
		if o.channel() == name {
			c.outputs = append(c.outputs, k)
		}
	}
	for _, k := range c.outputs {
		c.dose += pl.dose(k) / float64(len(c.outputs))
	}
	return c
}

// dose is the output's light over the plan's day, s of full light.
func (pl player) dose(k int) float64 {
	sum := 0.0
	for _, r := range pl.runs {
		sum += pl.lamps[r.table][k].Integral(r.from, r.to)
	}
	return sum
}

// light is the output's light fraction at a second of the plan's day inside a run.
func (pl player) light(k int, r run, s float64) float64 {
	return pl.lamps[r.table][k].At(r.from + s - r.day)
}

func coral(p *plan.Plan, c plan.Coral, cells []light.Cell, d day.Day, got []channelPlay, age []float64, pl player) Coral {
	out := Coral{Name: c.Name, Zone: c.Zone}
	full, delivered := light.Full(cells, age), make([]float64, len(cells))
	for i := range got {
		delivered[i] = got[i].dose
	}
	out.AskedDLI, out.DeliveredDLI = light.DLI(full, d.Doses()), light.DLI(full, delivered)
	out.AskedPeak, _ = curve.Peak(d.Curves(), full)
	out.DeliveredPeak = pl.peak(got, full)
	limit := max(p.Zones[c.Zone].PPFDMax, out.AskedPeak) // what the plan itself breaks is not the timetable's doing
	out.OverLimit = out.DeliveredPeak > limit*(1+Allowed)
	out.Kept = math.Abs(out.DeliveredDLI-out.AskedDLI) <= Allowed*out.AskedDLI+1e-12 && !out.OverLimit
	return out
}
