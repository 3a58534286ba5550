package main

import (
	"reflect"

	"dayloom/exporters/compile"
	"dayloom/exporters/playback"
	"dayloom/exporters/timetable"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

// asked is what a plan asks on a date. Files that do not say how far their ports may be from
// it are held against a compilation of that date.
func (j *job) asked(date plan.Date, claimed bool) playback.Asked {
	d := j.on(date)
	a := playback.Asked{Day: d.day, Field: d.field, Age: d.age, Met: j.met(d, date)}
	if !claimed {
		a.Claims = j.claims(date)
	}
	return a
}

// met reports whether what is asked on a date meets targets and limits. Where a rule, the
// season, a programme or the journal makes it another day than the usual, other light is
// meant, and only limits are judged.
func (j *job) met(d dated, date plan.Date) bool {
	if j.offColour {
		return false
	}
	if on := j.book.On(date); on.Rule == nil && len(on.Racks) == 0 && reflect.DeepEqual(on.Day, day.Change{}) {
		return d.result.AllMet()
	}
	for _, places := range [][]dose.Place{d.result.Corals, d.result.Areas} {
		for _, p := range places {
			if p.Verdict == dose.OverLimit {
				return false
			}
		}
	}
	return true
}

// claims is how far each port is from its curve when a date is compiled.
func (j *job) claims(date plan.Date) playback.Claims {
	out := playback.Claims{}
	span := compile.Span{From: date, To: date, ShiftS: clock.Of(j.plan.Clock).ShiftOn(date)}
	for _, p := range compile.Build(j.plan, []compile.Span{span}, j.curves).File.Tables[0].Ports {
		if p.Claim != nil {
			out[p.Ref()] = *p.Claim
		}
	}
	return out
}

// play holds a timetable against the plan on every date of a range.
func (j *job) play(file timetable.File, from, to plan.Date) (playback.RangeResult, error) {
	claimed := file.Claimed()
	return playback.PlayRange(file, j.plan, playback.Question{From: from, To: to,
		On:    func(date plan.Date) playback.Asked { return j.asked(date, claimed) },
		Limit: func(coral int, date plan.Date) float64 { return j.programme.Limit(coral, date).Max }, Before: j.programme.CameFrom, Usual: j.programme.Usual})
}

// judged are the dates that a timetable was judged on when it was made, as it says itself or
// as compile would: its first while it is open, else all.
func judged(file timetable.File) (from, to plan.Date) {
	if !file.Judged[0].IsZero() {
		return file.Judged[0], file.Judged[1]
	}
	from, to = file.Covers()
	if to.IsZero() {
		to = from
	}
	return from, to
}
