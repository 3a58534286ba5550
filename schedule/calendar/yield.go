package calendar

import (
	"fmt"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// yieldDays is how many dates are looked at for rules that give way.
const yieldDays = 3660

// Yields warns of each rule that gives way on some of its dates where its place in the plan, or that it is
// a mere day pattern, decides; that a date stands out of a longer rule is what it is for.
func (b *Book) Yields() (problems diag.List) {
	from, to := plan.Date{Year: 2028, Month: 1, Day: 1}, plan.Date{Year: 2031, Month: 12, Day: 31} // four years for rules without dates
	dated := false
	for _, r := range b.p.Calendar {
		if r.From.IsZero() || r.To.IsZero() {
			continue
		}
		if !dated || r.From.Before(from) {
			from = r.From
		}
		if !dated || to.Before(r.To) {
			to = r.To
		}
		dated = true
	}
	type pair struct{ lost, won int }
	var order []pair
	dates := map[pair][]plan.Date{}
	for n, d := 0, from; n < yieldDays && !to.Before(d); n, d = n+1, d.AddDays(1) {
		fit := b.fitting(d)
		for _, i := range slices.Clip(fit)[min(1, len(fit)):] {
			if ri, rw := rankOf(b.p.Calendar[i]), rankOf(b.p.Calendar[fit[0]]); ri == rw || ri == byPattern && rw == byRange {
				p := pair{i, fit[0]}
				if dates[p] == nil {
					order = append(order, p)
				}
				dates[p] = append(dates[p], d)
			}
		}
	}
	for _, p := range order {
		lost, won, on := b.p.Calendar[p.lost], b.p.Calendar[p.won], dates[p]
		why := "a date range is more particular than a day pattern"
		if rankOf(lost) == rankOf(won) {
			why = "of two like it the lower one in the plan applies"
		}
		when := on[0].String()
		if len(on) > 1 {
			when = fmt.Sprintf("%d dates from %s to %s", len(on), on[0], on[len(on)-1])
		}
		problems = append(problems, problem(b.p, lost.Pos, diag.Warning, fmt.Sprintf("calendar: %s gives way to %s on %s: %s", name(lost), name(won), when, why),
			"give it a range of dates of its own to make it more particular, or move it down"))
	}
	return problems
}
