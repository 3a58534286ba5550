package day

import (
	"math"
	"time"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/sky"
)

// span is the time from a to b going forward, 0 when they are equal.
func span(a, b float64) float64 {
	return math.Mod(b-a+curve.Day, curve.Day)
}

// daylight is sunrise, plateau and sunset at unit height, made shorter and stretched
// about the middle.
// A stretch can lengthen the day to 24 h at most.
func daylight(d plan.Daylight, shorter, stretch float64) curve.Curve {
	if d.Points != nil {
		return points(d, shorter, stretch)
	}
	rise, fall := span(d.Sunrise.From, d.Sunrise.To), span(d.Sunset.From, d.Sunset.To)
	plateau := span(d.Sunrise.To, d.Sunset.From)
	middle := d.Sunrise.To + plateau/2
	plateau = min(plateau*(1-shorter)+stretch, curve.Day-rise-fall)
	if plateau < 0 { // the ramps give way once there is no plateau left
		k := max(1+plateau/(rise+fall), 0)
		rise, fall, plateau = rise*k, fall*k, 0
	}
	up, down := middle-plateau/2, middle+plateau/2
	return curve.Sum(
		ramp(up-rise, up, d.Sunrise.Shape, 0, 1),
		hold(up, down, 1),
		ramp(down, down+fall, d.Sunset.Shape, 1, 0),
	)
}

// points joins the points of a curve by straight lines, the last to the first over midnight. Made shorter or
// stretched, all of it is, about the middle of what is lit.
func points(d plan.Daylight, shorter, stretch float64) curve.Curve {
	length := span(d.Sunrise.From, d.Sunset.To)
	if length == 0 {
		length = curve.Day
	}
	middle := d.Sunrise.From + length/2
	k := min(max(length*(1-shorter)+stretch, 0), curve.Day) / length
	at := func(t float64) float64 { return middle + k*(t-middle) }
	var cs []curve.Curve
	for i, a := range d.Points {
		b := d.Points[(i+1)%len(d.Points)]
		from := a.TimeS
		if from < d.Sunrise.From {
			from += curve.Day
		}
		if a.Share > 0 || b.Share > 0 {
			cs = append(cs, ramp(at(from), at(from+span(a.TimeS, b.TimeS)), curve.Linear, a.Share, b.Share))
		}
	}
	return curve.Sum(cs...)
}

// switched is full light for a share of the stretched hours, about their middle, so
// that its dose goes with the share whatever the season.
func switched(h Hours, share, stretch float64) curve.Curve {
	length := span(h.On, h.Off)
	middle := h.On + length/2
	length = min((length+stretch)*share, curve.Day)
	if h.On == h.Off {
		return curve.Curve{}
	}
	return hold(middle-length/2, middle+length/2, 1)
}

// instant is a time too short to be a part of a day, s.
const instant = 1e-6

// ramp and hold take any two times, from < to, and wrap. Both ends are wrapped as
// they are given, so that one part ends exactly where the next begins: an overlap of
// a rounding error would count as a moment of double light.
func ramp(from, to float64, s curve.Shape, u0, u1 float64) curve.Curve {
	if to-from < instant {
		return curve.Curve{}
	}
	return curve.Ramp(wrap(from), wrap(to), s, u0, u1, 1)
}

func hold(from, to, level float64) curve.Curve {
	switch {
	case to-from < instant:
		return curve.Curve{}
	case to-from >= curve.Day-instant:
		return curve.Always(level)
	}
	return curve.Hold(wrap(from), wrap(to), level)
}

func wrap(t float64) float64 {
	if t = math.Mod(t, curve.Day); t < 0 {
		t += curve.Day
	}
	return t
}

// moonlight is the low level of the night, dimmed by the phase half-way through the night that begins on the
// date and, for true-sky, dark while the moon is below the horizon.
func moonlight(m plan.Moonlight, midnight time.Time) curve.Curve {
	middle, length := night(m)
	level := m.Peak
	if m.Phase != plan.Constant {
		level *= fraction(midnight, middle)
	}
	night := hold(m.From, m.From+length, level)
	if m.Phase != plan.TrueSky {
		return night
	}
	var up []curve.Curve
	for _, iv := range sky.MoonUp(midnight.UTC(), midnight.Add(24*time.Hour).UTC(), m.LatitudeDeg, m.LongitudeDeg) {
		a, b := iv.From.Sub(midnight).Seconds(), iv.To.Sub(midnight).Seconds()
		up = append(up, within(night, a, b))
	}
	return curve.Sum(up...)
}

// night is the middle of a moonlight, seconds after the midnight of the date it begins on, and its length.
func night(m plan.Moonlight) (middle, length float64) {
	if length = span(m.From, m.To); length == 0 {
		length = curve.Day
	}
	return m.From + length/2, length
}

// MoonLevel is the mean light fraction of a moonlight over its hours on a date.
func MoonLevel(p *plan.Plan, m plan.Moonlight, date plan.Date) float64 {
	midnight := time.Date(date.Year, date.Month, date.Day, 0, 0, 0, 0, p.Clock.Zone)
	_, length := night(m)
	return moonlight(m, midnight).Dose() / length
}

// FullMoon is what moonlight that follows the moon is worth on the usual day under a full moon all night,
// seconds at full output of each channel; moonlight that is always the same counts nothing.
func FullMoon(p *plan.Plan) []float64 {
	dose := make([]float64, len(p.Channels))
	for _, part := range p.Day {
		if m := part.Moonlight; m != nil && m.Phase != plan.Constant {
			_, length := night(*m)
			for _, c := range part.Channels {
				dose[c] += m.Peak * length
			}
		}
	}
	return dose
}

// fraction is the lit part of the moon some seconds after a midnight.
func fraction(midnight time.Time, seconds float64) float64 {
	return sky.MoonFraction(midnight.Add(time.Duration(seconds * float64(time.Second))).UTC())
}

// moonLit is that of the first moonlight of a date.
func moonLit(parts []plan.DayPart, midnight time.Time) float64 {
	for _, part := range parts {
		if part.Moonlight != nil {
			middle, _ := night(*part.Moonlight)
			return fraction(midnight, middle)
		}
	}
	return fraction(midnight, 0)
}

// within is the part of a curve of plateaus that lies in [a, b).
func within(c curve.Curve, a, b float64) curve.Curve {
	var cs []curve.Curve
	for _, p := range c.Pieces() {
		from, to := max(p.From, a), min(p.To, b)
		if from < to {
			cs = append(cs, curve.Ramp(from, to, curve.Linear, 1, 1, p.Level))
		}
	}
	return curve.Sum(cs...)
}
