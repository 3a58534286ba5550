package calendar

import (
	"fmt"
	"slices"
	"sync"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// age is the layer of what lamps have left of their flux, and of how far new ones are held back.
func (b *Book) age(date plan.Date) Change {
	c := Change{Age: make([]float64, len(b.p.Channels))}
	scale, any := make([]float64, len(b.p.Channels)), false
	for i, ch := range b.p.Channels {
		c.Age[i] = Share(ch.Ageing, b.ages.hours(i, date, false))
		if scale[i] = b.heldAt(i, date); scale[i] < 1 {
			any = true
			c.Notes = append(c.Notes, fmt.Sprintf("%s: new lamps held at %.1f %%, back to full by steps", ch.Name, 100*scale[i]))
		}
	}
	if any {
		c.Day.Scale = scale
	}
	return c
}

// Share is what is left of new flux after so many hours: straight lines between
// the points of the table, held beyond either end; 1 without a table.
func Share(table []plan.AgePoint, hours float64) float64 {
	for i, b := range table {
		switch {
		case hours > b.Hours:
		case i == 0:
			return b.Share
		default:
			a := table[i-1]
			return a.Share + (b.Share-a.Share)*(hours-a.Hours)/(b.Hours-a.Hours)
		}
	}
	if len(table) == 0 {
		return 1
	}
	return table[len(table)-1].Share
}

// block is how many days of hours are kept one by one; before them only every block-th is.
const block = 128

// ages adds up the hours that channels burn by season and rules.
type ages struct {
	p        *plan.Plan
	layers   []Layer
	first    plan.Date // from which hours count; zero: no channel ages
	relamped [][]plan.Relamp

	mu    sync.Mutex
	marks [][]float64 // by channel at the start of each block, h since first
	days  [][]float64 // within block number at
	at    int
	begun map[plan.Date][]float64 // the same on dates on which lamps are changed
}

func newAges(p *plan.Plan, layers ...Layer) *ages {
	a := &ages{p: p, layers: layers, relamped: make([][]plan.Relamp, len(p.Channels)), at: -1,
		marks: [][]float64{make([]float64, len(p.Channels))}, begun: map[plan.Date][]float64{}}
	for i, c := range p.Channels {
		if len(c.Ageing) == 0 {
			continue
		}
		starts := []plan.Date{c.Installed}
		for _, r := range p.Relamps {
			if r.Channel == i && (c.Installed.IsZero() || !r.On.Before(c.Installed)) {
				a.relamped[i], a.begun[r.On] = append(a.relamped[i], r), nil
				starts = append(starts, r.On)
			}
		}
		slices.SortStableFunc(a.relamped[i], func(r, s plan.Relamp) int { return -r.On.DaysUntil(s.On) })
		for _, d := range starts {
			if !d.IsZero() && (a.first.IsZero() || d.Before(a.first)) {
				a.first = d
			}
		}
	}
	return a
}

// hours are those run by a channel's lamps before a date, by the old ones where they are changed on
// it and old is asked for. Without a date of installation they stand still until the first relamping.
func (a *ages) hours(channel int, date plan.Date, old bool) float64 {
	c := a.p.Channels[channel]
	run, since := c.HoursRun, c.Installed
	for _, r := range a.relamped[channel] {
		if r.On.Before(date) || r.On == date && !old {
			run, since = 0, r.On
		}
	}
	if len(c.Ageing) == 0 || since.IsZero() || date.Before(since) {
		return run
	}
	return run + a.total(channel, date) - a.total(channel, since)
}

// worn is what the old lamps of a channel have left on the date on which they are changed.
func (a *ages) worn(channel int, date plan.Date) float64 {
	return Share(a.p.Channels[channel].Ageing, a.hours(channel, date, true))
}

// total is the hours a channel burns from first to the day before a date.
func (a *ages) total(channel int, date plan.Date) float64 {
	n := a.first.DaysUntil(date)
	if n <= 0 {
		return 0
	}
	a.mu.Lock()
	defer a.mu.Unlock()
	kept, keep := a.begun[date]
	if kept != nil {
		return kept[channel]
	}
	for len(a.marks) <= n/block {
		a.fill(len(a.marks) - 1)
		a.marks = append(a.marks, a.days[block])
	}
	if a.at != n/block {
		a.fill(n / block)
	}
	if keep {
		a.begun[date] = a.days[n%block]
	}
	return a.days[n%block][channel]
}

// fill works out the days of one block.
func (a *ages) fill(k int) {
	a.at, a.days = k, [][]float64{a.marks[k]}
	for i := range block {
		date := a.first.AddDays(k*block + i)
		var change day.Change
		for _, l := range a.layers {
			change = change.And(l(date).Day)
		}
		next := slices.Clone(a.days[i])
		for c, ch := range a.p.Channels {
			if len(ch.Ageing) > 0 {
				next[c] += day.LitSeconds(a.p, c, change) / 3600
			}
		}
		a.days = append(a.days, next)
	}
}

// lampProblems are what cannot be followed of the ages and changes of lamps.
func lampProblems(p *plan.Plan) (problems diag.List) {
	for i, c := range p.Channels {
		for _, r := range p.Relamps {
			switch {
			case r.Channel != i:
			case !c.Installed.IsZero() && r.On.Before(c.Installed):
				problems = append(problems, problem(p, r.Pos, diag.Warning, fmt.Sprintf("relamp: %s was installed on %s, after this date", c.Name, c.Installed), "the relamping is not used; correct one of the dates"))
			case !c.Dimmable:
				problems = append(problems, problem(p, r.Pos, diag.Warning, fmt.Sprintf("relamp: %s cannot be dimmed, so its hours are shortened instead", c.Name),
					"DLI and violet dose keep to the step; its peak PPFD jumps on that day"))
			}
		}
		if len(c.Ageing) > 0 && c.Installed.IsZero() {
			problems = append(problems, problem(p, c.Pos, diag.Warning, fmt.Sprintf("channel %s has an ageing table and no date of installation: its age stays at %.0f h until it is relamped", c.Name, c.HoursRun),
				"give `installed` with a date, so that its hours can be counted"))
		}
	}
	return problems
}
