package acclimate

import (
	"fmt"

	"dayloom/schedule/calendar"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// highest is by how much racks are raised at the most, m.
const highest = 3

// raise finds how much higher all racks must hang for the coral to get its share of the usual day's DLI.
func (g *Programme) raise(t *Track, e *Event) {
	e.Value = 0
	if e.Step == e.Of {
		return
	}
	s, _ := g.standing(t.Coral, e.Date)
	u := g.usual(e.Date)
	want := e.Share * u.dli(s.cells)
	least, err := g.hung(s, highest)
	if err != nil || u.dli(least) > want {
		g.refuse(e.at, fmt.Sprintf("%s: on %s it is to get %.3g, and with the racks %d m higher it still gets %.3g", g.p.Corals[t.Coral].Name, e.Date, want, highest, u.dli(least)),
			"", "take by: dimming or by: place", calendar.Span{e.Date, e.Date.AddDays(t.every - 1)})
		return
	}
	lo, hi := 0.0, float64(highest)
	for hi-lo > 1e-5 {
		m := (lo + hi) / 2
		if cells, _ := g.hung(s, m); u.dli(cells) > want {
			lo = m
		} else {
			hi = m
		}
	}
	e.Value = hi
}

// hung is the light of a coral with all racks so much higher, m.
func (g *Programme) hung(s stand, by float64) ([]light.Cell, error) {
	moved := g.p
	tank := g.p.Zones[s.zone].Tank
	for i := range g.p.Racks {
		if g.p.TankUnder(i) == tank {
			moved = moved.Moved(i, [3]float64{0, 0, by})
		}
	}
	f := g.f.In(tank)
	f.Areas = nil
	a, err := f.Beside(moved, []light.Place{s.place})
	if err != nil {
		return s.cells, err
	}
	return light.Times(a.Corals[0], s.gain), nil
}

// raised is all racks over each tank so much higher for the whole of a date.
func raised(p *plan.Plan, date plan.Date, by []float64) (out []*plan.RackMove) {
	for i := range p.Racks {
		if up := by[p.TankUnder(i)]; up > 0 {
			out = append(out, &plan.RackMove{Rack: i, On: date, To: curve.Day, By: [3]float64{0, 0, up}})
		}
	}
	return out
}
