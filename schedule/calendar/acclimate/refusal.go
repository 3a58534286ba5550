package acclimate

import (
	"slices"

	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Refusal is an error with the dates that should not be run for it; a zero end is open.
type Refusal struct {
	Dates   calendar.Span
	Problem diag.Problem
}

// refuse adds an error that concerns some dates; without any it concerns all.
func (g *Programme) refuse(at diag.Place, what, allowed, hint string, dates ...calendar.Span) {
	p := diag.Problem{Severity: diag.Error, Place: at, What: what, Allowed: allowed, Hint: hint}
	g.Problems = append(g.Problems, p)
	if dates == nil {
		dates = []calendar.Span{{}}
	}
	for _, d := range dates {
		g.Refusals = append(g.Refusals, Refusal{d, p})
	}
}

func (g *Programme) warn(at diag.Place, what, allowed, hint string) {
	g.Problems = append(g.Problems, diag.Problem{Severity: diag.Warning, Place: at, What: what, Allowed: allowed, Hint: hint})
}

// way is the dates of an acclimation, as long as the plan says at least.
func way(acc *plan.Acclimation, steps int) calendar.Span {
	return calendar.Span{acc.Arrives, acc.Arrives.AddDays(max(acc.OverDays, steps*acc.EveryDays))}
}

// week is the days for which a coral has not yet grown used to a rise.
func week(date plan.Date) calendar.Span { return calendar.Span{date, date.AddDays(Accustomed - 1)} }

// Refused lists what stands against some dates, and the dates of them, joined, that are left.
func (g *Programme) Refused(dates calendar.Span) (against []Refusal, left []calendar.Span) {
	left = []calendar.Span{dates}
	for _, r := range g.Refusals {
		if !r.Dates.Meets(dates) {
			continue
		}
		if !slices.ContainsFunc(against, func(x Refusal) bool { return x.Problem == r.Problem }) {
			against = append(against, r)
		}
		var next []calendar.Span
		for _, s := range left {
			next = append(next, s.Without(r.Dates)...)
		}
		left = next
	}
	return against, left
}
