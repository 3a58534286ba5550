package acclimate

import (
	"fmt"
	"math"

	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// restart is the way back after an outage.
type restart struct {
	date  plan.Date // light is back
	level float64   // of what it was
	n     int       // steps back to 1, one every plan.StepDays
	at    diag.Place
}

// A coral is taken to lose half its tolerance in so many dark days, and never more
// than half in all; both are working figures without a source.
const (
	halfTimeDays = 7
	lowestAgain  = 0.5
)

// Restart is the light, as a share of what it was, to begin again with after so many
// dark days: 2^(−n/7), at least one half. Common practice, no source.
func Restart(darkDays int) float64 {
	return math.Max(math.Exp2(-float64(darkDays)/halfTimeDays), lowestAgain)
}

// restart starts the way back after an outage and makes all other steps wait for it.
func (g *Programme) restart(e journal.Entry) {
	o := restart{date: e.Date, level: Restart(e.Days) * g.outage(e.Date.AddDays(-1)), at: e.At}
	o.n = Needed(o.level, 1, plan.StepMax*(1-0.05)) // a little room for season and moon
	end := e.Date.AddDays(o.n * plan.StepDays)
	g.outages = append(g.outages, o)
	g.occupied(calendar.Span{e.Date, end.AddDays(plan.StepDays - 1)})
	g.Notes = append(g.Notes, fmt.Sprintf("after %s dark the light restarts on %s at %.0f %% and is full again on %s, in even steps every %s (a half-time of %d days is assumed and no less than %.0f %%: common practice, no source)",
		days(e.Days), e.Date, 100*o.level, end, days(plan.StepDays), halfTimeDays, 100*lowestAgain))
	for i := range g.Tracks {
		g.wait(&g.Tracks[i], e.Date, end, cause{e.Words(), e.At})
	}
	g.forget(e.Date)
}

// wait puts off the steps of a track from a date on until the way back has ended.
func (g *Programme) wait(t *Track, date, end plan.Date, why cause) {
	for k, x := range t.Events {
		if k > 0 && !x.Date.Before(date) {
			if by := x.Date.DaysUntil(end.AddDays(t.every)); by > 0 {
				t.shift(date, by, why)
				g.occupy(t, date)
			}
			return
		}
	}
}

// outage is what is left of all daylight on the way back after outages, 1: all.
func (g *Programme) outage(date plan.Date) float64 {
	for i := len(g.outages) - 1; i >= 0; i-- {
		o := g.outages[i]
		if gone := o.date.DaysUntil(date); gone >= 0 {
			return rung(o.level, 1, min(gone/plan.StepDays, o.n), o.n)
		}
	}
	return 1
}

func outageNote(level float64) string {
	return fmt.Sprintf("after an outage: all daylight at %.1f %%", 100*level)
}
