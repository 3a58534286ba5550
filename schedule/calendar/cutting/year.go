package cutting

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
)

// year is what is needed of each date of up to a year to cut it.
type year struct {
	p       *plan.Plan
	g       *acclimate.Programme
	first   plan.Date
	cut     []bool
	apart   []bool
	places  [][]place // by date
	spans   [][][2]float64
	days    []day.Day
	dose    [][]float64
	measure [][]acclimate.Measure
	usual   [][]acclimate.Measure
	was     map[daypattern.Weekdays][]acclimate.Measure // of the last day of the year before; nil: there is none
}

func newYear(c *Cutting, p *plan.Plan, f light.Field, g *acclimate.Programme, first plan.Date, n int, follows bool) *year {
	y := &year{p: p, g: g, first: first, cut: c.cut, apart: shifts(p, first, n)}
	if follows {
		y.was = map[daypattern.Weekdays][]acclimate.Measure{}
		for _, r := range c.Ranges { // the last of each weekday stays
			y.was[r.Days] = g.Measures(c.book.On(r.Day))
		}
	}
	for i := range n {
		d := first.AddDays(i)
		on := c.book.On(d)
		places, spans := placesOn(p, f, g, d)
		y.places, y.spans, y.days = append(y.places, places), append(y.spans, spans), append(y.days, day.Build(p, d, on.Day))
		y.dose = append(y.dose, daylight(y.days[i]))
		y.measure, y.usual = append(y.measure, g.Measures(on)), append(y.usual, g.Measures(c.book.Usual(d)))
	}
	return y
}

// daylight is the dose of every channel without its moonlight, s.
func daylight(d day.Day) (dose []float64) {
	for _, ch := range d.Channels {
		dose = append(dose, ch.DoseS-ch.Moon.Dose())
	}
	return dose
}

// best cuts the dates of each group of weekdays. Where no cutting keeps to all limits of rises with so many tables, one
// that leaves them aside.
func (y *year) best(groups []daypattern.Weekdays, most int) (out []Range) {
	cut := func(gentle bool) (parts []part, few []int, fits bool) {
		shifts := 0
		for _, g := range groups {
			if p := y.part(g, most, gentle); p.dates != nil {
				parts = append(parts, p)
				shifts += p.shifts
			}
		}
		few = share(parts, most)
		n := 0
		for _, k := range few {
			n += k
		}
		return parts, few, n <= max(most, shifts) && !slices.Contains(few, 0)
	}
	parts, few, fits := cut(true)
	if !fits {
		parts, few, _ = cut(false)
	}
	for i, p := range parts {
		for _, r := range p.runs(few[i]) {
			out = append(out, y.rangeOf(p, r))
		}
	}
	slices.SortStableFunc(out, func(a, b Range) int { return cmp.Or(-a.From.DaysUntil(b.From), -a.Day.DaysUntil(b.Day)) })
	return out
}

// share gives each part its number of tables, most together, so that the greatest distance of all is least: it is the
// least to which each comes with so many that they are enough. Where they are too few each has its fewest.
func share(parts []part, most int) []int {
	few := make([]int, len(parts))
	var costs []float64
	for i, p := range parts {
		costs = append(costs, p.cost...)
		few[i] = p.fewest(math.Inf(1))
	}
	slices.Sort(costs)
	least := slices.IndexFunc(costs, func(v float64) bool {
		n := 0
		for _, p := range parts {
			few := p.fewest(v)
			if n += few; few == 0 {
				return false
			}
		}
		return n <= most
	})
	for i, p := range parts {
		if least >= 0 {
			few[i] = p.fewest(costs[least])
		}
	}
	return few
}

// part is the dates of a group of weekdays, as days from the first, and their cuttings.
type part struct {
	solved
	days   daypattern.Weekdays
	dates  []int
	shifts int // as many tables the changes of the clock take
}

// part cuts the dates of some weekdays, keeping to all limits of rises or leaving them aside.
func (y *year) part(days daypattern.Weekdays, most int, gentle bool) part {
	p := part{days: days, shifts: 1}
	for i := range y.dose {
		if days.Has(y.first.AddDays(i).Weekday()) {
			p.dates = append(p.dates, i)
		}
	}
	if p.dates == nil {
		return p
	}
	apart := func(k int) bool { return k > 0 && slices.Contains(y.apart[p.dates[k-1]+1:p.dates[k]+1], true) }
	for k := range p.dates {
		if apart(k) {
			p.shifts++
		}
	}
	q := Question{N: len(p.dates), Most: max(most, p.shifts), Apart: apart, Before: -1, // each shift of the clock takes a table
		Dist: func(r, d int) float64 { return y.dist(p.dates[r], p.dates[d]) }}
	was := y.was[days]
	q.May = func(date, before, after int) bool {
		if !gentle {
			return true
		}
		m := was
		if before < len(p.dates) {
			m = y.measure[p.dates[before]]
		}
		return y.may(p.dates[date], m, p.dates[after])
	}
	if was != nil {
		q.Before = q.N // the day of the year before: see May
	}
	p.solved = solve(q)
	return p
}

// rangeOf is a run of a part as dates: it lasts until the next one begins, or the year ends.
func (y *year) rangeOf(p part, r Run) Range {
	from, to := 0, len(y.dose)-1
	if r.From > 0 {
		from = p.dates[r.From]
	}
	if r.To+1 < len(p.dates) {
		to = p.dates[r.To+1] - 1
	}
	return Range{y.first.AddDays(from), y.first.AddDays(to), y.first.AddDays(p.dates[r.Day]), p.days}
}

// dist is the greatest departure of a coral on a date when another's day is played.
func (y *year) dist(r, d int) float64 {
	playing, its := y.dose[r], y.dose[d]
	if spans := y.spans[d]; spans != nil {
		playing, its = daylight(y.days[r].Split(spans)), daylight(y.days[d].Split(spans))
	}
	worst := 0.0
	for _, pl := range y.places[d] {
		if pl.absent {
			continue
		}
		got, own := 0.0, 0.0
		for c, f := range pl.full {
			own += f * its[c]
			if y.cut[c%len(y.cut)] {
				got += f * playing[c]
			} else {
				got += f * its[c]
			}
		}
		worst = max(worst, math.Abs(departure(got, own)))
	}
	return worst
}

// may tells whether no coral rises too much when one day is followed by another on a date.
func (y *year) may(date int, was []acclimate.Measure, after int) bool {
	for k, pl := range y.places[date] {
		if pl.absent {
			continue
		}
		up, _ := acclimate.Rise(y.measure[after][k], was[k:k+1], y.usual[date][k]).Most()
		if up > 0 && up > y.g.Limit(pl.coral, y.first.AddDays(date)).Max+slack {
			return false
		}
	}
	return true
}
