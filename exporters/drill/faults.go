package drill

import (
	"slices"

	"dayloom/schedule/shape/port"
)

// Kind is a sort of fault.
type Kind string

// The faults that are drilled.
const (
	WireOpen     Kind = "wire open"
	ChannelDead  Kind = "channel dead"
	RestartFull  Kind = "restart at full"
	RestartDark  Kind = "restart at dark"
	ClockAhead   Kind = "clock an hour ahead"
	ClockBehind  Kind = "clock an hour behind"
	StopsAtNoon  Kind = "clock stops at noon"
	StopsAtNight Kind = "clock stops at midnight"
	LastLost     Kind = "last point lost"
	Swapped      Kind = "ports swapped"
)

// Kinds lists every fault in the order of a report.
var Kinds = []Kind{WireOpen, ChannelDead, RestartFull, RestartDark, ClockAhead, ClockBehind, StopsAtNoon, StopsAtNight, LastLost, Swapped}

// Help is what guards against a fault, in a phrase (common practice, no source).
func (k Kind) Help() string {
	switch k {
	case WireOpen:
		return "feed the driver through an outlet that is on only while its lamp should be on; ask the maker what the driver does without its wire"
	case ChannelDead:
		return "look at each colour daily; keep a spare driver, and bring its light back in steps"
	case RestartFull:
		return "set the power-up state to dark; switch supplies by relays that are off until told"
	case RestartDark:
		return "check at noon that the lamps are on; have an alarm on power loss"
	case ClockAhead, ClockBehind:
		return "compare the controller's clock with yours every week, and after each change of summer time"
	case StopsAtNoon:
		return "a mechanical timer in the mains supply that switches off after your latest sunset"
	case StopsAtNight:
		return "check at noon that the lamps are on"
	case LastLost:
		return "count the points in the controller; check that it is dark at both ends of the day, and look once at night"
	case Swapped:
		return "light one port after the other, and label both ends of each wire"
	}
	return ""
}

const noon = port.Day / 2

// fault is one thing that fails and what it makes of the ports.
type fault struct {
	kind                      Kind
	controller, port, channel string
	begin                     float64 // s of the controller's day
	change                    func(own []output)
	dead                      int // a channel that gives no light, counted from 1; 0: none
}

// faults lists all that can be drilled on a table, by kind.
func (s system) faults() []fault {
	var out []fault
	for _, k := range Kinds {
		switch k {
		case WireOpen:
			out = append(out, s.wires()...)
		case ChannelDead:
			out = append(out, s.channels()...)
		case Swapped:
			out = append(out, s.swaps()...)
		default:
			for _, c := range s.controllers() {
				if f := s.controllerFault(k, c); f.change != nil {
					out = append(out, f)
				}
			}
		}
	}
	return out
}

func (s system) wires() (out []fault) {
	for i, p := range s.ports {
		if p.Signal != port.Volts || len(p.channels) == 0 {
			continue
		}
		out = append(out, fault{kind: WireOpen, controller: p.Controller, port: p.Name, channel: p.Channels(),
			change: func(own []output) { own[i].course = port.Steady(p.Range[1]) }})
	}
	return out
}

func (s system) channels() (out []fault) {
	for c, lamps := range s.byChannel {
		if len(lamps) > 0 {
			out = append(out, fault{kind: ChannelDead, channel: s.plan.Channels[c].Name, dead: c + 1})
		}
	}
	return out
}

func (s system) controllers() (out []string) {
	seen := map[string]bool{}
	for _, p := range s.ports {
		if !seen[p.Controller] {
			seen[p.Controller] = true
			out = append(out, p.Controller)
		}
	}
	return out
}

// controllerFault is a fault of one controller; without a change where it cannot have it.
func (s system) controllerFault(k Kind, controller string) fault {
	f := fault{kind: k, controller: controller}
	var does func(p output) port.Course
	switch k {
	case RestartFull:
		does = func(p output) port.Course { return port.Steady(p.Range[1]) }
	case RestartDark:
		does = func(p output) port.Course { return port.Steady(p.Range[0]) }
	case ClockAhead:
		does = func(p output) port.Course { return p.course.Until(noon, p.course.From(3600)) }
	case ClockBehind:
		does = func(p output) port.Course { return p.course.Until(noon, p.course.From(-3600)) }
	case StopsAtNoon:
		f.begin = noon
		does = func(p output) port.Course { return port.Steady(p.course.Command(0)) }
	case StopsAtNight:
		does = func(p output) port.Course { return port.Steady(p.course.Command(0)) }
	case LastLost:
		does = s.shortened(controller)
	}
	if does == nil {
		return f
	}
	f.change = func(own []output) {
		for i, p := range own {
			if p.Controller == controller {
				own[i].course = does(p)
			}
		}
	}
	return f
}

// shortened plays ports without their last point; nil when the controller dims nothing.
func (s system) shortened(controller string) func(p output) port.Course {
	for _, p := range s.ports {
		if p.Controller == controller && p.Signal != port.Switch {
			return func(p output) port.Course { return courseOf(p, p.Points[:max(1, len(p.Points)-1)]) }
		}
	}
	return nil
}

// swaps are neighbouring ports of a controller that drive each other's lamps.
func (s system) swaps() (out []fault) {
	for i := 0; i+1 < len(s.ports); i++ {
		p, q := s.ports[i], s.ports[i+1]
		if p.Controller != q.Controller || len(p.channels) == 0 || len(q.channels) == 0 || slices.Equal(p.channels, q.channels) {
			continue
		}
		out = append(out, fault{kind: Swapped, controller: p.Controller, port: p.Name + " and " + q.Name, channel: p.Channels() + ", " + q.Channels(),
			change: func(own []output) {
				own[i].course, own[i+1].course = courseOf(p, q.Points), courseOf(q, p.Points)
			}})
	}
	return out
}

// courseOf is a port over points that it or a neighbour has played before.
func courseOf(p output, points []port.Point) port.Course {
	c, _ := p.Course(points)
	return c
}
