package timetable

import (
	"cmp"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
)

// Cut makes the fewest tables of those of runs of dates in their order; of tells, run by run, which do the same.
// They are runs of dates, or where weekly is true those of the best division of the weekdays into groups: in each of
// them tables follow each other by date, one being valid until the next one's first date. Claims hold for all that a
// table was made from.
func Cut(runs []Table, of []int, weekly bool) (out []Table) {
	groups := []daypattern.Weekdays{0}
	if weekly && !runs[len(runs)-1].To.IsZero() {
		groups = weekdayGroups(runs, of)
	}
	first, last := runs[0].From, runs[len(runs)-1].To
	for _, g := range groups {
		shown, from := -1, first
		for i, run := range runs {
			if run.Days = g; !run.To.IsZero() && run.To.Before(run.First()) {
				continue // none of these weekdays is among them
			}
			switch {
			case of[i] == shown:
				widen(out[len(out)-1], run)
				continue
			case shown >= 0:
				from = run.First()
				out[len(out)-1].To = from.AddDays(-1)
			}
			shown = of[i]
			out = append(out, Table{From: from, To: last, Days: g, Ports: claims(run.Ports)})
		}
	}
	slices.SortStableFunc(out, func(a, b Table) int {
		return cmp.Or(-a.From.DaysUntil(b.From), -a.First().DaysUntil(b.First()))
	})
	return out
}

// wholeWeek is all weekdays, bit n for time.Weekday n.
const wholeWeek daypattern.Weekdays = 1<<7 - 1

// weekdayGroups divides the weekdays into sets such that, when the dates of each set are cut into runs of the same
// kind, there are as few runs as can be, and of such divisions the one with fewest sets. The least number for a set
// of weekdays is that of its dates as one group, or that of the group its first weekday is in and the rest's.
func weekdayGroups(days []Table, of []int) []daypattern.Weekdays {
	var runs [wholeWeek + 1]int
	for s := daypattern.Weekdays(1); s <= wholeWeek; s++ {
		last := -1
		eachDate(days, func(d plan.Date, i int) {
			if s.Has(d.Weekday()) && of[i] != last {
				runs[s]++
				last = of[i]
			}
		})
	}
	type least struct {
		runs, sets int
		first      daypattern.Weekdays
	}
	var best [wholeWeek + 1]least
	for s := daypattern.Weekdays(1); s <= wholeWeek; s++ {
		low := s & -s
		best[s].runs = -1
		for g := s; g > 0; g = (g - 1) & s {
			rest := best[s&^g]
			next := least{runs[g] + rest.runs, 1 + rest.sets, g}
			if now := best[s]; g&low != 0 && (now.runs < 0 || next.runs < now.runs || next.runs == now.runs && next.sets < now.sets) {
				best[s] = next
			}
		}
	}
	var out []daypattern.Weekdays
	for s := wholeWeek; s > 0; s &^= best[s].first {
		out = append(out, best[s].first)
	}
	if len(out) == 1 {
		out[0] = 0 // of Weekdays the zero set is all
	}
	return out
}

// eachDate goes through the dates of days, which are not open.
func eachDate(days []Table, do func(d plan.Date, i int)) {
	for i, run := range days {
		for d := run.From; !run.To.Before(d); d = d.AddDays(1) {
			do(d, i)
		}
	}
}

// claims are ports with claims of their own.
func claims(ports []Port) []Port {
	out := slices.Clone(ports)
	for i, p := range out {
		if p.Claim != nil {
			c := *p.Claim
			out[i].Claim = &c
		}
	}
	return out
}

// widen makes the claims of a table hold for one with the same points.
func widen(t, same Table) {
	for i, p := range same.Ports {
		if p.Claim != nil {
			*t.Ports[i].Claim = max(*t.Ports[i].Claim, *p.Claim)
		}
	}
}
