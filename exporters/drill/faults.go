package drill

import (
	"dayloom/exporters/timetable"
	"dayloom/exporters/track"
	"dayloom/schedule/plan"
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
		return "feed the driver through an outlet that is on only while its lamp should be lit; ask the maker what an open wire does"
	case ChannelDead:
		return "look at each colour daily; keep a spare driver, and bring its light back in steps"
	case RestartFull:
		return "set the power-up state to dark; switch supplies by relays that are off until told"
	case RestartDark:
		return "look that lamps are lit at noon; an alarm on power loss"
	case ClockAhead, ClockBehind:
		return "hold the controller's clock against yours weekly, and after each change of summer time"
	case StopsAtNoon:
		return "a mechanical timer in the supply that ends the longest day"
	case StopsAtNight:
		return "look that lamps are lit at noon"
	case LastLost:
		return "count the points in the controller; have it dark at both ends of the day, and look once at night"
	case Swapped:
		return "light one port after the other, and label both ends of each wire"
	}
	return ""
}

const noon = track.Day / 2

// fault is one thing that fails and what it makes of the ports' own light.
type fault struct {
	kind                      Kind
	controller, port, channel string
	begin                     float64 // s of the controller's day
	change                    func(own []lamp)
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
		if p.Signal != plan.Volts || p.channel < 0 {
			continue
		}
		full := p.Response.Fraction(p.Range[1])
		out = append(out, fault{WireOpen, p.Controller, p.Name, p.Channel, 0, func(own []lamp) { own[i] = steady(full) }})
	}
	return out
}

func (s system) channels() (out []fault) {
	for c, ports := range s.byChannel {
		if len(ports) == 0 {
			continue
		}
		out = append(out, fault{ChannelDead, "", "", s.plan.Channels[c].Name, 0, func(own []lamp) {
			for _, i := range ports {
				own[i] = steady(0)
			}
		}})
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
	var does func(p port) lamp
	switch k {
	case RestartFull:
		does = func(p port) lamp { return steady(p.Response.Fraction(p.Range[1])) }
	case RestartDark:
		does = func(p port) lamp { return steady(p.Response.Fraction(p.Range[0])) }
	case ClockAhead:
		does = func(p port) lamp { return jumped(p.track, 3600) }
	case ClockBehind:
		does = func(p port) lamp { return jumped(p.track, -3600) }
	case StopsAtNoon:
		f.begin = noon
		does = func(p port) lamp { return steady(p.track.Light(noon)) }
	case StopsAtNight:
		does = func(p port) lamp { return steady(p.track.Light(0)) }
	case LastLost:
		does = s.shortened(controller)
	}
	if does == nil {
		return f
	}
	f.change = func(own []lamp) {
		for i, p := range s.ports {
			if p.Controller == controller {
				own[i] = does(p)
			}
		}
	}
	return f
}

// jumped is a day on which the clock jumps at noon.
func jumped(tr *track.Track, seconds float64) lamp {
	return append(play(tr, 0, noon, 0), play(tr, noon, track.Day, noon+seconds)...)
}

// shortened plays ports without their last point; nil when the controller dims nothing.
func (s system) shortened(controller string) func(p port) lamp {
	for _, p := range s.ports {
		if p.Controller == controller && p.Signal != plan.Switch {
			return func(p port) lamp {
				q := p.Port
				q.Points = q.Points[:max(1, len(q.Points)-1)]
				return play(trackOf(q), 0, track.Day, 0)
			}
		}
	}
	return nil
}

// swaps are neighbouring ports of a controller that drive each other's lamps.
func (s system) swaps() (out []fault) {
	for i := 0; i+1 < len(s.ports); i++ {
		p, q := s.ports[i], s.ports[i+1]
		if p.Controller != q.Controller || p.channel < 0 || q.channel < 0 || p.channel == q.channel {
			continue
		}
		forP, forQ := p.Port, q.Port
		forP.Points, forQ.Points = q.Points, p.Points
		out = append(out, fault{Swapped, p.Controller, p.Name + " and " + q.Name, p.Channel + ", " + q.Channel, 0, func(own []lamp) {
			own[i], own[i+1] = play(trackOf(forP), 0, track.Day, 0), play(trackOf(forQ), 0, track.Day, 0)
		}})
	}
	return out
}

// trackOf plays a port whose points have been played before, if in another order of ports.
func trackOf(p timetable.Port) *track.Track {
	tr, _ := p.Track()
	return &tr
}
