package day_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/sky"
)

const hour = 3600.0

var date = plan.Date{Year: 2027, Month: 2, Day: 3}

// plateau is light from a to b without ramps.
func plateau(channel int, a, b float64, peak plan.Level) plan.DayPart {
	return plan.DayPart{Channels: []int{channel}, Daylight: &plan.Daylight{
		Sunrise: plan.Ramp{From: a * hour, To: a * hour}, Sunset: plan.Ramp{From: b * hour, To: b * hour}, Peak: peak}}
}

func doses(p *plan.Plan, ch day.Change) (out []float64) {
	for _, c := range day.Build(p, date, ch).Channels {
		out = append(out, c.DoseS/hour)
	}
	return out
}

// A channel with two entries of different peaks keeps both. By hand: 4 h of 20 % and 4 h of 60 %;
// at half scale half of it, tubes of 3 h burn 1.5 h; an hour more adds its peak, taken from the middle.
func TestChangesAdd(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: make([]plan.Channel, 2), Day: []plan.DayPart{
		plateau(0, 8, 12, plan.Level{Fraction: 0.2}), plateau(0, 12, 16, plan.Level{Fraction: 0.6}),
		{Channels: []int{1}, Switched: &plan.Switched{On: 10 * hour, Off: 13 * hour}},
	}}
	half, shorter, longer := day.Change{Scale: []float64{0.5, 0.5}}, day.Change{Shorter: []float64{0.25, 0.25}}, day.Change{Stretch: hour}
	assert.InDeltaSlice(t, []float64{3.2, 3}, doses(p, day.Change{}), 1e-9)
	assert.InDeltaSlice(t, []float64{1.6, 1.5}, doses(p, half), 1e-9)
	assert.InDeltaSlice(t, []float64{2.4, 2.25}, doses(p, shorter), 1e-9)
	assert.InDeltaSlice(t, []float64{4, 4}, doses(p, longer), 1e-9)
	assert.InDeltaSlice(t, []float64{0.8, 0.75}, doses(p, half.And(half)), 1e-9)
	assert.InDeltaSlice(t, []float64{1.8, 1.6875}, doses(p, shorter.And(shorter)), 1e-9)
	assert.InDelta(t, 3*hour, day.LitSeconds(p, 1, day.Change{}), 1e-6)
	assert.Equal(t, half, day.Change{}.And(half))

	quiet := &plan.NamedDay{Name: "quiet", Parts: p.Day[2:]}
	assert.InDeltaSlice(t, []float64{0, 1.5}, doses(p, half.And(day.Change{Named: quiet})), 1e-9)
}

// The unit curve holds auto entries alone, at a peak of 1 and the date's scale; what is auto is dark.
func TestUnit(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: make([]plan.Channel, 3), Day: []plan.DayPart{
		plateau(0, 8, 12, plan.Level{Auto: true}), plateau(1, 8, 12, plan.Level{Fraction: 0.5}),
		{Channels: []int{2}, Switched: &plan.Switched{On: 10 * hour, AutoOff: true, Window: &plan.Window{From: 10 * hour, To: 14 * hour}}},
	}}
	ch := day.Change{Scale: []float64{0.8, 0.8, 0.8}}
	assert.InDelta(t, 0.8*4*hour, day.Unit(p, 0, ch).Dose(), 1e-6)
	assert.True(t, day.Unit(p, 1, ch).Dark())
	assert.True(t, day.Unit(p, 2, ch).Dark())
	assert.InDeltaSlice(t, []float64{0, 1.6, 0}, doses(p, ch), 1e-9)
	assert.Zero(t, day.LitSeconds(p, 2, ch))
	assert.InDelta(t, 0.8*2*hour, day.Switched(day.Hours{On: 10 * hour, Off: 12 * hour}, 2, ch).Dose(), 1e-6)
}

