package main

import (
	"fmt"
	"slices"
	"strings"

	"dayloom/schedule/balance"
	"dayloom/schedule/balance/writeback"
	"dayloom/schedule/calendar"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// found is what balance makes of the auto peaks and hours of a plan's usual day, for
// lamps as new as the plan says; the zero value when nothing is auto. It says so on
// standard error, because the numbers then stand nowhere in the plan; the day that is then shown may differ
// by season, age or a rule, and has its own verdict.
func (w world) found(p *plan.Plan, f light.Field) (balance.Answer, error) {
	if !writeback.Open(p) {
		return balance.Answer{}, nil
	}
	a, problems := solve(p, f, balance.Options{Age: ageAtStart(p), From: writeback.Peaks(p)})
	w.problems(problems, source)
	if problems.HasErrors() {
		return a, &failure{code: exitFile, message: p.File + ": " + count(problems.Count(diag.Error), "error") + " in balancing what is auto"}
	}
	w.note(`levels found for "peak: auto": %s; on the usual day %s`, levels(a), verdict(a))
	return a, nil
}

// verdict says how far an answer goes.
func verdict(a balance.Answer) string {
	switch {
	case a.Met:
		return "every target is met within its tolerance"
	case offColour(a) && a.Certificate.Sum == 0:
		what := "the colour asked for"
		if slices.ContainsFunc(a.Shares, func(s balance.Share) bool { return !s.Met }) {
			what = "a share of the spectrum"
		}
		return "every target is met, but " + what + " is not; dayloom balance says why"
	}
	return "not every target is met; dayloom balance says why"
}

// offColour tells whether a share of the spectrum, or a colour, is broken.
func offColour(a balance.Answer) bool {
	return slices.ContainsFunc(a.Shares, func(s balance.Share) bool { return !s.Met }) ||
		slices.ContainsFunc(a.Colours, func(c balance.Colour) bool { return !c.Met })
}

// ageAtStart is what the hours already run have left of each channel.
func ageAtStart(p *plan.Plan) []float64 {
	age := make([]float64, len(p.Channels))
	for i, c := range p.Channels {
		age[i] = 1
		if len(c.Ageing) > 0 && c.Installed.IsZero() {
			age[i] = calendar.Share(c.Ageing, c.HoursRun)
		}
	}
	return age
}

// levels lists what was found.
func levels(a balance.Answer) string {
	var parts []string
	for _, c := range a.Channels {
		switch {
		case !c.Auto:
		case c.Hours != nil:
			parts = append(parts, fmt.Sprintf("%s %.2f h", c.Name, *c.Hours))
		default:
			parts = append(parts, fmt.Sprintf("%s %.1f %%", c.Name, 100*c.Peak))
		}
	}
	return strings.Join(parts, ", ")
}

// ageOn is what the hours run by a date have left of each channel.
func ageOn(p *plan.Plan, date plan.Date) []float64 {
	book, _ := calendar.New(p)
	return book.On(date).Age
}
