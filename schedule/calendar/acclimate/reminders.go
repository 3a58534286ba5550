package acclimate

import (
	"fmt"

	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
)

// caution goes with every step that is put into a calendar.
const caution = "Common practice, no guarantee: watch the coral, and hold or go back when it pales."

// what says what happens on a date.
func (g *Programme) what(date plan.Date) []string {
	var out []string
	for i := range g.Tracks {
		t := &g.Tracks[i]
		for _, e := range t.Events {
			if e.Date == date {
				out = append(out, g.describe(t, e))
			}
		}
	}
	if o := g.outage(date); o != g.outage(date.AddDays(-1)) {
		out = append(out, outageNote(o))
	}
	for c, list := range g.stands {
		for _, s := range list {
			if s.from == date && len(out) == 0 {
				out = append(out, g.p.Corals[c].Name+": as the journal says")
			}
		}
	}
	return out
}

// describe is one event in words that say what to do.
func (g *Programme) describe(t *Track, e Event) string {
	name, step := g.p.Corals[t.Coral].Name, ""
	switch {
	case e.Of == 0:
		step = "no steps needed"
	case e.Step == 0:
		step = "first day"
	case e.Step == e.Of:
		step = "last step, the usual day"
	default:
		step = fmt.Sprintf("step %d of %d", e.Step, e.Of)
	}
	text := name + ": " + step
	switch {
	case t.By == plan.ByPlace && e.cells != nil:
		at := fmt.Sprintf("x %.0f cm, y %.0f cm, depth %.0f cm", 100*e.Place.X, 100*e.Place.Y, 100*e.Place.Depth)
		if e.Step == 0 {
			text = fmt.Sprintf("Place %s at %s (%s)", name, at, step)
		} else {
			text = fmt.Sprintf("Move %s to %s (%s)", name, at, step)
		}
	case t.By == plan.ByDimming && e.Step < e.Of:
		text += fmt.Sprintf(", all daylight%s at %.1f %%", g.inTank(t), 100*e.Value)
	case t.By == plan.ByHeight && e.Step < e.Of:
		text += ", " + g.higher(t, e.Value)
	case t.By == plan.ByHours && e.Step < e.Of:
		text += fmt.Sprintf(", plateau%s at %.1f %% of its hours", g.inTank(t), 100*e.Value)
	}
	if e.Why != "" {
		text += " (journal: " + e.Why + ")"
	}
	return text
}

// inTank says over which of several tanks lamps are changed.
func (g *Programme) inTank(t *Track) string {
	if !g.p.Several() {
		return ""
	}
	return " over " + g.p.Tanks[g.p.TankOf(t.Coral)].Name
}

// Reminders lists the steps and moves from one date to another, both included.
func (g *Programme) Reminders(from, to plan.Date) []calendar.Reminder {
	var out []calendar.Reminder
	for _, s := range g.Steps {
		if s.Date.Before(from) || to.Before(s.Date) {
			continue
		}
		for _, w := range s.What {
			out = append(out, calendar.Reminder{Date: s.Date, Title: w, Detail: caution})
		}
	}
	return out
}
