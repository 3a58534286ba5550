package acclimate

import (
	"fmt"
	"slices"
	"strings"

	"dayloom/schedule/calendar"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// highest is by how much racks are raised at the most, m.
const highest = 3

// overShare is from which share of the light at a place of the newcomer's zone on a rack counts as being over it.
const overShare = 0.1

// raise finds how much higher the racks over the newcomer's zone must hang for the coral to get its share of the usual
// day's DLI.
func (g *Programme) raise(t *Track, e *Event) {
	e.Value = 0
	s, _ := g.standing(t.Coral, e.Date)
	if t.racks == nil {
		t.racks = g.above(s)
	}
	if e.Step == e.Of {
		return
	}
	u := g.usual(e.Date)
	want := e.Share * u.dli(s.cells)
	least, err := g.hung(s, t.racks, highest)
	if all := g.racksIn(s); err == nil && u.dli(least) > want && len(all) > len(t.racks) && e.Step == 0 {
		t.racks = all // those over the zone alone leave it too bright
		least, err = g.hung(s, t.racks, highest)
	}
	if err != nil || u.dli(least) > want {
		g.refuse(e.at, fmt.Sprintf("%s: on %s it is to get %.3g, and with the racks %d m higher it still gets %.3g", g.p.Corals[t.Coral].Name, e.Date, want, highest, u.dli(least)),
			"", "take by: dimming or by: place", calendar.Span{e.Date, e.Date.AddDays(t.every - 1)})
		return
	}
	lo, hi := 0.0, float64(highest)
	for hi-lo > 1e-5 {
		m := (lo + hi) / 2
		if cells, _ := g.hung(s, t.racks, m); u.dli(cells) > want {
			lo = m
		} else {
			hi = m
		}
	}
	e.Value = hi
}

// racksIn are all racks over the tank that a coral stands in.
func (g *Programme) racksIn(s stand) (out []int) {
	for i := range g.p.Racks {
		if g.p.TankUnder(i) == g.p.Zones[s.zone].Tank {
			out = append(out, i)
		}
	}
	return out
}

// above are the racks of that tank that light the zone: at a coral or area of it they give some of all light at full
// output; where none does, all of them.
func (g *Programme) above(s stand) (out []int) {
	places := [][]light.Cell{s.cells}
	for i, c := range g.p.Corals {
		if c.Zone == s.zone {
			places = append(places, g.f.Corals[i])
		}
	}
	for _, a := range g.f.Areas {
		if a.Zone == s.zone {
			places = append(places, a.Mean)
		}
	}
	for _, i := range g.racksIn(s) {
		if slices.ContainsFunc(places, func(cells []light.Cell) bool {
			all, own := 0.0, 0.0
			for c, cell := range cells {
				if all += cell.PPFD; slices.Contains(g.p.Racks[i].Channels, c) {
					own += cell.PPFD
				}
			}
			return own > 0 && own >= overShare*all
		}) {
			out = append(out, i)
		}
	}
	if out == nil {
		return g.racksIn(s)
	}
	return out
}

// hung is the light of a coral with some racks so much higher, m.
func (g *Programme) hung(s stand, racks []int, by float64) ([]light.Cell, error) {
	moved := g.p
	for _, i := range racks {
		moved = moved.Moved(i, [3]float64{0, 0, by})
	}
	f := g.f.In(g.p.Zones[s.zone].Tank)
	f.Areas = nil
	a, err := f.Beside(moved, []light.Place{s.place})
	if err != nil {
		return s.cells, err
	}
	return light.Times(a.Corals[0], s.gain), nil
}

// raised is racks so much higher, m, for the whole of a date; as Plan.Racks.
func raised(date plan.Date, by []float64) (out []*plan.RackMove) {
	for i, up := range by {
		if up > 0 {
			out = append(out, &plan.RackMove{Rack: i, On: date, To: curve.Day, By: [3]float64{0, 0, up}})
		}
	}
	return out
}

// higher is a track's racks in words: all over its tank, or by name.
func (g *Programme) higher(t *Track, by float64) string {
	s, _ := g.standing(t.Coral, t.Arrives)
	if len(t.racks) == len(g.racksIn(s)) {
		return fmt.Sprintf("racks%s %.1f cm higher than they hang", g.inTank(t), 100*by)
	}
	var names []string
	for _, i := range t.racks {
		names = append(names, g.p.Racks[i].Name)
	}
	if len(names) == 1 {
		return fmt.Sprintf("rack %s %.1f cm higher than it hangs", names[0], 100*by)
	}
	return fmt.Sprintf("racks %s %.1f cm higher than they hang", strings.Join(names, " and "), 100*by)
}
