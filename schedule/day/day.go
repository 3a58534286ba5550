package day

import (
	"time"

	"dayloom/schedule/day/reach"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Usual is the index in CalendarRule.Day that stands for the plan's own `day`.
const Usual = -1

// Change says how one date departs from the usual day. The zero Change does not, and a field that is
// zero leaves that part of the day as it is. And adds one to another.
type Change struct {
	Named   *plan.NamedDay // a day in place of the usual one
	Scale   []float64      // share of each channel's daylight, of a switched channel's hours; nil: all of it
	Shorter []float64      // share of the hours of each channel's plateau that is taken off, 0..1; nil: none
	Stretch float64        // seconds added to the length of the lit day
}

// And is this change with another on top: shares multiply, stretches add, a named day replaces.
func (c Change) And(d Change) Change {
	if d.Named != nil {
		c.Named = d.Named
	}
	if d.Scale != nil {
		c = c.Times(len(d.Scale), func(i int) float64 { return d.Scale[i] })
	}
	if d.Shorter != nil {
		left := make([]float64, len(d.Shorter))
		for i := range left {
			left[i] = 1 - (1-c.shorter(i))*(1-d.Shorter[i])
		}
		c.Shorter = left
	}
	c.Stretch += d.Stretch
	return c
}

// Times scales the daylight of each of n channels by a further share.
func (c Change) Times(n int, by func(channel int) float64) Change {
	scale := make([]float64, n)
	for i := range scale {
		scale[i] = c.scale(i) * by(i)
	}
	c.Scale = scale
	return c
}

func (c Change) scale(channel int) float64 {
	if c.Scale == nil {
		return 1
	}
	return c.Scale[channel]
}

func (c Change) shorter(channel int) float64 {
	if c.Shorter == nil {
		return 0
	}
	return c.Shorter[channel]
}

// Parts lists the entries of the day: the usual one's, or those of the day named.
func (c Change) Parts(p *plan.Plan) []plan.DayPart {
	if c.Named != nil {
		return c.Named.Parts
	}
	return p.Day
}

// Hours is when a switched channel goes on and off, seconds after midnight.
// On == Off means that it stays off.
type Hours struct{ On, Off float64 }

// Channel is what one channel does on the day.
type Channel struct {
	Curve    curve.Curve // light fraction, everything included
	Moon     curve.Curve // the moonlight in it
	Peak     float64     // greatest light fraction of the day
	DoseS    float64     // ∫ light fraction dt over the day, which may have 23 or 25 h, s
	Daylight float64     // the daylight peak after scaling, as the port shows it; 0 when there is none
}

// Day is a plan on one date.
type Day struct {
	Date     plan.Date
	Channels []Channel // as Plan.Channels
	MoonLit  float64   // the moon's lit fraction half-way through the moonlight that begins on the date, 0..1; without any at its first midnight
}

// Curves lists the channels' curves in order.
func (d Day) Curves() []curve.Curve {
	cs := make([]curve.Curve, len(d.Channels))
	for i, c := range d.Channels {
		cs[i] = c.Curve
	}
	return cs
}

// Doses lists the seconds at full output of every channel, as Plan.Channels.
func (d Day) Doses() []float64 {
	out := make([]float64, len(d.Channels))
	for i, c := range d.Channels {
		out[i] = c.DoseS
	}
	return out
}

// Build works out the day of a date, as far as the ports can show it. Peaks that are `auto` count as zero, hours that are
// `auto` as none: callers balance first, and build what balance.Found makes of the plan.
func Build(p *plan.Plan, date plan.Date, ch Change) Day {
	midnight := time.Date(date.Year, date.Month, date.Day, 0, 0, 0, 0, p.Clock.Zone)
	d := Day{Date: date, Channels: make([]Channel, len(p.Channels)), MoonLit: moonLit(ch.Parts(p), midnight)}
	passes := clock.Of(p.Clock).Stretches(date)
	asks := make([]reach.Ask, len(p.Channels))
	for i := range p.Channels {
		asks[i], d.Channels[i].Daylight = ask(p, i, ch, midnight)
	}
	for i, r := range reach.Day(p, asks) {
		c := &d.Channels[i]
		c.Curve, c.Moon = r.Curve, r.Moon
		c.Peak, _ = c.Curve.Max()
		for _, s := range passes {
			c.DoseS += c.Curve.Integral(s[0], s[1])
		}
	}
	for _, q := range p.Ports() {
		for k, c := range q.Channels {
			if first := d.Channels[q.Channels[0]].Daylight; first > 0 && q.Signal != port.Switch && q.Known() {
				d.Channels[c].Daylight = q.Follow(k, max(first, q.Floor(0)))
			}
		}
	}
	return d
}

// Unit is what a channel's auto daylight gives on a day with this change at a peak of 1, its scale
// included; dark where it has none.
func Unit(p *plan.Plan, i int, ch Change) curve.Curve {
	var cs []curve.Curve
	for _, part := range ch.Parts(p) {
		if lights(part, i) && part.Daylight != nil && part.Daylight.Peak.Auto {
			cs = append(cs, daylight(*part.Daylight, ch.shorter(i), ch.Stretch).Scale(ch.scale(i)))
		}
	}
	return curve.Sum(cs...)
}

// Switched is what a channel that is switched for these hours gives on a day with this change.
func Switched(h Hours, i int, ch Change) curve.Curve {
	return switched(h, min(ch.scale(i), 1)*(1-ch.shorter(i)), ch.Stretch)
}

// ask is what a channel is asked for, and its daylight peak after scaling.
func ask(p *plan.Plan, i int, ch Change, midnight time.Time) (a reach.Ask, daylightPeak float64) {
	var day, moon []curve.Curve
	for _, part := range ch.Parts(p) {
		switch s := part.Switched; {
		case !lights(part, i):
		case part.Daylight != nil:
			peak := part.Daylight.Peak.Fraction * ch.scale(i)
			daylightPeak = max(daylightPeak, peak)
			day = append(day, daylight(*part.Daylight, ch.shorter(i), ch.Stretch).Scale(peak))
		case s != nil && !s.AutoOn && !s.AutoOff:
			c := Switched(Hours{s.On, s.Off}, i, ch)
			if !c.Dark() {
				daylightPeak = 1
			}
			day = append(day, c)
		case part.Moonlight != nil:
			moon = append(moon, moonlight(*part.Moonlight, midnight))
		}
	}
	return reach.Ask{Daylight: curve.Sum(day...), Moon: curve.Sum(moon...), Auto: Unit(p, i, ch)}, daylightPeak
}

func lights(part plan.DayPart, channel int) bool {
	for _, c := range part.Channels {
		if c == channel {
			return true
		}
	}
	return false
}
