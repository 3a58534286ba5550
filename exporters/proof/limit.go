package proof

import (
	"dayloom/schedule/acclimate"
	"dayloom/schedule/plan"
)

// usualStep is the largest relative rise where the plan names none: common practice,
// argued in package acclimate.
const usualStep = 0.15

// StepLimit says by how much a coral's DLI may rise on a date: by the step_max of its
// own acclimation while that runs, else of those that step on that date, else of the
// latest relamping, and 15 % where the plan says nothing.
func StepLimit(p *plan.Plan, g *acclimate.Programme) func(coral int, date plan.Date) float64 {
	return func(coral int, date plan.Date) float64 {
		others := 0.0
		for _, t := range g.Tracks {
			if date.Before(t.Arrives) || t.Ends.Before(date) {
				continue
			}
			if t.Coral == coral {
				return t.StepMax
			}
			for _, e := range t.Events {
				if e.Date == date {
					others = max(others, t.StepMax)
				}
			}
		}
		if others > 0 {
			return others
		}
		limit, last := usualStep, plan.Date{}
		for _, r := range p.Relamps {
			if !date.Before(r.On) && (last.IsZero() || last.Before(r.On)) && r.StepMax > 0 {
				limit, last = r.StepMax, r.On
			}
		}
		return limit
	}
}

// CameFrom is the DLI that a newcomer had where it stood before, until it arrives;
// 0 for corals that are in the tank.
func CameFrom(p *plan.Plan, g *acclimate.Programme) func(coral int, date plan.Date) float64 {
	first := make([]*acclimate.Track, len(p.Corals))
	for i := range g.Tracks {
		if t := &g.Tracks[i]; first[t.Coral] == nil || t.Arrives.Before(first[t.Coral].Arrives) {
			first[t.Coral] = t
		}
	}
	return func(coral int, date plan.Date) float64 {
		if t := first[coral]; t != nil && date.Before(t.Arrives) {
			return t.From
		}
		return 0
	}
}
