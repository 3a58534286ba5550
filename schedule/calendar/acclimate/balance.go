package acclimate

import (
	"fmt"
	"math"

	"dayloom/schedule/calendar"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// solved is what the solver found for a date and until the next.
type solved struct {
	date   plan.Date
	levels Levels
}

// solvedOn is the levels in force on a date, nil for the usual ones.
func (g *Programme) solvedOn(date plan.Date) *solved {
	if len(g.active(date)) == 0 {
		return nil
	}
	var last *solved
	for i := range g.solved {
		if !date.Before(g.solved[i].date) {
			last = &g.solved[i]
		}
	}
	return last
}

// active lists the tracks by balance that are on their way on a date.
func (g *Programme) active(date plan.Date) []*Track {
	var out []*Track
	for i := range g.Tracks {
		t := &g.Tracks[i]
		if e := t.at(date); t.By == plan.ByBalance && e != nil && e.Step < e.Of {
			out = append(out, t)
		}
	}
	return out
}

// solveUntil runs the solver on every date up to the given one on which a track by
// balance takes a step, unless that is done.
func (g *Programme) solveUntil(until plan.Date) {
	var steps []plan.Date
	for i := range g.Tracks {
		for _, e := range g.Tracks[i].Events {
			done := len(g.solved) > 0 && !g.solved[len(g.solved)-1].date.Before(e.Date)
			if g.Tracks[i].By == plan.ByBalance && !done && !until.Before(e.Date) {
				steps = append(steps, e.Date)
			}
		}
	}
	for _, d := range sorted(steps) {
		g.solved = append(g.solved, solved{d, g.solve(d)})
	}
}

// solve asks for levels that give the newcomers their share and all others their
// own targets.
func (g *Programme) solve(date plan.Date) Levels {
	usual := Levels{}
	active := g.active(date)
	if len(active) == 0 {
		return usual
	}
	at := active[0].at(date).at
	if g.opts.Solver == nil {
		g.refuse(at, "by: balance needs the balance solver, which is not at hand here", "", "take by: dimming, hours or place", calendar.Span{date, active[0].Ends})
		return usual
	}
	d := g.book.Usual(date)
	d.Moves = g.stood(date).Moves
	task := Task{Date: date, Age: d.Age, Change: d.Day}
	task.Plan, task.Field = d.Moved(g.p, g.f)
	u := g.usual(date)
	for c := range g.p.Corals {
		task.Targets = append(task.Targets, g.p.Zones[g.p.Corals[c].Zone].DLI)
		task.AtMost = append(task.AtMost, math.Inf(1))
		if !g.present(c, date) {
			task.Targets[c] = math.NaN()
		}
	}
	for _, t := range active {
		e := t.at(date)
		task.Targets[t.Coral] = e.Share * u.dli(task.Field.Corals[t.Coral])
		if had := g.dliBefore(t, date, task.Field); had > 0 {
			task.AtMost[t.Coral] = had * (1 + t.StepMax)
		} else {
			task.AtMost[t.Coral] = task.Targets[t.Coral]
		}
	}
	levels, err := g.opts.Solver(task)
	if err != nil {
		g.refuse(at, fmt.Sprintf("by: balance finds no levels for %s: %v", date, err), "", "take by: place, which leaves the others as they are, or by: dimming", calendar.Span{date, active[0].Ends})
		return usual
	}
	return levels
}

// dliBefore is what a track's coral has on the day before a date, 0 before arrival.
func (g *Programme) dliBefore(t *Track, date plan.Date, f light.Field) float64 {
	before := date.AddDays(-1)
	if before.Before(t.Arrives) {
		return 0
	}
	return g.lit(g.Book().Steady(before)).dli(f.Corals[t.Coral])
}
