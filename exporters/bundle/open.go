package bundle

import (
	"fmt"
	"strings"

	"dayloom/schedule/calendar"
	"dayloom/schedule/clock"
	"dayloom/schedule/plan"
)

// Open says what an open-ended timetable that holds the day of one date does not
// know of: a note on why the plan's day may differ later, and reminders for changes
// of the clock within a year, which the compiler notes itself.
func Open(p *plan.Plan, from plan.Date) (notes []string, reminders []calendar.Reminder) {
	var why []string
	if p.Season != nil {
		why = append(why, "the season")
	}
	for _, part := range p.Day {
		if part.Moonlight != nil && part.Moonlight.Phase != plan.Constant {
			why = append(why, "the moon")
			break
		}
	}
	if len(p.Calendar) > 0 {
		why = append(why, "the calendar")
	}
	if len(p.Acclimation) > 0 {
		why = append(why, "acclimation")
	}
	if len(p.Relamps) > 0 {
		why = append(why, "new lamps")
	}
	if why != nil {
		notes = append(notes, fmt.Sprintf("this is the day of %v, whatever the date; %s may ask for another on other dates: write dated timetables with --from and --to", from, join(why)))
	}
	for _, d := range clock.Of(p.Clock).Changes(from.AddDays(1), from.AddDays(365)) {
		reminders = append(reminders, calendar.Reminder{Date: d, Title: "compile new timetables: the clock changes",
			Detail: fmt.Sprintf("from %v the controller's clock and the plan's day differ by another amount", d)})
	}
	return notes, reminders
}

// join lists words for a sentence.
func join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return words[0]
}
