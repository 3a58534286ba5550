package cutting

import (
	"math"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// year is what is needed of each date of up to a year to cut it.
type year struct {
	p       *plan.Plan
	g       *acclimate.Programme
	first   plan.Date
	cut     []bool
	apart   []bool
	places  [][]place // by date
	dose    [][]float64
	measure [][]acclimate.Measure
	usual   [][]acclimate.Measure
	follows bool                // another year is before it
	was     []acclimate.Measure // of its last day
}

func newYear(c *Cutting, p *plan.Plan, f light.Field, g *acclimate.Programme, first plan.Date, n int, follows bool) *year {
	y := &year{p: p, g: g, first: first, cut: c.cut, apart: shifts(p, first, n), follows: follows}
	if follows {
		y.was = g.Measures(c.book.On(c.Ranges[len(c.Ranges)-1].Day))
	}
	for i := range n {
		d := first.AddDays(i)
		on := c.book.On(d)
		built := day.Build(p, d, on.Day)
		var dose []float64
		for _, ch := range built.Channels {
			dose = append(dose, ch.DoseS-ch.Moon.Dose())
		}
		y.places, y.dose = append(y.places, placesOn(p, f, g, d)), append(y.dose, dose)
		y.measure, y.usual = append(y.measure, g.Measures(on)), append(y.usual, g.Measures(c.book.Usual(d)))
	}
	return y
}

// best cuts the year; where no cutting keeps to all limits of rises, one that leaves them aside.
func (y *year) best(most int) []Run {
	q := Question{N: len(y.dose), Most: most, Dist: y.dist, Apart: func(d int) bool { return y.apart[d] }, May: y.may, Before: -1}
	shifted := 1
	for _, d := range y.apart {
		if d {
			shifted++
		}
	}
	q.Most = max(most, shifted) // each shift of the clock takes a table
	if y.follows {
		q.Before = q.N // the day of the year before: see may
	}
	if runs, _, ok := Best(q); ok {
		return runs
	}
	q.May = func(int, int, int) bool { return true }
	runs, _, _ := Best(q)
	return runs
}

// dist is the greatest departure of a coral on a date when another's day is played.
func (y *year) dist(r, d int) float64 {
	worst := 0.0
	for _, pl := range y.places[d] {
		if pl.absent {
			continue
		}
		got, own := 0.0, 0.0
		for c, f := range pl.full {
			own += f * y.dose[d][c]
			if y.cut[c] {
				got += f * y.dose[r][c]
			} else {
				got += f * y.dose[d][c]
			}
		}
		worst = max(worst, math.Abs(departure(got, own)))
	}
	return worst
}

// may tells whether no coral rises too much when one day is followed by another on a date.
func (y *year) may(date, before, after int) bool {
	was := y.was
	if before < len(y.measure) {
		was = y.measure[before]
	}
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
