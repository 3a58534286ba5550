package main

import (
	"fmt"
	"strings"

	"dayloom/schedule/balance"
	"dayloom/schedule/calendar"
	"dayloom/schedule/diag"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/settle"
)

// found is what balance makes of the auto peaks and hours of a plan's usual day, for
// lamps as new as the plan says; the zero value when nothing is auto. It says so on
// standard error, because the numbers then stand nowhere in the plan.
func (w world) found(p *plan.Plan, f light.Field) (balance.Answer, error) {
	if !settle.Open(p) {
		return balance.Answer{}, nil
	}
	a, problems := balance.Solve(p, f, balance.Options{Age: ageAtStart(p)})
	w.problems(problems, source)
	if problems.HasErrors() {
		return a, &failure{code: exitFile, message: p.File + ": " + count(problems.Count(diag.Error), "error") + " in balancing what is auto"}
	}
	verdict := "all targets are met"
	if !a.Met {
		verdict = "not all targets can be met; dayloom balance says why"
	}
	w.note("balanced first: %s; %s", levels(a), verdict)
	return a, nil
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
