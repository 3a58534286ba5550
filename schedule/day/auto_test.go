package day_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
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
