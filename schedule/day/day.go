package day

import (
	"time"

	"dayloom/schedule/curve"
	"dayloom/schedule/plan"
	"dayloom/schedule/sky"
)

// Usual is the index that stands for the plan's own `day` where a named day may stand.
const Usual = -1

// Change says how one date departs from the usual day. Start from None.
type Change struct {
	Day     int       // index into Plan.Days, or Usual
	Scale   float64   // of daylight peaks; hours of switched channels
	Channel []float64 // further scale of each channel's daylight; nil: all 1
	Hours   float64   // share of the plateau's hours kept
	Stretch float64   // seconds added to the length of the lit day
	Peaks   []float64 // daylight peaks in place of the plan's; nil or AsPlanned: the plan's own
	Switch  []Hours   // hours of switched channels in place of the plan's; nil or an On of AsPlanned: the plan's own
}

// AsPlanned stands in Change.Peaks, or as an On in Change.Switch, for what the plan has: a
// channel may have several entries, which one number cannot replace.
const AsPlanned = -1

// Hours is when a switched channel goes on and off, seconds after midnight.
// On == Off means that it stays off.
type Hours struct{ On, Off float64 }

// None is the usual day, unchanged.
func None() Change { return Change{Day: Usual, Scale: 1, Hours: 1} }

// Channel is what one channel does on the day.
type Channel struct {
	Curve    curve.Curve // light fraction, everything included
	Moon     curve.Curve // the moonlight in it
	Peak     float64     // greatest light fraction of the day
	DoseS    float64     // ∫ light fraction dt over the day, s
	Daylight float64     // the daylight peak after scaling, 0 when there is none
}

// Day is a plan on one date.
type Day struct {
	Date     plan.Date
	Channels []Channel // as Plan.Channels
	MoonLit  float64   // the moon's lit fraction at local midnight, 0..1
}

// Curves lists the channels' curves in order.
func (d Day) Curves() []curve.Curve {
	cs := make([]curve.Curve, len(d.Channels))
	for i, c := range d.Channels {
		cs[i] = c.Curve
	}
	return cs
}

// Build works out the day of a date. Peaks that are `auto` and not given by the
// change count as zero, hours that are `auto` as none: callers balance first.
func Build(p *plan.Plan, date plan.Date, ch Change) Day {
	midnight := time.Date(date.Year, date.Month, date.Day, 0, 0, 0, 0, p.Clock.Zone)
	d := Day{Date: date, Channels: make([]Channel, len(p.Channels)), MoonLit: sky.MoonFraction(midnight.UTC())}
	for i := range p.Channels {
		d.Channels[i] = channel(p, i, ch, d.MoonLit, midnight)
	}
	return d
}

// Parts lists the entries of the day that a change selects.
func Parts(p *plan.Plan, index int) []plan.DayPart {
	if index == Usual {
		return p.Day
	}
	return p.Days[index].Parts
}

// Unit is what a channel's auto entries give on a day with this change, its scale included:
// daylight at a peak of 1, and switched light during the change's hours. A channel
// without auto entries, or switched without hours, gives a dark curve.
func Unit(p *plan.Plan, i int, ch Change) curve.Curve {
	scale := ch.Scale
	if ch.Channel != nil {
		scale *= ch.Channel[i]
	}
	var cs []curve.Curve
	for _, part := range Parts(p, ch.Day) {
		switch s := part.Switched; {
		case !lights(part, i):
		case part.Daylight != nil && part.Daylight.Peak.Auto:
			cs = append(cs, daylight(*part.Daylight, ch.Hours, ch.Stretch).Scale(scale))
		case s != nil && (s.AutoOn || s.AutoOff) && ch.Switch != nil:
			cs = append(cs, switched(ch.Switch[i], min(scale, 1)*ch.Hours, ch.Stretch))
		}
	}
	return curve.Sum(cs...)
}

func channel(p *plan.Plan, i int, ch Change, lit float64, midnight time.Time) Channel {
	scale := ch.Scale
	if ch.Channel != nil {
		scale *= ch.Channel[i]
	}
	var day, moon []curve.Curve
	var out Channel
	for _, part := range Parts(p, ch.Day) {
		if !lights(part, i) {
			continue
		}
		switch {
		case part.Daylight != nil:
			peak := part.Daylight.Peak.Fraction
			if part.Daylight.Peak.Auto {
				peak = 0
			}
			if ch.Peaks != nil && ch.Peaks[i] != AsPlanned {
				peak = ch.Peaks[i]
			}
			out.Daylight = max(out.Daylight, peak*scale)
			day = append(day, daylight(*part.Daylight, ch.Hours, ch.Stretch).Scale(peak*scale))
		case part.Switched != nil:
			h := hours(*part.Switched, i, ch)
			c := switched(h, min(scale, 1)*ch.Hours, ch.Stretch)
			if !c.Dark() {
				out.Daylight = 1
			}
			day = append(day, c)
		case part.Moonlight != nil:
			moon = append(moon, moonlight(*part.Moonlight, lit, midnight))
		}
	}
	out.Moon = curve.Sum(moon...)
	out.Curve = curve.Sum(append(day, moon...)...)
	out.Peak, _ = out.Curve.Max()
	out.DoseS = out.Curve.Dose()
	return out
}

// hours is when an entry of a switched channel is lit: as the change says, or as the plan does; not at
// all while they are auto and not found.
func hours(s plan.Switched, i int, ch Change) Hours {
	switch {
	case ch.Switch != nil && ch.Switch[i].On != AsPlanned:
		return ch.Switch[i]
	case s.AutoOn || s.AutoOff:
		return Hours{}
	}
	return Hours{s.On, s.Off}
}

func lights(part plan.DayPart, channel int) bool {
	for _, c := range part.Channels {
		if c == channel {
			return true
		}
	}
	return false
}
