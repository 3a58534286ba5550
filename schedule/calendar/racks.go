package calendar

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/diag"
)

// racks is the layer of racks that hang elsewhere for a while. The day that is played stays as it is.
func (b *Book) racks(date plan.Date) (c Change) {
	for i := range b.p.RackMoves {
		if m := &b.p.RackMoves[i]; m.On == date {
			c.Racks = append(c.Racks, m)
			c.Notes = append(c.Notes, parked(b.p, *m))
		}
	}
	return c
}

// unmoved warns of racks whose lamps' light is known where it was read alone, so that a move changes none of it.
func unmoved(p *plan.Plan) (problems diag.List) {
	for _, m := range p.RackMoves {
		var names []string
		for _, c := range p.Racks[m.Rack].Channels {
			if !light.Modelled(p.Channels[c]) {
				names = append(names, p.Channels[c].Name)
			}
		}
		if names != nil {
			problems = append(problems, problem(p, m.Pos, diag.Warning, fmt.Sprintf("rack %s: the light of %s is counted as if it stayed", p.Racks[m.Rack].Name, diag.Words(names)),
				"give emitters and a flux: without them light is known where it was read alone"))
		}
	}
	return problems
}

// parked is a move in words.
func parked(p *plan.Plan, m plan.RackMove) string {
	var to []string
	for k, axis := range []string{"x", "y", "height"} {
		if m.By[k] != 0 {
			to = append(to, fmt.Sprintf("%s %+.4g cm", axis, 100*m.By[k]))
		}
	}
	text := fmt.Sprintf("rack %s at %s from where it hangs, from %s to %s", p.Racks[m.Rack].Name, strings.Join(to, ", "), hour(m.From), hour(m.To))
	if m.Name != "" {
		text = m.Name + ": " + text
	}
	return text
}

func hour(s float64) string { return fmt.Sprintf("%02d:%02d", int(s)/3600, int(s)/60%60) }

// beside adds to a field what its places get while racks hang elsewhere.
func (d Dated) beside(p *plan.Plan, f light.Field) light.Field {
	var edges []float64
	for _, m := range d.Racks {
		edges = append(edges, m.From, m.To)
	}
	slices.Sort(edges)
	edges = slices.Compact(edges)
	for i, to := range edges[min(1, len(edges)):] {
		moved, any := p, false
		for _, m := range d.Racks {
			if m.From <= edges[i] && to <= m.To {
				moved, any = moved.Moved(m.Rack, m.By), true
			}
		}
		if !any {
			continue
		}
		var places []light.Place
		for _, c := range p.Corals {
			places = append(places, light.Place{X: c.X, Y: c.Y, Depth: c.Depth})
		}
		a, err := f.Beside(moved, places)
		if err != nil {
			continue // a field made by hand knows no light elsewhere
		}
		for _, m := range d.Moves {
			a.Corals[m.Coral] = light.Times(a.Corals[m.Coral], m.Gain)
		}
		a.From, a.To = edges[i], to
		f.Asides = append(f.Asides, a)
	}
	slices.SortFunc(f.Asides, func(a, b light.Aside) int { return cmp.Compare(a.From, b.From) })
	return f
}

// allDay tells whether a stretch is the whole of a day.
func allDay(from, to float64) bool { return from <= 0 && to >= curve.Day }

// Hung is the plan and field that Moved gave as they are at a second of the day, with racks where they hang then; a
// negative one asks for what holds all day, such as racks raised for a newcomer. aside tells of other stretches of the
// day, or tanks, in which racks hang elsewhere than that.
func (d Dated) Hung(p *plan.Plan, f light.Field, second float64) (q *plan.Plan, g light.Field, aside bool) {
	q, g = p, f
	for _, a := range f.Asides {
		if !allDay(a.From, a.To) && (second < a.From || a.To <= second) {
			aside = true
			continue
		}
		moved := p
		for _, m := range d.Racks {
			if m.From <= a.From && a.To <= m.To {
				moved = moved.Moved(m.Rack, m.By)
			}
		}
		if during, ok := f.During(a, moved); ok {
			q, g = moved, during
		} else {
			aside = true
		}
	}
	return q, g, aside
}
