package fileset

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
	are := "are"
	if len(why) == 1 && !strings.HasSuffix(why[0], "lamps") {
		are = "is"
	}
	return []string{fmt.Sprintf("These timetables repeat %v every day. %s %s not followed; for that, use --from and --to.", from, capital(join(why)), are)}
}

func capital(s string) string { return strings.ToUpper(s[:1]) + s[1:] }

// join lists words for a sentence.
func join(words []string) string {
	if n := len(words); n > 1 {
		return strings.Join(words[:n-1], ", ") + " and " + words[n-1]
	}
	return words[0]
}
