package timetable

import (
	"fmt"

	"dayloom/exporters/track"
	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
)

// Format is the number of the format that this package writes and reads.
const Format = 1

// File is a whole timetable.
type File struct {
	Plan     string // the plan's name; empty when read from csv
	PlanHash string // "sha256:…" of what it was made from; empty when read from csv
	Clock    Clock
	Tables   []Table // in order of date, without gap or overlap
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

// Table is the day that is valid on the dates From to To, both inclusive.
type Table struct {
	From, To plan.Date // To is zero while it is open, in the last table only
	Ports    []Port
}

// Port is what one output does over the day.
type Port struct {
	Controller, Name string
	Channel          string // empty: an outlet that only feeds other ports
	Signal           plan.Signal
	Range            [2]float64 // lowest and highest command; of a switch 0 and 1
	Step             float64    // of the command; 0: not known
	Hold             bool       // keeps the last point's value; false: straight line between points
	Response         dimmer.Response
	Outlet           PortName // the outlet that switches its supply; zero: none
	Points           []Point
}

// PortName names a port of a controller.
type PortName struct{ Controller, Port string }

// Point is one row. Commands of a switch are 0 (off) and 1 (on).
type Point struct {
	Time    float64 // s after midnight on the controller's clock, whole
	Command float64 // in the unit of the port's signal
	Light   float64 // light fraction that the lamp gives at the command, 0..1
}

// Unit is the unit of a port's commands: V, %, count or switch.
func (p Port) Unit() string { return signals[p.Signal].unit }

// Track is the port as it plays over the day. A port of a csv file must be
// completed from its plan first.
func (p Port) Track() (track.Track, error) {
	if !p.known() {
		return track.Track{}, fmt.Errorf("port %s of %s: range and response are not in a csv file; complete the timetable from its plan", p.Name, p.Controller)
	}
	points := make([]track.Point, len(p.Points))
	for i, q := range p.Points {
		points[i] = track.Point{Time: q.Time, Command: q.Command}
	}
	return track.New(points, p.Hold, p.Response)
}

// NeedsPlan says whether range and response of a port are missing, as they are
// when the file was read from csv.
func (f File) NeedsPlan() bool {
	for _, t := range f.Tables {
		for _, p := range t.Ports {
			if !p.known() {
				return true
			}
		}
	}
	return false
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

// On is the table valid on a date of the controller's calendar.
func (f File) On(d plan.Date) (Table, bool) {
	for _, t := range f.Tables {
		if !d.Before(t.From) && (t.To.IsZero() || !t.To.Before(d)) {
			return t, true
		}
	}
	return Table{}, false
}

// signals are the words of each signal, by plan.Signal.
var signals = [...]struct{ name, unit string }{
	plan.Volts:   {"volts", "V"},
	plan.Percent: {"percent", "%"},
	plan.Counts:  {"counts", "count"},
	plan.Switch:  {"switch", "switch"},
}

func signalOf(match func(name, unit string) bool) (plan.Signal, bool) {
	for i, s := range signals {
		if match(s.name, s.unit) {
			return plan.Signal(i), true
		}
	}
	return 0, false
}

// known reports whether the port can be played.
func (p Port) known() bool { return p.Range[1] > p.Range[0] }

// asSwitch fills in what is the same for every switch.
func (p Port) asSwitch() Port {
	p.Range, p.Step, p.Hold = [2]float64{0, 1}, 1, true
	p.Response, _ = dimmer.Linear(0, 1) // 0 to 1 is always a valid range
	return p
}
