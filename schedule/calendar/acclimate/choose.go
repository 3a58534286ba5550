package acclimate

import (
	"fmt"
	"slices"
	"strings"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Ways are the ways of acclimation in words, as plan.How counts them.
var Ways = []string{"dimming", "hours", "place", "balance", "height"}

// chosen is the plan with a way for the newcomers for whom it names none: of the ways that are not refused
// the one with which the others are under their target for the fewest days, and why. Those that leave the lamps
// as they are come first. The journal has no say, so that no entry changes what was done before it.
func chosen(p *plan.Plan, f light.Field, opts Options) (*plan.Plan, []string) {
	open := func(a plan.Acclimation) bool { return a.By == plan.ByChoice }
	if !slices.ContainsFunc(p.Acclimation, open) {
		return p, nil
	}
	opts.Journal = nil
	var best *plan.Plan
	var name string
	var told []string
	refused, days := 0, 0
	ways := []plan.How{plan.ByPlace, plan.ByBalance, plan.ByHeight, plan.ByHours, plan.ByDimming}
	if len(p.Racks) == 0 {
		ways = slices.Delete(ways, 2, 3)
	}
	for _, how := range ways {
		q := *p
		q.Acclimation = slices.Clone(p.Acclimation)
		for i := range q.Acclimation {
			if open(q.Acclimation[i]) {
				q.Acclimation[i].By = how
			}
		}
		g := work(&q, f, opts)
		n, under := g.Problems.Count(diag.Error), 0
		for _, u := range g.Under {
			under += u.Days
		}
		if best == nil || n < refused || n == refused && under < days {
			best, name, refused, days = &q, Ways[how], n, under
		}
		switch {
		case n > 0:
			told = append(told, Ways[how]+" is refused")
		case under > 0:
			told = append(told, fmt.Sprintf("with %s others are under their target for %d days in all", Ways[how], under))
		default:
			told = append(told, "with "+Ways[how]+" nobody else falls under its target")
		}
		if n == 0 && under == 0 {
			break
		}
	}
	return best, []string{fmt.Sprintf("by is not said: %s was chosen, since %s", name, strings.Join(told, "; "))}
}
