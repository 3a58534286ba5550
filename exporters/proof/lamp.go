package proof

import (
	"fmt"
	"slices"

	"dayloom/exporters/timetable"
	"dayloom/exporters/track"
	"dayloom/schedule/plan"
)

// lamp is the light of a port on the controller's clock: its track, and where an
// outlet cuts its supply, darkness while that is off.
type lamp struct {
	port   track.Track
	supply *track.Track // nil: never cut
	breaks []float64
}

// lamps plays every port of a table, in the order of the ports of the file's first
// table, so that a port has one index on all dates. A port that only feeds others
// gives no light of its own and is left dark.
func lamps(f timetable.File, table int) ([]lamp, error) {
	t := f.Tables[table]
	at := make(map[timetable.PortName]*track.Track, len(t.Ports))
	for _, p := range t.Ports {
		tr, err := p.Track()
		if err != nil {
			return nil, fmt.Errorf("port %s of %s: %w", p.Name, p.Controller, err)
		}
		at[timetable.PortName{Controller: p.Controller, Port: p.Name}] = &tr
	}
	out := make([]lamp, len(f.Tables[0].Ports))
	for i, p := range f.Tables[0].Ports {
		tr := at[timetable.PortName{Controller: p.Controller, Port: p.Name}]
		if tr == nil {
			return nil, fmt.Errorf("the table from %v lacks port %s of %s", t.From, p.Name, p.Controller)
		}
		out[i] = lamp{port: *tr, supply: at[p.Outlet], breaks: tr.Breaks()}
		if s := out[i].supply; s != nil {
			out[i].breaks = append(out[i].breaks, s.Breaks()...)
			slices.Sort(out[i].breaks)
			out[i].breaks = slices.Compact(out[i].breaks)
		}
	}
	return out, nil
}

// feeds reports whether a port is a switch that other ports have their supply from.
func feeds(t timetable.Table, p timetable.Port) bool {
	return p.Signal == plan.Switch && slices.ContainsFunc(t.Ports, func(q timetable.Port) bool {
		return q.Outlet == timetable.PortName{Controller: p.Controller, Port: p.Name}
	})
}

func (l lamp) light(s float64) float64 {
	if l.supply != nil && l.supply.Light(s) == 0 {
		return 0
	}
	return l.port.Light(s)
}

// integral is ∫ light dt, s of full light.
func (l lamp) integral(from, to float64) float64 {
	if l.supply == nil {
		return l.port.Integral(from, to)
	}
	sum := 0.0
	bs := l.supply.Breaks()
	for i := 0; i+1 < len(bs); i++ {
		if a, b := max(from, bs[i]), min(to, bs[i+1]); b > a && l.supply.Light(bs[i]) > 0 {
			sum += l.port.Integral(a, b)
		}
	}
	return sum
}
