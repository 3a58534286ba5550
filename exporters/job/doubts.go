package job

import (
	"slices"

	"dayloom/schedule/calendar"
	"dayloom/schedule/day/reach"
	"dayloom/schedule/light/readings"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Doubts are what `dayloom check` warns of on a date, with what the acclimation warns of.
func (j *Job) Doubts(date plan.Date) diag.List {
	all := slices.Concat(j.Problems.Plan, Dates(j.Read, date), j.Problems.Light,
		readings.Doubts(j.Read, readings.Judge(j.Read, j.Field)), reach.Problems(j.Read), j.Programme.Problems)
	return slices.DeleteFunc(all, func(p diag.Problem) bool { return p.Severity != diag.Warning }).Sort(j.Read.File)
}

// Dates are what a plan's dates and calendar are doubtful for, as seen on a date.
func Dates(p *plan.Plan, date plan.Date) diag.List {
	book, _ := calendar.New(p)
	return slices.Concat(calendar.Early(p, date), book.Doubts(date), book.Yields())
}
