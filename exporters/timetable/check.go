package timetable

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"unicode/utf8"

	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/visible"
)

// fault is the first thing wrong with a file and where; an index of -1 means
// the level above.
type fault struct {
	table, port, point int
	say                string
}

func (f fault) Error() string { return f.say }

// Check refuses a timetable that cannot be played, written or read.
func (f File) Check() error {
	for _, c := range []struct{ what, text string }{{"plan", f.Plan}, {"time zone", f.Clock.Zone}} {
		if !plain(c.text) {
			return fault{-1, -1, -1, fmt.Sprintf("the name of the %s, %q, has characters in it that cannot be printed; compile the plan again", c.what, c.text)}
		}
	}
	if len(f.Tables) == 0 {
		return fault{-1, -1, -1, "there is no table in it; compile the plan again"}
	}
	for i, t := range f.Tables {
		if say := f.checkDates(i); say != "" {
			return fault{i, -1, -1, say}
		}
		seen := make(map[port.Ref]bool, len(t.Ports))
		for j, p := range t.Ports {
			id := p.Ref()
			if seen[id] {
				return fault{i, j, -1, fmt.Sprintf("port %s of %s comes twice in the table from %v; keep its points together, or compile the plan again", p.Name, p.Controller, t.From)}
			}
			seen[id] = true
			if point, say := p.check(); say != "" {
				return fault{i, j, point, fmt.Sprintf("port %s of %s: %s", p.Name, p.Controller, say)}
			}
		}
		if say := f.sameAsFirst(t, seen); say != "" {
			return fault{i, -1, -1, say}
		}
		for j, p := range t.Ports {
			if o := p.Outlet; o != (port.Ref{}) && !t.hasSwitch(o) {
				return fault{i, j, -1, fmt.Sprintf("port %s of %s has its supply switched by port %s of %s, but there is no such switch in the table; compile the plan again", p.Name, p.Controller, o.Port, o.Controller)}
			}
		}
	}
	return f.checkEnds()
}

// plain reports whether a name is text on one line, of characters that can be seen.
func plain(name string) bool {
	_, hidden := visible.Hidden(name)
	return utf8.ValidString(name) && !hidden
}

func (t Table) hasSwitch(n port.Ref) bool {
	i := t.Port(n)
	return i >= 0 && t.Ports[i].Signal == port.Switch
}

// sameAsFirst refuses a table whose ports are not those of the first one.
func (f File) sameAsFirst(t Table, seen map[port.Ref]bool) string {
	if len(t.Ports) == 0 {
		return fmt.Sprintf("the table from %v has no ports; compile the plan again", t.From)
	}
	first := f.Tables[0]
	for _, p := range first.Ports {
		if !seen[p.Ref()] {
			return fmt.Sprintf("the table from %v lacks port %s of %s, which the table from %v has; the file was cut or edited: compile the plan again", t.From, p.Name, p.Controller, first.From)
		}
	}
	if len(t.Ports) > len(first.Ports) {
		return fmt.Sprintf("the table from %v has %d ports, that from %v only %d; every table must have the same: compile the plan again", t.From, len(t.Ports), first.From, len(first.Ports))
	}
	return ""
}

// check is the port alone: the index of the point at fault, -1 for the port.
func (p Port) check() (point int, say string) {
	for _, c := range []struct{ what, text string }{{"controller", p.Controller}, {"port", p.Name}, {"channel", p.Channels()}, {"outlet", p.Outlet.Controller + p.Outlet.Port}} {
		if (c.text == "") && (c.what == "controller" || c.what == "port") {
			return -1, fmt.Sprintf("the name of the %s is missing", c.what)
		}
		if !plain(c.text) {
			return -1, fmt.Sprintf("the name of the %s, %q, has characters in it that cannot be printed; rename it", c.what, c.text)
		}
	}
	if p.Known() && !(p.Step >= 0 && p.Step <= p.Range[1]-p.Range[0]) {
		return -1, fmt.Sprintf("the step %g must lie between 0 and the width of the range, %g", p.Step, p.Range[1]-p.Range[0])
	}
	if len(p.Points) == 0 {
		return -1, "there are no points; a port that stays dark has one point with its dark command"
	}
	for i, q := range p.Points {
		if p.claimed != nil && len(p.claimed[i]) != len(p.answering()) {
			return i, fmt.Sprintf("the point at %s lacks a row for a channel of its port, %s; the file was cut or edited: compile the plan again", TimeOfDay(q.Time), p.Channels())
		}
		if say := p.checkPoint(q); say != "" {
			return i, say
		}
		if i > 0 && q.Time <= p.Points[i-1].Time {
			return i, fmt.Sprintf("the time %s comes after %s; times must rise from point to point", TimeOfDay(q.Time), TimeOfDay(p.Points[i-1].Time))
		}
		if p.claimed != nil && slices.ContainsFunc(p.claimed[i], func(y float64) bool { return !(y >= 0 && y <= 1) }) {
			return i, fmt.Sprintf("light_percent %g; it must lie between 0 and 100", 100*slices.MaxFunc(p.claimed[i], further))
		}
	}
	return -1, ""
}

func (p Port) checkPoint(q port.Point) string {
	const slack = 1e-9 // of the range: decimals against binary fractions
	switch {
	case !(q.Time >= 0 && q.Time < port.Day) || q.Time != math.Trunc(q.Time):
		return fmt.Sprintf("the time %g s is not a whole second of the day, 0 to 86399", q.Time)
	case math.IsNaN(q.Command) || math.IsInf(q.Command, 0):
		return "the command is not a number"
	case p.Signal == port.Switch && q.Command != 0 && q.Command != 1:
		return fmt.Sprintf("the command %g; a switch has only on and off", q.Command)
	case p.Known() && (q.Command < p.Range[0]-slack*(p.Range[1]-p.Range[0]) || q.Command > p.Range[1]+slack*(p.Range[1]-p.Range[0])):
		return fmt.Sprintf("the command %g %s lies outside the range, %g to %g; no such command can be sent", q.Command, p.Unit(), p.Range[0], p.Range[1])
	}
	return ""
}

// claimSlack is how far a light may be from what a file states: it has three decimals of
// a percent.
const claimSlack = 0.6e-5

// further orders light fractions by how far they are from one that can be.
func further(a, b float64) int { return cmp.Compare(math.Abs(a-0.5), math.Abs(b-0.5)) }

// light is what lamp k gives at the command of point i as it is written.
func (p Port) light(i, k int) float64 {
	return p.answering()[k].Light(math.Round(p.Points[i].Command*1e9) / 1e9)
}

// mostDoubts is how many places are told: who has so many has another file.
const mostDoubts = 20

// doubt holds the light that the file states at each point of a port that is known against
// what the lamps give at its command, and forgets it.
func (f *File) doubt(place func(table, port, point int) string) {
	for i, t := range f.Tables {
		for j := range t.Ports {
			p := &t.Ports[j]
			if !p.Known() {
				continue
			}
			for n, lights := range p.claimed {
				for k, light := range lights {
					if len(f.Doubts) == mostDoubts {
						return
					}
					if given := p.light(n, k); !(math.Abs(light-given) <= claimSlack) {
						f.Doubts = append(f.Doubts, fmt.Sprintf("%sport %s of %s at %s: light_percent is %.3f, but at %s %s the lamp gives %.3f",
							place(i, j, n), p.Name, p.Controller, TimeOfDay(p.Points[n].Time), 100*light, p.Text(p.Points[n].Command), p.Unit(), 100*given))
					}
				}
			}
			p.claimed = nil
		}
	}
}
