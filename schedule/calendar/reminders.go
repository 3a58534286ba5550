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

// Reminders lists, by date, the relampings of the plan, the steps after them and
// the first date on which each channel falls below a share of its new flux (0: the
// default), from one date to another, both included. A channel that is already
// below it on the first date is due on that date.
func (b *Book) Reminders(from, to plan.Date, share float64) []Reminder {
	if share <= 0 {
		share = DueShare
	}
	var out []Reminder
	for i, l := range b.lamps {
		if l != nil {
			out = append(out, b.ofChannel(i, l, from, to, share)...)
		}
	}
	slices.SortStableFunc(out, func(a, b Reminder) int { return -a.Date.DaysUntil(b.Date) })
	return out
}

func (b *Book) ofChannel(i int, l *lamps, from, to plan.Date, limit float64) []Reminder {
	b.mu.Lock()
	defer b.mu.Unlock()
	name := b.p.Channels[i].Name
	var out []Reminder
	due, last := false, l.on(b, from.AddDays(-1))
	for d := from; !to.Before(d); d = d.AddDays(1) {
		s := l.on(b, d)
		_, relamped := l.relamps[d]
		relamped = relamped && !d.Before(l.first)
		switch {
		case relamped:
			out = append(out, Reminder{d, "Change the lamps of " + name,
				fmt.Sprintf("The old ones give %.0f %% of new after %.0f h. The new ones start at %.1f %% and are brought up by steps.", 100*last.share, last.hours, 100*s.scale)})
			due = false
		case s.scale > last.scale:
			out = append(out, Reminder{d, fmt.Sprintf("%s: step to %.1f %%", name, 100*s.scale), "A step after new lamps. Watch the corals; hold or go back when one pales."})
		}
		if s.share < limit && !due {
			due = true
			out = append(out, Reminder{d, "Lamps of " + name + " are due for change",
				fmt.Sprintf("They give %.1f %% of new after %.0f h, below %.0f %%.", 100*s.share, s.hours, 100*limit)})
		}
		last = s
	}
	return out
}
