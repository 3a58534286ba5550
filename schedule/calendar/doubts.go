package calendar

import (
	"fmt"
	"math"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// What is doubted: lamps that have lost more than this are commonly replaced, and a lamp
// lit for less is more likely a slip of the pen (both common practice, no source).
const (
	wornOut   = 0.75
	briefLitS = 600
)

// Doubts warns of lamps that have less than 75 % of their new light on a date, and of
// lamps that are lit for less than ten minutes a day.
func (b *Book) Doubts(date plan.Date) diag.List {
	var out diag.List
	for i, c := range b.p.Channels {
		if age := b.On(date).Age; age != nil && age[i] < wornOut {
			out = append(out, problem(b.p, c.Pos, diag.Warning, fmt.Sprintf("%s gives %.0f %% of its new light on %v", c.Name, 100*age[i], date),
				"lamps below 75 % are commonly replaced (common practice, no source); plan it in the calendar with relamp: "+c.Name))
		}
	}
	for _, part := range b.p.Day {
		if s := part.Switched; s != nil && !s.AutoOn && !s.AutoOff {
			if lit := math.Mod(s.Off-s.On+86400, 86400); lit > 0 && lit < briefLitS {
				out = append(out, problem(b.p, part.Pos, diag.Warning, fmt.Sprintf("%s is lit for %.0f s a day", b.p.Channels[part.Channels[0]].Name, lit), "is that meant? check on and off"))
			}
		}
	}
	return out
}
