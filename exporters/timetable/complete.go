package timetable

import (
	"fmt"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/port"
)

// Complete is the timetable with range, step, response and ramps of its ports
// taken from a plan. It refuses a timetable that lacks a port of the plan, or
// has one that the plan lacks or uses for something else.
func (f File) Complete(p plan.Plan) (File, error) {
	out := f
	out.Tables = slices.Clone(f.Tables)
	for i, t := range f.Tables {
		ports := make([]Port, len(t.Ports))
		for j, q := range t.Ports {
			planned, ok := find(p, q.Ref())
			if !ok {
				return File{}, fmt.Errorf("port %s of %s is in the timetable but not in the plan; compile the plan again", q.Name, q.Controller)
			}
			if q.Channels() != planned.Channels() || q.Signal != planned.Signal {
				return File{}, fmt.Errorf("port %s of %s drives %q by %s in the timetable, but %q by %s in the plan; compile the plan again",
					q.Name, q.Controller, q.Channels(), port.Signals[q.Signal].Word, planned.Channels(), port.Signals[planned.Signal].Word)
			}
			ports[j] = Port{Port: planned, Points: q.Points, claimed: q.claimed}
		}
		out.Tables[i].Ports = ports
		if err := allThere(p, t); err != nil {
			return File{}, err
		}
	}
	if err := out.check(); err != nil {
		return File{}, err
	}
	out.doubt(func(int, int, int) string { return "" })
	return out, nil
}

func find(p plan.Plan, name port.Ref) (port.Port, bool) {
	for _, q := range p.Ports() {
		if q.Ref() == name {
			return q.Port, true
		}
	}
	return port.Port{}, false
}

func allThere(p plan.Plan, t Table) error {
	for _, q := range p.Ports() {
		if t.Port(q.Ref()) < 0 {
			return fmt.Errorf("the table from %v lacks port %s of %s, which the plan has; the file was cut, or the plan has changed: compile it again", t.From, q.Name, q.Controller)
		}
	}
	return nil
}
