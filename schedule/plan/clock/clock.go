package clock

import (
	"math"
	"time"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// Clock is the clocks of a plan. The zero Clock is UTC throughout.
type Clock struct {
	zone                       *time.Location
	dayMoves, controllerStands bool
}

// Of is the clocks of a plan; without a zone they are UTC.
func Of(c plan.Clock) Clock {
	return Clock{c.Zone, c.FollowsSummerTime, c.ControllerStays}
}

// Moment is what a clock shows: a date and the seconds after midnight, 0 ≤ s < 86400.
type Moment struct {
	Date   plan.Date
	Second float64
}

// Span is the dates From to To of the controller's calendar, both inclusive, on
// which the controller's clock is ShiftS seconds ahead of the day's.
type Span struct {
	From, To plan.Date
	ShiftS   float64
}

// Controller is what the controller's clock shows at an instant.
func (c Clock) Controller(t time.Time) Moment { return show(t, c.offset(t, !c.controllerStands)) }

// Day is what the clock of the plan's day shows at an instant.
func (c Clock) Day(t time.Time) Moment { return show(t, c.offset(t, c.dayMoves)) }

// ControllerInstant is the instant at which the controller's clock shows a
// moment: the first of two in an hour that comes twice; for a moment that is
// skipped, the instant as if the clock had not changed yet (RFC 5545, 3.3.5).
func (c Clock) ControllerInstant(m Moment) time.Time { return c.instant(m, !c.controllerStands) }

// DayInstant is the same for the clock of the plan's day.
func (c Clock) DayInstant(m Moment) time.Time { return c.instant(m, c.dayMoves) }

// ShiftOn is how many seconds a time of the day comes later on the controller's
// clock, in the table for a date of the controller's calendar.
func (c Clock) ShiftOn(d plan.Date) float64 {
	noon := c.ControllerInstant(Moment{d, curve.Day / 2})
	return float64(c.offset(noon, !c.controllerStands) - c.offset(noon, c.dayMoves))
}

// Played is the moment of the plan's day that the controller plays when its
// clock shows m, by the table for that date. It differs from Day only in the
// hours of a date before or after its change.
func (c Clock) Played(m Moment) Moment {
	return Moment{m.Date, 0}.plus(m.Second - c.ShiftOn(m.Date))
}

// Start is the first instant of a date on the controller's calendar. A date that
// the law skipped starts where the next one does.
func (c Clock) Start(d plan.Date) time.Time { return c.ControllerInstant(Moment{d, 0}) }

// LengthS is how long a date of the controller's calendar lasts, seconds.
func (c Clock) LengthS(d plan.Date) float64 {
	return c.Start(d.AddDays(1)).Sub(c.Start(d)).Seconds()
}

// Stretches are the parts of a date of the plan's day that pass, seconds after midnight on its own clock: all
// of it, but on a date of a change two, between which an hour is skipped or comes again.
func (c Clock) Stretches(d plan.Date) (out [][2]float64) {
	if c.zone == nil || !c.dayMoves {
		return [][2]float64{{0, curve.Day}}
	}
	end := c.DayInstant(Moment{d.AddDays(1), 0})
	for t := c.DayInstant(Moment{d, 0}); t.Before(end); {
		next := periodAt(c.zone, t).end
		if next.IsZero() || next.After(end) {
			next = end
		}
		from := c.Day(t).Second
		out = append(out, [2]float64{from, from + next.Sub(t).Seconds()})
		t = next
	}
	return out
}

// Spans divides the dates from one to another, both inclusive, wherever the
// shift changes. No date is left out and none comes twice; none at all when to
// is before from.
func (c Clock) Spans(from, to plan.Date) []Span {
	var out []Span
	for d := from; !to.Before(d); d = d.AddDays(1) {
		shift := c.ShiftOn(d)
		if n := len(out); n == 0 || out[n-1].ShiftS != shift {
			out = append(out, Span{d, d, shift})
		}
		out[len(out)-1].To = d
	}
	return out
}

// Changes is the dates in a range on which a new span begins.
func (c Clock) Changes(from, to plan.Date) []plan.Date {
	var out []plan.Date
	for _, s := range c.Spans(from.AddDays(-1), to) {
		if !s.From.Before(from) {
			out = append(out, s.From)
		}
	}
	return out
}

// offset of the wall clock or of standard time, seconds east of UTC.
func (c Clock) offset(t time.Time, wall bool) int {
	if c.zone == nil {
		return 0
	}
	p := periodAt(c.zone, t)
	if wall {
		return p.offset
	}
	return p.standard(c.zone)
}

func show(t time.Time, offset int) Moment {
	local := t.UTC().Add(time.Duration(offset) * time.Second)
	d := plan.DateOf(local)
	return Moment{d, local.Sub(d.UTC()).Seconds()}
}

// instant looks through the offsets in force around a moment, in order of time.
// None is more than 26 hours from UTC.
func (c Clock) instant(m Moment, wall bool) time.Time {
	local := m.Date.UTC().Add(time.Duration(math.Round(m.Second * 1e9)))
	if c.zone == nil {
		return local
	}
	const reach = 26 * time.Hour
	skipped := time.Time{}
	for at := local.Add(-reach); at.Before(local.Add(2 * reach)); {
		p := periodAt(c.zone, at)
		t := local.Add(-time.Duration(c.offset(at, wall)) * time.Second)
		if p.end.IsZero() || t.Before(p.end) {
			if p.start.IsZero() || !t.Before(p.start) {
				return t
			}
			return skipped // the period begins later than this moment would be
		}
		skipped, at = t, p.end
	}
	return skipped
}

// plus is the moment some seconds later, or earlier, by a clock that does not change.
func (m Moment) plus(seconds float64) Moment {
	s := m.Second + seconds
	days := math.Floor(s / curve.Day)
	return Moment{m.Date.AddDays(int(days)), s - days*curve.Day}
}