// Lisbon goes from 01:00 to 02:00 on 2027-03-28 and from 02:00 back to 01:00 on 2027-10-31 (IANA tz database):
// of tubes lit from 00:30 to 03:00 an hour is skipped, or burned twice, where the day follows.
func TestTheHourOfTheChange(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	p := &plan.Plan{Clock: plan.Clock{Zone: lisbon}, Channels: make([]plan.Channel, 1), Day: []plan.DayPart{
		{Channels: []int{0}, Switched: &plan.Switched{On: 0.5 * hour, Off: 3 * hour}}}}
	lit := func(month time.Month, d int) float64 {
		return day.Build(p, plan.Date{Year: 2027, Month: month, Day: d}, day.Change{}).Channels[0].DoseS / hour
	}
	assert.InDelta(t, 2.5, lit(3, 28), 1e-12, "on standard time nothing is skipped")
	p.Clock.FollowsSummerTime = true
	assert.InDelta(t, 2.5, lit(3, 27), 1e-12)
	assert.InDelta(t, 1.5, lit(3, 28), 1e-12)
	assert.InDelta(t, 3.5, lit(10, 31), 1e-12)
	assert.InDelta(t, 2.5, lit(11, 1), 1e-12)
}

// A date has the moon half-way through the moonlight that begins on it: for one from 21:00 to 06:00 that is
// 01:30 of the next date (the moon's lit fraction is held against published values in package sky).
func TestTheMoonHalfWayThroughTheNight(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: make([]plan.Channel, 1), Day: []plan.DayPart{
		{Channels: []int{0}, Moonlight: &plan.Moonlight{From: 21 * hour, To: 6 * hour, Peak: 0.1, Phase: plan.Follow}}}}
	for n := range 40 {
		today := day.Build(p, date.AddDays(n), day.Change{})
		lit := sky.MoonFraction(date.AddDays(n + 1).UTC().Add(90 * time.Minute))
		assert.InDelta(t, lit, today.MoonLit, 1e-12)
		assert.InDelta(t, 0.1*lit, today.Channels[0].Peak, 1e-12)
	}
}

// Under the true sky the moonlight of a date is its level while the moon is up (package sky is held against
// published risings), in the hours of the night that the date has: here to 06:00 and from 21:00.
func TestMoonlightUnderTheTrueSky(t *testing.T) {
	moon := plan.Moonlight{From: 21 * hour, To: 6 * hour, Peak: 0.1, Phase: plan.TrueSky, LatitudeDeg: 38.7, LongitudeDeg: -9.1}
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: make([]plan.Channel, 1),
		Day: []plan.DayPart{{Channels: []int{0}, Moonlight: &moon}}}
	for n := range 30 {
		midnight := date.AddDays(n).UTC()
		up := 0.0
		for _, iv := range sky.MoonUp(midnight, midnight.Add(24*time.Hour), moon.LatitudeDeg, moon.LongitudeDeg) {
			a, b := iv.From.Sub(midnight).Seconds(), iv.To.Sub(midnight).Seconds()
			up += max(min(b, 6*hour)-a, 0) + max(b-max(a, 21*hour), 0)
		}
		today := day.Build(p, date.AddDays(n), day.Change{})
		assert.InDelta(t, 0.1*today.MoonLit*up, today.Channels[0].DoseS, 1e-6)
		assert.InDelta(t, 0.1*today.MoonLit*up/(9*hour), day.MoonLevel(p, moon, date.AddDays(n)), 1e-12)
	}
}

// Half light from 8 to 12 h and a tenth from 21 to 6 h, with spans from 9 to 10 h and from 20 to 22 h: by hand 0.5 h and
// 0.1 h are in them, and 2.3 h of 2.9 h are left.
func TestSplitByHand(t *testing.T) {
	moon := curve.Hold(21*hour, 6*hour, 0.1)
	c := curve.Sum(curve.Hold(8*hour, 12*hour, 0.5), moon)
	d := day.Day{Channels: []day.Channel{{Curve: c, Moon: moon, DoseS: c.Dose()}, {}}}
	split := d.Split([][2]float64{{9 * hour, 10 * hour}, {20 * hour, 22 * hour}})
	assert.InDeltaSlice(t, []float64{2.3 * hour, 0, 0.5 * hour, 0, 0.1 * hour, 0}, split.Doses(), 1e-6)
	for i, want := range []float64{2.3, 0, 0.5, 0, 0.1, 0} {
		assert.InDelta(t, want*hour, split.Channels[i].Curve.Dose(), 1e-6)
		assert.InDelta(t, []float64{0.8, 0, 0, 0, 0.1, 0}[i]*hour, split.Channels[i].Moon.Dose(), 1e-6)
	}
	assert.Zero(t, split.Channels[0].Curve.At(9.5*hour))
	assert.Equal(t, 0.5, split.Channels[0].Curve.At(11*hour))
	assert.Equal(t, d, d.Split(nil))
}
