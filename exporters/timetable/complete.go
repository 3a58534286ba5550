package timetable

import (
	"fmt"
	"slices"

	"dayloom/schedule/plan"
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
			c, planned, ok := find(p, q)
			if !ok {
				return File{}, fmt.Errorf("port %s of %s is in the timetable but not in the plan; compile the plan again", q.Name, q.Controller)
			}
			if channel := channelName(p, planned); q.Channel != channel || q.Signal != c.Signal {
				return File{}, fmt.Errorf("port %s of %s drives %q by %s in the timetable, but %q by %s in the plan; compile the plan again",
					q.Name, q.Controller, q.Channel, signals[q.Signal].name, channel, signals[c.Signal].name)
			}
			ports[j] = filled(q, c, planned)
		}
		out.Tables[i].Ports = ports
		if err := allThere(p, t); err != nil {
			return File{}, err
		}
	}
	return out, out.check()
}

func filled(q Port, c plan.Controller, planned plan.Port) Port {
	if planned.Outlet != nil {
		q.Outlet = PortName{planned.Outlet.Controller, planned.Outlet.Port}
	}
	if c.Signal == plan.Switch {
		return q.asSwitch()
	}
	q.Range, q.Step, q.Hold, q.Response = c.Range, c.Step, c.Hold, planned.Response
	return q
}

func find(p plan.Plan, q Port) (plan.Controller, plan.Port, bool) {
	for _, c := range p.Controllers {
		for _, port := range c.Ports {
			if c.Name == q.Controller && port.Name == q.Name {
				return c, port, true
			}
		}
	}
	return plan.Controller{}, plan.Port{}, false
}

func channelName(p plan.Plan, port plan.Port) string {
	if port.Channel < 0 {
		return ""
	}
	return p.Channels[port.Channel].Name
}

func allThere(p plan.Plan, t Table) error {
	for _, c := range p.Controllers {
		for _, port := range c.Ports {
			if !slices.ContainsFunc(t.Ports, func(q Port) bool { return q.Controller == c.Name && q.Name == port.Name }) {
				return fmt.Errorf("the table from %v lacks port %s of %s, which the plan has; the file was cut, or the plan has changed: compile it again", t.From, port.Name, c.Name)
			}
		}
	}
	return nil
}
