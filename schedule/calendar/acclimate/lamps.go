package acclimate

import (
	"fmt"
	"slices"

	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

// settle works out what the lamps do at every step up to a date.
func (g *Programme) settle(date plan.Date) {
	for i := range g.Tracks {
		t := &g.Tracks[i]
		for k := range t.Events {
			if e := &t.Events[k]; !e.set && !date.Before(e.Date) {
				g.set(t, e)
				e.set = true
			}
		}
	}
	g.solveUntil(date)
}

// forget drops what was solved for a date and later.
func (g *Programme) forget(date plan.Date) {
	g.solved = slices.DeleteFunc(g.solved, func(s solved) bool { return !s.date.Before(date) })
}

// set finds the scale or the share of hours that gives the coral its share of the
// usual day's DLI. Both are monotone, so halving the interval closes in on it.
func (g *Programme) set(t *Track, e *Event) {
	if t.By == plan.ByHeight {
		g.raise(t, e)
		return
	}
	e.Value = 1
	if t.By != plan.ByDimming && t.By != plan.ByHours || e.Step == e.Of {
		return
	}
	s, _ := g.standing(t.Coral, e.Date)
	usual := g.book.Usual(e.Date)
	want := e.Share * g.usual(e.Date).dli(s.cells)
	dli := func(x float64) float64 { return g.lit(with(g.p, usual, t.By, x)).dli(s.cells) }
	if least := dli(0); least > want {
		e.Value = 0
		what := fmt.Sprintf("%s: on %s it is to get %.3g, and ramps, moonlight and season alone give %.3g", g.p.Corals[t.Coral].Name, e.Date, want, least)
		hint := "take by: dimming or by: place, or shorter ramps"
		if t.By == plan.ByDimming {
			hint = "lower the moonlight, or take by: place"
		}
		g.refuse(e.at, what, "", hint, calendar.Span{e.Date, e.Date.AddDays(t.every - 1)})
		return
	}
	lo, hi := 0.0, 1.0
	for range 50 {
		if m := (lo + hi) / 2; dli(m) > want {
			hi = m
		} else {
			lo = m
		}
	}
	e.Value = lo
}

// with is a day dimmed or shortened.
func with(p *plan.Plan, d calendar.Dated, how plan.How, x float64) calendar.Dated {
	if how == plan.ByHours {
		d.Day = d.Day.And(day.Change{Shorter: slices.Repeat([]float64{1 - x}, len(p.Channels))})
	} else {
		d.Day = d.Day.Times(len(p.Channels), func(int) float64 { return x })
	}
	return d
}
