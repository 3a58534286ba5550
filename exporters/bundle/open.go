package bundle

import (
	"fmt"
	"strings"

	"dayloom/schedule/plan"
)

// Open says why the plan's day may be another on later dates than the one that an
// open-ended timetable holds; nil when every day is the same. Changes of the clock
// are the compiler's to tell.
func Open(p *plan.Plan, from plan.Date) []string {
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
	if why == nil {
		return nil
	}
	return []string{fmt.Sprintf("this is the day of %v, whatever the date; %s may ask for another on other dates: write dated timetables with --from and --to", from, join(why))}
}

// join lists words for a sentence.
func join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " or " + words[n-1]
	}
	return words[0]
}
