package calendar

import (
	"fmt"
	"slices"

	"dayloom/schedule/plan"
)

// DueShare is the share of new flux below which lamps are due for change; about
// 80 % is common practice, no source.
const DueShare = 0.80

// Reminder is something for a person to do or to know on a date.
type Reminder struct {
	Date   plan.Date
	Title  string
	Detail string
}

// Reminders lists, by date, the chores and relampings of the plan, the steps after these and
// the first date on which each channel falls below DueShare of its new flux, from one date to
// another, both included. A channel that is already below it on the first date is due on that date.
func (b *Book) Reminders(from, to plan.Date) (out []Reminder) {
	for i := range b.p.Channels {
		out = append(out, b.ofChannel(i, from, to)...)
	}
	for i, c := range b.p.Chores {
		for d := from; !to.Before(d); d = d.AddDays(1) {
			if (Span{c.From, c.To}).Has(d) && (c.Pattern == "" || b.patterns[len(b.p.Calendar)+i].Matches(d.UTC())) {
				out = append(out, Reminder{d, c.Name, ""})
			}
		}
	}
	for _, m := range b.p.RackMoves {
		if (Span{from, to}).Has(m.On) {
			out = append(out, Reminder{m.On, parked(b.p, m), "The light of the day counts both places; the timetables stay as they are."})
		}
	}
	slices.SortStableFunc(out, func(a, b Reminder) int { return -a.Date.DaysUntil(b.Date) })
	return out
}

func (b *Book) ofChannel(i int, from, to plan.Date) (out []Reminder) {
	c := b.p.Channels[i]
	due, held := false, b.heldAt(i, from.AddDays(-1))
	for d := from; len(c.Ageing) > 0 && !to.Before(d); d = d.AddDays(1) {
		was, scale := held, b.heldAt(i, d)
		held = scale
		switch {
		case slices.ContainsFunc(b.ages.relamped[i], func(r plan.Relamp) bool { return r.On == d }):
			out = append(out, Reminder{d, "Change the lamps of " + c.Name,
				fmt.Sprintf("The old ones give %.0f %% of new after %.0f h. The new ones start at %.1f %% and are brought up by steps.",
					100*b.ages.worn(i, d), b.ages.hours(i, d, true), 100*scale)})
			due = false
		case scale > was:
			out = append(out, Reminder{d, fmt.Sprintf("%s: step to %.1f %%", c.Name, 100*scale), "A step after new lamps. Watch the corals; hold or go back when one pales."})
		}
		hours := b.ages.hours(i, d, false)
		if share := Share(c.Ageing, hours); share < DueShare && !due {
			due = true
			out = append(out, Reminder{d, "Lamps of " + c.Name + " are due for change",
				fmt.Sprintf("They give %.1f %% of new after %.0f h, below %.0f %%.", 100*share, hours, 100*DueShare)})
		}
	}
	return out
}
