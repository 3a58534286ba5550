package acclimate

import (
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/calendar"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// A path by place is a shortest path through layers of candidate places.
//
// Layer k holds the places whose DLI is within half a step (a whole one where that leaves
// no path) of the target a·q^k on the way from a to b, that lie in the region, off the walls and apart from other corals
// for as long as the coral would stand there. From a place of one layer to one of the
// next it may go if neither DLI nor peak PPFD nor violet dose rises by more than the
// limit. The last layer is the coral's final place. The cost of a move is its length
// plus offTarget for a DLI a whole half step off; dynamic programming over the layers
// finds the path of least cost (Bellman 1957, Dynamic Programming, Princeton).
//
// The light is that of the usual day on which the path is planned, so that what other
// corals' programmes and the journal do later leaves it as it is.

const offTarget = 0.10 // m, the move that half a step off target is worth

// narrowest is the least half-width of a layer, as a ratio of DLI less 1.
const narrowest = 0.03

// gridError is how far the rise between two places of the grid may be from the true
// one: 0.1 % for each of them.
const gridError = 0.003

// spot is a candidate in one layer.
type spot struct {
	place light.Place
	cells []light.Cell
	Measure
	cost float64
	from int // in the layer before
}

// walk gives the events of a track from one index on their places. start is where the
// coral stands now, nil when that is free to choose; before is what it had, whose peak
// and violet count when known.
func (g *Programme) walk(t *Track, first int, start *stand, gain float64, before Measure, known bool, at diag.Place) {
	events := t.Events[first:]
	if !known {
		before = OnlyDLI(before.DLI)
	}
	var layers [][]spot
	for _, width := range []float64{0.5, 1} { // in steps: a whole one where half a step leaves no path
		var err error
		if layers, err = g.layers(t, events, start, gain, width); err != nil {
			t.lost = true
			g.refuse(at, fmt.Sprintf("%s cannot be acclimated by place: %v", g.p.Corals[t.Coral].Name, err), "", "give that channel flux and emitters, or take another way", steps(events))
			return
		}
		failed, up, which := join(layers, before, t.StepMax)
		if t.lost = failed >= 0; !t.lost {
			if width > 0.5 {
				t.Notes = append(t.Notes, "no path keeps within half a step of every target; this one keeps within a whole step")
			}
			break
		}
		if width < 1 {
			continue
		}
		if len(layers[failed]) == 0 {
			g.noSpot(t, events, failed, at, gain)
			return
		}
		what := fmt.Sprintf("%s: no path by place into step %d on %s: every spot that fits is at least %.0f %% brighter in %s than those before it",
			g.p.Corals[t.Coral].Name, events[failed].Step, events[failed].Date, 100*up, which)
		g.refuse(at, what, fmt.Sprintf("step_max is %.4g %%", 100*t.StepMax), "take more steps, a wider `within`, or another way", steps(events))
		return
	}
	best := 0 // the last layer is one place
	var places []light.Place
	for k := len(layers) - 1; k >= 0; k-- {
		s := layers[k][best]
		events[k].Place, events[k].cells = s.place, s.cells
		places = append(places, s.place)
		best = s.from
	}
	slices.Reverse(places)
	exact, err := g.cells(g.p.TankOf(t.Coral), places) // the grid is good to choose by; what is reported is the light at the very place
	for k := range exact {
		if k < len(events)-1 && (k > 0 || start == nil) && err == nil {
			events[k].cells = light.Times(exact[k], gain)
		}
	}
}

// steps is the dates of some events.
func steps(events []Event) calendar.Span {
	return calendar.Span{events[0].Date, events[len(events)-1].Date}
}

// join links all layers; failed is the first that cannot be reached, -1: none.
func join(layers [][]spot, before Measure, limit float64) (failed int, up float64, which string) {
	for k, layer := range layers {
		if len(layer) == 0 {
			return k, 0, ""
		}
		if up, which = connect(layers, k, before, limit); up > 0 {
			return k, up, which
		}
	}
	return -1, 0, ""
}

// layers are the spots that fit each event, to so many steps of DLI either way.
func (g *Programme) layers(t *Track, events []Event, start *stand, gain, width float64) ([][]spot, error) {
	field, err := g.candidatesIn(g.p.TankOf(t.Coral), g.region(t))
	if err != nil {
		return nil, err
	}
	u := g.usual(events[0].Date)
	spotOf := func(s stand) []spot {
		return []spot{{place: s.place, cells: s.cells, Measure: u.measure(s.cells, g.violet)}}
	}
	last := len(events) - 1
	half := 2 * width * halfStep(events)
	out := make([][]spot, len(events))
	out[last] = spotOf(g.destination(t.Coral, gain))
	if start != nil && last > 0 {
		out[0] = spotOf(*start)
	}
	cells, dli := field.cells, make([]float64, len(field.places))
	for i := range cells {
		dli[i] = u.dli(cells[i]) * gain
	}
	for k, e := range events {
		if out[k] != nil {
			continue
		}
		for i, p := range field.places {
			off := math.Abs(math.Log(dli[i]/e.Target)) / half
			if !(off <= 1) || !g.free(t.Coral, p, t.acc.Apart, e.Date, leaves(events, k)) {
				continue
			}
			s := spot{place: p, cells: cells[i], cost: offTarget * off}
			if gain != 1 {
				s.cells = light.Times(s.cells, gain)
			}
			s.Measure = u.measure(s.cells, g.violet)
			out[k] = append(out[k], s)
		}
	}
	return out, nil
}

// halfStep is half the width of a layer in ln DLI.
func halfStep(events []Event) float64 {
	n := float64(events[0].Of)
	q := math.Log(events[len(events)-1].Target/events[0].Target) / max(n, 1)
	return max(math.Abs(q)/2, math.Log1p(narrowest))
}

// leaves is the last day on which the coral stands where event k puts it.
func leaves(events []Event, k int) plan.Date {
	if k+1 < len(events) {
		return events[k+1].Date.AddDays(-1)
	}
	return events[k].Date
}

// connect links layer k to the one before at least cost. Where no link keeps to the
// limit it gives the least excess found and of what.
func connect(layers [][]spot, k int, before Measure, limit float64) (excess float64, which string) {
	layer := layers[k]
	least, name := math.Inf(1), ""
	linked := false
	for j := range layer {
		s := &layer[j]
		best := math.Inf(1)
		consider := func(from Measure, cost float64, i int) {
			if cost >= best {
				return
			}
			up, what := Rise(s.Measure, []Measure{from}, Measure{}).Most()
			if up > limit-gridError {
				if up < least {
					least, name = up, what
				}
				return
			}
			best, s.from = cost, i
		}
		if k == 0 {
			consider(before, 0, 0)
		} else {
			for i := range layers[k-1] {
				if old := &layers[k-1][i]; old.cost < best { // what costs more already is no better way here
					consider(old.Measure, old.cost+away(old.place, s.place), i)
				}
			}
		}
		s.cost += best
		linked = linked || !math.IsInf(best, 1)
	}
	if linked {
		return 0, ""
	}
	return least, name
}

// noSpot says which step has nowhere to go and what would do.
func (g *Programme) noSpot(t *Track, events []Event, k int, at diag.Place, gain float64) {
	e := events[k]
	name := g.p.Corals[t.Coral].Name
	field, err := g.candidatesIn(g.p.TankOf(t.Coral), g.region(t))
	what := fmt.Sprintf("%s: no spot for step %d on %s, which is to give %.3g mol m⁻² d⁻¹", name, e.Step, e.Date, e.Target)
	if err != nil || len(field.places) == 0 {
		g.refuse(at, what+": nothing is left between the walls where it may stand", "", "make `within` wider or `apart` less", steps(events))
		return
	}
	u := g.usual(e.Date)
	nearest, off := 0, math.Inf(1)
	lowest, highest := math.Inf(1), 0.0
	for i := range field.places {
		d := u.dli(field.cells[i]) * gain
		lowest, highest = min(lowest, d), max(highest, d)
		if o := math.Abs(math.Log(d / e.Target)); o < off && g.free(t.Coral, field.places[i], t.acc.Apart, e.Date, e.Date) {
			nearest, off = i, o
		}
	}
	p := field.places[nearest]
	what += fmt.Sprintf("; where it may stand there is %.3g to %.3g, nearest %.3g at x %.0f cm, y %.0f cm, depth %.0f cm",
		lowest, highest, u.dli(field.cells[nearest])*gain, 100*p.X, 100*p.Y, 100*p.Depth)
	g.refuse(at, what, "", "make `within` wider, start nearer to what there is, take fewer or more steps, or by: dimming", steps(events))
}
