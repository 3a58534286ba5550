package calendar

import (
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
)

const (
	relampStep  = 0.15 // largest relative rise of a step unless the plan says otherwise
	relampEvery = 7    // days between steps
)

// state is one channel on one date.
type state struct {
	hours float64 // run before the date, h
	share float64 // of new flux
	scale float64 // held back after relamping, 1: not at all
}

// lamps follows one channel day by day from its first known date. Days are worked
// out once, in order, and kept.
type lamps struct {
	channel int
	ageing  []plan.AgePoint
	first   plan.Date // the day it was installed, or its first relamping
	known   bool      // hours count from the start; false: only from the first relamping
	relamps map[plan.Date]float64
	days    []state // from first on
	before  state   // on all dates before first

	run   float64 // h, at the start of the next day
	scale float64
	since int // days since the scale last changed
}

func newLamps(p *plan.Plan, channel int) (*lamps, diag.List) {
	c := p.Channels[channel]
	l := &lamps{channel: channel, ageing: c.Ageing, run: c.HoursRun, scale: 1, relamps: map[plan.Date]float64{}}
	l.before = state{hours: c.HoursRun, share: Share(c.Ageing, c.HoursRun), scale: 1}
	l.first, l.known = c.Installed, !c.Installed.IsZero()
	var problems diag.List
	for _, r := range p.Relamps {
		if r.Channel != channel {
			continue
		}
		l.relamps[r.On] = r.StepMax
		if l.first.IsZero() || r.On.Before(l.first) && !l.known {
			l.first = r.On
		}
		switch {
		case l.known && r.On.Before(c.Installed):
			problems = append(problems, problem(p, r.Pos, diag.Warning, fmt.Sprintf("relamp: %s was installed on %s, after this date", c.Name, c.Installed), "the relamping is not used; correct one of the dates"))
		case !c.Dimmable:
			problems = append(problems, problem(p, r.Pos, diag.Warning, fmt.Sprintf("relamp: %s cannot be dimmed, so its hours are shortened instead", c.Name),
				"DLI and violet dose keep to the step; its peak PPFD jumps on that day"))
		}
	}
	if len(c.Ageing) == 0 {
		return nil, problems
	}
	if !l.known {
		problems = append(problems, problem(p, c.Pos, diag.Warning, fmt.Sprintf("channel %s has an ageing table and no date of installation: its age stands still at %.0f h until it is relamped", c.Name, c.HoursRun),
			"give `installed` with a date, so that its hours can be counted"))
	}
	if l.first.IsZero() {
		return &lamps{channel: channel, ageing: c.Ageing, before: l.before}, problems
	}
	return l, problems
}

// Share is what is left of new flux after so many hours: straight lines between
// the points of the table, held beyond either end; 1 without a table.
func Share(table []plan.AgePoint, hours float64) float64 {
	if len(table) == 0 {
		return 1
	}
	i, _ := slices.BinarySearchFunc(table, hours, func(a plan.AgePoint, h float64) int {
		switch {
		case a.Hours < h:
			return -1
		case a.Hours > h:
			return 1
		}
		return 0
	})
	switch i {
	case 0:
		return table[0].Share
	case len(table):
		return table[i-1].Share
	}
	a, b := table[i-1], table[i]
	return a.Share + (b.Share-a.Share)*(hours-a.Hours)/(b.Hours-a.Hours)
}

// on is the channel's state on a date.
func (l *lamps) on(b *Book, date plan.Date) state {
	if l.first.IsZero() || date.Before(l.first) {
		return l.before
	}
	for i := l.first.DaysUntil(date); len(l.days) <= i; {
		l.advance(b, l.first.AddDays(len(l.days)))
	}
	return l.days[l.first.DaysUntil(date)]
}

// advance works out one more day.
func (l *lamps) advance(b *Book, date plan.Date) {
	l.since++
	change := b.base(date)
	step, relamped := l.relamps[date]
	if relamped {
		old := Share(l.ageing, l.run)
		l.run = 0
		if l.scale *= old / Share(l.ageing, 0); l.scale > 1 {
			l.scale = 1
		}
	}
	busy := b.opts.Busy != nil && b.opts.Busy(date)
	if l.scale < 1 && !busy && (relamped || l.since >= relampEvery) {
		l.scale = raise(l.scale, l.limit(b, date, step, relamped))
		l.since = 0
	}
	l.days = append(l.days, state{hours: l.run, share: Share(l.ageing, l.run), scale: l.scale})

	d := Dated{Date: date, Change: change}
	b.applyRule(&d)
	d.Change.Channel = ones(len(b.p.Channels))
	d.Change.Channel[l.channel] = l.scale
	l.run += day.LitSeconds(b.p, l.channel, d.Change) / 3600
}

// limit is the largest ratio that a step may have on a date: the plan's, less what
// the season adds to the day at the same time.
func (l *lamps) limit(b *Book, date plan.Date, step float64, today bool) float64 {
	if !today {
		last := plan.Date{}
		for on, s := range l.relamps { // the latest one up to the date; dates differ, so order does not matter
			if !date.Before(on) && (last.IsZero() || last.Before(on)) {
				last, step = on, s
			}
		}
	}
	if step <= 0 {
		step = relampStep
	}
	limit := 1 + step
	longer := b.suns.stretch(date) - b.suns.stretch(date.AddDays(-1))
	if lit := day.LitSeconds(b.p, l.channel, b.base(date)); longer > 0 && lit > 0 {
		limit /= 1 + 2*longer/lit // a day of ramps alone gains at most twice its own share
	}
	return limit
}

// raise is the scale after the first of n even ratio steps back to 1, n being the
// fewest that keep to the limit.
func raise(scale, limit float64) float64 {
	if limit <= 1 {
		return scale
	}
	n := math.Ceil(math.Log(1/scale)/math.Log(limit) - 1e-9)
	if n <= 1 {
		return 1
	}
	return math.Pow(scale, 1-1/n)
}
