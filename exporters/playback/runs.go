package playback

import (
	"fmt"
	"math"
	"time"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
)

// run is a stretch of the plan's day in which both clocks are steady
// and one table is in force.
type run struct {
	table    int
	from, to float64 // s on the controller's clock
	day      float64 // s of the plan's day at from
	borrowed bool    // the date of the controller is not in the file, or its table is made for after a change of clocks
}

// runs divides the plan's day on a date. A clock change is found by bisection.
func runs(f timetable.File, c clock.Clock, date plan.Date) ([]run, error) {
	start := c.DayInstant(clock.Moment{Date: date})
	end := c.DayInstant(clock.Moment{Date: date.AddDays(1)})
	if !start.Before(end) {
		return nil, leftOut{date}
	}
	var out []run
	for t := start; t.Before(end); {
		m := c.Controller(t)
		next := c.Start(m.Date.AddDays(1))
		if next.After(end) {
			next = end
		}
		next = steady(c, t, next)
		i, ok := tableOn(f, m.Date)
		if !ok {
			return nil, fmt.Errorf("the timetable has nothing for %v; it covers %s", m.Date, Covers(f))
		}
		_, own := f.Index(m.Date)
		day := c.Day(t).Second
		if off := math.Mod(m.Second-day-c.ShiftOn(m.Date)+2*curve.Day, curve.Day); off > 1 && off < curve.Day-1 {
			own = false // before a change of clocks: the table of the date is that of the hours after it
		}
		if f.Cost != nil && m.Date != date {
			own = false // a table keyed in is that of one day, first hour and last
		}
		out = append(out, run{i, m.Second, m.Second + next.Sub(t).Seconds(), day, !own})
		t = next
	}
	return out, nil
}

// leftOut is a date that the law of the time zone skipped.
type leftOut struct{ date plan.Date }

func (l leftOut) Error() string {
	return fmt.Sprintf("the date %v did not happen: the law of the time zone left it out", l.date)
}

// steady is the latest instant up to which both clocks run on from t without a jump, at
// most end.
func steady(c clock.Clock, t, end time.Time) time.Time {
	ahead := func(u time.Time) [2]float64 {
		m, d := c.Controller(u), c.Day(u)
		return [2]float64{m.Date.UTC().Sub(u).Seconds() + m.Second, d.Date.UTC().Sub(u).Seconds() + d.Second}
	}
	now := ahead(t)
	last := end.Add(-time.Second)
	if !last.After(t) || ahead(last) == now {
		return end
	}
	lo, hi := t, last // steady at lo, moved at hi
	for hi.Sub(lo) > time.Second {
		mid := lo.Add(hi.Sub(lo) / 2).Truncate(time.Second)
		if !mid.After(lo) {
			break
		}
		if ahead(mid) == now {
			lo = mid
		} else {
			hi = mid
		}
	}
	return hi
}

// tableOn is the table for a date; the day before the first and the day after the
// last borrow theirs.
func tableOn(f timetable.File, d plan.Date) (int, bool) {
	if i, ok := f.Index(d); ok {
		return i, true
	}
	switch first, last := f.Covers(); {
	case d.AddDays(1) == first:
		return f.Index(first)
	case !last.IsZero() && last.AddDays(1) == d:
		return f.Index(last)
	}
	return 0, false
}

// Covers says which dates a timetable is for.
func Covers(f timetable.File) string {
	first, last := f.Covers()
	if last.IsZero() {
		return fmt.Sprintf("%v and all days after", first)
	}
	return fmt.Sprintf("%v to %v", first, last)
}
