package timetable

import (
	"fmt"
	"reflect"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// Through is the timetable's points through the ports of a plan, and every difference
// between these and what the file says of its ports, in words. A port that the plan lacks
// is left out; one that the file lacks gives no light.
func (f File) Through(p *plan.Plan) (out File, differences []string) {
	say := func(format string, args ...any) {
		if text := fmt.Sprintf(format, args...); !slices.Contains(differences, text) {
			differences = append(differences, text)
		}
	}
	if own := ClockOf(p.Clock); f.Clock.Zone != "" && f.Clock != own {
		say("the timetable is for %s, the plan for %s", f.Clock.words(), own.words())
	}
	planned := p.Ports()
	out = f
	out.Tables = nil
	for _, t := range f.Tables {
		ports := make([]Port, 0, len(t.Ports))
		for _, q := range t.Ports {
			i := slices.IndexFunc(planned, func(o plan.Port) bool { return o.Ref() == q.Ref() })
			if i < 0 {
				say("port %s of %s is in the timetable, but not in the plan", q.Name, q.Controller)
				continue
			}
			for _, d := range q.differs(planned[i].Port) {
				say("port %s of %s %s", q.Name, q.Controller, d)
			}
			ports = append(ports, Port{Port: planned[i].Port, Points: q.Points, Claim: q.Claim, claimed: q.claimed})
		}
		for _, o := range planned {
			if t.Port(o.Ref()) < 0 {
				say("the table from %v lacks port %s of %s, which the plan has; it stays dark", t.From, o.Name, o.Controller)
			}
		}
		t.Ports = ports
		out.Tables = append(out.Tables, t)
	}
	out.doubt(func(int, int, int) string { return "" })
	return out, append(differences, out.Doubts...)
}

func (c Clock) words() string {
	day, controller := "the day on standard time", "the controller's clock following summer time"
	if c.FollowsSummerTime {
		day = "the day with summer time"
	}
	if c.ControllerStays {
		controller = "the controller's clock staying on standard time"
	}
	return fmt.Sprintf("%s, %s, %s", c.Zone, day, controller)
}

// differs says what the port is in the file and what in the plan, where that is not the
// same. Of a csv file only what it says is compared.
func (p Port) differs(own port.Port) (out []string) {
	say := func(format string, args ...any) { out = append(out, fmt.Sprintf(format, args...)) }
	if p.Channels() != own.Channels() {
		say("drives %s in the timetable, but %s in the plan", orNothing(p.Channels()), orNothing(own.Channels()))
	}
	if p.Signal != own.Signal {
		say("takes %s in the timetable, but %s in the plan", port.Signals[p.Signal].Word, port.Signals[own.Signal].Word)
		return out
	}
	if !p.Known() || p.Signal == port.Switch {
		return out
	}
	for _, q := range p.Points {
		if q.Command < own.Range[0] || q.Command > own.Range[1] {
			say("is sent %s %s, outside its range in the plan, %g to %g", p.Text(q.Command), p.Unit(), own.Range[0], own.Range[1])
			break
		}
	}
	for _, d := range []struct {
		what       string
		file, plan any
	}{
		{"range", p.Range, own.Range}, {"step", p.Step, own.Step}, {"between_points", pick(p.Hold, "hold", "ramp"), pick(own.Hold, "hold", "ramp")},
		{"outlet", orNothing(p.Outlet.Controller + "/" + p.Outlet.Port), orNothing(own.Outlet.Controller + "/" + own.Outlet.Port)},
	} {
		if d.file != d.plan {
			say("has the %s %v in the timetable, but %v in the plan", d.what, d.file, d.plan)
		}
	}
	for i, l := range own.Lamps {
		if i < len(p.Lamps) && p.Lamps[i].Channel == l.Channel && !alike(p.Lamps[i], l) {
			say("answers with another response (%s) in the timetable than in the plan", l.Channel)
		}
	}
	return out
}

// alike reports whether two lamps answer every command alike.
func alike(a, b port.Lamp) bool {
	return reflect.DeepEqual(a.Response.Spec(), b.Response.Spec()) && a.On() == b.On() && a.NeverOff == b.NeverOff
}

func orNothing(s string) string {
	if s == "" || s == "/" {
		return "nothing"
	}
	return s
}
