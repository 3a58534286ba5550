package port

import (
	"math"
	"strings"

	"dayloom/photon/dimmer"
)

// Day is the length of the controller's day in seconds.
const Day = 86400.0

// Signal is what a port sends.
type Signal int

// The signals.
const (
	Volts Signal = iota
	Percent
	Counts
	Switch
)

// Signals are the words of each signal and the unit of its commands, in their order.
var Signals = [...]struct{ Word, Unit string }{{"volts", "V"}, {"percent", "%"}, {"counts", "count"}, {"switch", "switch"}}

// Unit is the unit of a signal's commands: V, %, count or switch.
func (s Signal) Unit() string { return Signals[s].Unit }

// Kind is what the ports of one controller have in common.
type Kind struct {
	Signal       Signal
	Range        [2]float64 // lowest and highest command, in the signal's unit; of a switch 0 and 1
	Step         float64    // smallest step of a command; 0: not known
	Hold         bool       // keeps the last point's command; false: straight line between points
	PointsPerDay int        // for each port; 0: no limit given
	TimeStep     float64    // s; points are at its multiples; 0: not known
}

// Switched is the kind of every switched outlet.
func Switched() Kind { return Kind{Signal: Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true} }

// Ref names a port of a controller; the zero Ref is none.
type Ref struct{ Controller, Port string }

// Port is one output of a controller.
type Port struct {
	Controller, Name string
	Kind
	Outlet Ref    // the switched outlet that cuts its supply; zero: none
	Lamps  []Lamp // what it drives; none: an outlet that only feeds other ports
}

// Ref is the port's own.
func (p Port) Ref() Ref { return Ref{p.Controller, p.Name} }

// Lamp is all that answers the port's command in one way: one channel.
type Lamp struct {
	Channel  string
	Response dimmer.Response // command to light fraction while lit; dark below its off_below
	OnFrom   float64         // a dark lamp lights from this command on; 0: as soon as its response gives light
	NeverOff bool            // said by the plan: the driver gives light at its lowest command
}

// OffBelow is the command under which the lamp goes dark; -Inf: it has none.
func (l Lamp) OffBelow() float64 {
	if off := l.Response.Spec().OffBelow; off != nil {
		return *off
	}
	return math.Inf(-1)
}

// On is the command from which a dark lamp lights.
func (l Lamp) On() float64 { return max(l.OnFrom, l.OffBelow()) }

// Light is the light fraction at a command that is reached from below.
func (l Lamp) Light(command float64) float64 {
	if command < l.OnFrom {
		return 0
	}
	return l.Response.Fraction(command)
}

// onOff is the lamp of every switch: 0 is dark, 1 is full light.
var onOff, _ = dimmer.Linear(0, 1) // 0 to 1 is always a valid range

// SwitchLamp is a lamp that is switched on and off.
func SwitchLamp(channel string) Lamp { return Lamp{Channel: channel, Response: onOff} }

// Channels names what the port drives, joined by +; empty for an outlet that only
// feeds other ports.
func (p Port) Channels() string {
	names := make([]string, len(p.Lamps))
	for i, l := range p.Lamps {
		names[i] = l.Channel
	}
	return strings.Join(names, "+")
}

// Drives is the index of the lamp of a channel, -1 for none.
func (p Port) Drives(channel string) int {
	for i, l := range p.Lamps {
		if l.Channel == channel {
			return i
		}
	}
	return -1
}

// Known reports whether the port's range is known, so that it can be played.
func (p Port) Known() bool { return p.Range[1] > p.Range[0] }

// Round is the command on the port's step, counted from the low end of its range, that
// lies nearest to one between; within the range.
func (p Port) Round(command float64) float64 {
	if p.Step > 0 {
		command = p.Range[0] + math.Round((command-p.Range[0])/p.Step)*p.Step
	}
	return min(max(command, p.Range[0]), p.Range[1])
}

// level is the command of a number of steps, free of rounding: a hair below its cut-in
// a lamp would be dark.
func (p Port) level(n int) float64 {
	return min(math.Round((p.Range[0]+float64(n)*p.step())*1e9)/1e9, p.Range[1])
}

// fineness stands in for a step that is not known: so many levels in the range.
const fineness = 10000

func (p Port) step() float64 {
	if p.Step > 0 {
		return p.Step
	}
	return (p.Range[1] - p.Range[0]) / fineness
}
