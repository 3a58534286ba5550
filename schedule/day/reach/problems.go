package reach

import (
	"fmt"
	"math"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/diag"
)

// synodicMonth is the mean time from new moon to new moon, days (Meeus 1998, ch. 49).
const synodicMonth = 29.530589

// Problems is what a plan asks of its ports that they cannot show: moonlight that is dark
// even at full moon is an error; nights that are dark near new moon, of which nothing is
// wrong but which should be known, are a warning.
func Problems(p *plan.Plan) (out diag.List) {
	days := [][]plan.DayPart{p.Day}
	for _, d := range p.Days {
		days = append(days, d.Parts)
	}
	for _, parts := range days {
		for _, part := range parts {
			if part.Moonlight == nil {
				continue
			}
			for _, c := range part.Channels {
				out = append(out, moonlight(p, c, *part.Moonlight)...)
			}
		}
	}
	return out
}

func moonlight(p *plan.Plan, channel int, m plan.Moonlight) diag.List {
	leads := leadsOf(p, len(p.Channels))
	l := leads[channel]
	if l == nil || m.Peak <= 0 {
		return nil
	}
	name := p.Channels[channel].Name
	problem := diag.Problem{Place: diag.Place{File: p.File, Line: m.Pos.Line, Col: m.Pos.Col}, Path: "day"}
	switch {
	case m.Peak < l.least*(1-near):
		problem.What = fmt.Sprintf("the moonlight of %s, %.3g %%, cannot be shown: its port gives at least %.3g %%, so it stays dark", name, 100*m.Peak, 100*l.least)
		if l.floor > 0 && l.outlet == (port.Ref{}) {
			problem.What = fmt.Sprintf("the moonlight of %s, %.3g %%, cannot be shown: its port is never off and gives %.3g %% all night", name, 100*m.Peak, 100*l.floor)
		}
		problem.Allowed = fmt.Sprintf("take a small lamp of its own for it, ask for %.3g %% or more, or dim it with smaller steps and a lower cut-in", 100*l.least)
		if l.floor > 0 && l.outlet == (port.Ref{}) {
			problem.Allowed += "; an outlet that cuts the supply makes its nights dark"
		}
	case m.Phase == plan.Constant:
		return nil
	default:
		// the lit fraction over a month is (1 − cos x)/2 to a per cent or two
		nights := synodicMonth * math.Acos(1-2*min(l.least/m.Peak, 1)) / math.Pi
		if nights < 1 {
			return nil
		}
		problem.Severity = diag.Warning
		problem.What = fmt.Sprintf("the moonlight of %s is dark on about %.0f nights a month, on which the moon's share of it is under the %.3g %% that its port gives at least", name, nights, 100*l.least)
		problem.Allowed = "ask for more, take a small lamp of its own, or dim it with smaller steps"
	}
	return diag.List{problem}
}
