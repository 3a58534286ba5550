package job

import (
	"slices"

	"dayloom/exporters/compile"
	"dayloom/exporters/playback"
	"dayloom/exporters/timetable"
	"dayloom/schedule/balance"
	"dayloom/schedule/calendar"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

// OffColour reports whether what was found breaks a share of the spectrum, or a colour.
func (j *Job) OffColour() bool {
	return j.Found != nil &&
		(slices.ContainsFunc(j.Found.Shares, func(s balance.Share) bool { return !s.Met }) ||
			slices.ContainsFunc(j.Found.Colours, func(c balance.Colour) bool { return !c.Met }))
}

// Met reports whether what is asked on a date meets targets and limits. Where a rule, the
// season, a programme or the journal makes it another day than the usual, other light is
// meant, and only limits are judged.
func (j *Job) Met(d Dated) bool {
	if j.OffColour() {
		return false
	}
	if d.usual {
		return d.Result.AllMet()
	}
	for _, places := range [][]dose.Place{d.Result.Corals, d.Result.Areas} {
		for _, p := range places {
			if p.Verdict == dose.OverLimit {
				return false
			}
		}
	}
	return true
}

// Asked is what a plan asks on a date. Files that do not say how far their ports may be from
// it are held against a compilation of that date.
func (j *Job) Asked(date plan.Date, claimed bool) playback.Asked {
	d := j.On(date)
	a := playback.Asked{Day: d.Day, Field: d.Field, Age: d.Age, Met: j.Met(d)}
	if !claimed {
		a.Claims = j.claims(date)
	}
	return a
}

// claims is how far each port is from its curve when a date is compiled.
func (j *Job) claims(date plan.Date) playback.Claims {
	out := playback.Claims{}
	for _, p := range j.Compiled(date).File.Tables[0].Ports {
		if p.Claim != nil {
			out[p.Ref()] = *p.Claim
		}
	}
	return out
}

// Compiled is the timetable of one date of the controllers' clocks.
func (j *Job) Compiled(date plan.Date) compile.Result {
	span := compile.Span{From: date, To: date, ShiftS: clock.Of(j.Plan.Clock).ShiftOn(date)}
	return compile.Build(j.Plan, []compile.Span{span}, j.Curves)
}

// Play holds a timetable against the plan on every date of a range.
func (j *Job) Play(file timetable.File, from, to plan.Date) (playback.RangeResult, error) {
	claimed := file.Claimed()
	return playback.PlayRange(file, j.Plan, playback.Question{From: from, To: to,
		On: func(date plan.Date) playback.Asked {
			if j.Hears != nil {
				j.Hears(date)
			}
			return j.Asked(date, claimed)
		},
		Limit: func(coral int, date plan.Date) float64 { return j.Programme.Limit(coral, date).Max }, Before: j.Programme.CameFrom, Usual: j.Programme.Usual})
}

// Judged are the dates that a timetable was judged on when it was made, as it says itself or
// as compile would: its first while it is open, else all.
func Judged(file timetable.File) (from, to plan.Date) {
	if !file.Judged[0].IsZero() {
		return file.Judged[0], file.Judged[1]
	}
	from, to = file.Covers()
	if to.IsZero() {
		to = from
	}
	return from, to
}

// Reminders are what a person has to do in the dates compiled; a year ahead when
// they are open-ended.
func (j *Job) Reminders(spans []compile.Span) []calendar.Reminder {
	from, to := spans[0].From, spans[len(spans)-1].To
	open := to.IsZero()
	if open {
		to = from.AddDays(365)
	}
	out := append(j.Programme.Reminders(from, to), j.Book.Reminders(from, to)...)
	if d, by, ok := compile.Outdated(j.Plan, spans); ok {
		out = append(out, calendar.Reminder{Date: d, Title: "The clocks change: compile the timetables again",
			Detail: compile.Moved(d, by) + " Compile the plan again and load the new timetables."})
	}
	if !open {
		out = append(out, calendar.Reminder{Date: to, Title: "Last day of the timetables: compile again",
			Detail: "The timetables end today. Compile the plan for the dates after, and load the new timetables."})
	}
	return out
}
