package calendar

import (
	"fmt"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Early warns of channels that are lit on a date though by the plan they hang there
// only later. The day itself counts them, new, whatever the date.
func Early(p *plan.Plan, date plan.Date) diag.List {
	lit := make([]bool, len(p.Channels))
	for _, part := range p.Day {
		for _, c := range part.Channels {
			lit[c] = true
		}
	}
	var out diag.List
	for i, c := range p.Channels {
		if lit[i] && date.Before(c.Installed) {
			out = append(out, problem(p, c.Pos, diag.Warning, fmt.Sprintf("%s was installed on %v, after %v, and its light is counted on that date all the same", c.Name, c.Installed, date),
				"correct the date of installation, or ask for a date from it on"))
		}
	}
	return out
}
