package timetable

import (
	"fmt"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/shape/port"
)

// Format is the number of the format that this package writes; it reads format 1 too.
const Format = 2

// File is a whole timetable.
type File struct {
	Plan     string // the plan's name; empty when read from csv
	PlanHash string // "sha256:…" of what it was made from; empty when read from csv
	Clock    Clock
	Tables   []Table      // by their first dates; every date from the first to the last has one
	Judged   [2]plan.Date // first and last date on which what is written was played; zero: not said
	Cost     *float64     // greatest departure of a coral's DLI from its date's own, where tables are for more dates than one; nil: not said
	Unended  bool         // nothing in what was read says that its dates end where they do
	Doubts   []string     // where what was read says another light than its command gives
}

// Clock says on which clock the day was meant and which the controller keeps.
type Clock struct {
	Zone              string // IANA name; empty when read from csv
	FollowsSummerTime bool   // the day moves with the wall clock; false: it stays on standard time
	ControllerStays   bool   // the controller's clock does not move for summer time
}

// ClockOf is the clock of a plan.
func ClockOf(c plan.Clock) Clock {
	return Clock{c.ZoneName, c.FollowsSummerTime, c.ControllerStays}
}

// Table is the day that is valid on the dates From to To, both inclusive, that are one of its weekdays.
type Table struct {
	From, To plan.Date           // To is zero while it is open, in the last tables only
	Days     daypattern.Weekdays // zero: all
	Ports    []Port
}

// Port is what one output does over the day.
type Port struct {
	port.Port
	Points  []port.Point // commands of a switch are 0 (off) and 1 (on)
	Claim   *float64     // the greatest departure of its light from the curve, light fraction; nil: not said
	claimed [][]float64  // of a csv file: the light of each lamp at each point, as it says
}

// Unit is the unit of a port's commands: V, %, count or switch.
func (p Port) Unit() string { return p.Signal.Unit() }

// Light is the light of each lamp of a table's ports, over its day, by port; an outlet
// that only feeds others has none. Ports of a csv file must be completed from their
// plan first.
func (t Table) Light() ([][]port.Played, error) {
	out := make([][]port.Played, len(t.Ports))
	for i, p := range t.Ports {
		if !p.Known() {
			return nil, fmt.Errorf("port %s of %s: range and response are not in a csv file; complete the timetable from its plan", p.Name, p.Controller)
		}
		var outlet []port.Point
		if o := t.Port(p.Outlet); o >= 0 {
			outlet = t.Ports[o].Points
		}
		lamps, err := p.Play(p.Points, outlet)
		if err != nil {
			return nil, fmt.Errorf("port %s of %s: %w", p.Name, p.Controller, err)
		}
		if !t.OnlyFeeds(i) {
			out[i] = lamps
		}
	}
	return out, nil
}

// Port is the index of a port of the table, -1 for none.
func (t Table) Port(name port.Ref) int {
	return slices.IndexFunc(t.Ports, func(p Port) bool { return p.Ref() == name })
}

// OnlyFeeds reports whether a port is a switch that other ports have their supply from: it
// has no light of its own, also where it bears a channel's name.
func (t Table) OnlyFeeds(i int) bool {
	p := t.Ports[i]
	return p.Signal == port.Switch && (len(p.Lamps) == 0 ||
		slices.ContainsFunc(t.Ports, func(q Port) bool { return q.Outlet == p.Ref() }))
}

// NeedsPlan says whether range and response of a port are missing, as they are
// when the file was read from csv.
func (f File) NeedsPlan() bool {
	for _, t := range f.Tables {
		for _, p := range t.Ports {
			if !p.Known() {
				return true
			}
		}
	}
	return false
}

// Claimed reports whether every port says how far its light is from its curve.
func (f File) Claimed() bool {
	for _, t := range f.Tables {
		for i, p := range t.Ports {
			if p.Claim == nil && !t.OnlyFeeds(i) {
				return false
			}
		}
	}
	return true
}

// PointCount is the number of points of all ports of all tables.
func (f File) PointCount() int {
	n := 0
	for _, t := range f.Tables {
		for _, p := range t.Ports {
			n += len(p.Points)
		}
	}
	return n
}

func signalOf(match func(word, unit string) bool) (port.Signal, bool) {
	for i, s := range port.Signals {
		if match(s.Word, s.Unit) {
			return port.Signal(i), true
		}
	}
	return 0, false
}
