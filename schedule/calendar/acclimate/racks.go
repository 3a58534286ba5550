package acclimate

import (
	"fmt"
	"slices"

	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// racked adds the journal's moves of racks to those of the plan's calendar, in a plan of its own.
func (g *Programme) racked() {
	q := *g.p
	q.RackMoves = slices.Clone(q.RackMoves)
	for _, e := range journal.Effective(g.opts.Journal) {
		if e.Do != journal.Aside {
			continue
		}
		m := plan.RackMove{Name: e.Remarks, On: e.Date, From: e.Times[0], To: e.Times[1], Pos: plan.Pos{Line: e.At.Line, Col: e.At.Col}}
		m.Rack = slices.IndexFunc(q.Racks, func(r plan.Rack) bool { return r.Name == e.Rack })
		if m.Rack < 0 {
			names := names(q.Racks, func(r plan.Rack) string { return r.Name })
			g.refuse(e.At, fmt.Sprintf("the plan has no rack %q", e.Rack), "racks of the plan: "+diag.Words(names), diag.DidYouMean(e.Rack, names), calendar.Span{e.Date, e.Date})
			continue
		}
		moved, why, _ := q.Parked(m, e.Hung)
		if why != "" {
			g.refuse(e.At, why, "", "", calendar.Span{e.Date, e.Date})
			continue
		}
		q.RackMoves = append(q.RackMoves, moved)
	}
	g.p = &q
}
