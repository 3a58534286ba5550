package day_test

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

const hour = 3600.0

// plateau is light from a to b without ramps.
func plateau(channel int, a, b float64, peak plan.Level) plan.DayPart {
	return plan.DayPart{Channels: []int{channel}, Daylight: &plan.Daylight{
		Sunrise: plan.Ramp{From: a * hour, To: a * hour}, Sunset: plan.Ramp{From: b * hour, To: b * hour}, Peak: peak}}
}

// A channel with two entries of different peaks keeps both when a change says AsPlanned, and
// one number replaces both.
func TestAsPlanned(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: make([]plan.Channel, 2), Day: []plan.DayPart{
		plateau(0, 8, 12, plan.Level{Fraction: 0.2}), plateau(0, 12, 16, plan.Level{Fraction: 0.6}),
		{Channels: []int{1}, Switched: &plan.Switched{On: 10 * hour, Off: 13 * hour}},
	}}
	ch := day.None()
	ch.Peaks, ch.Switch = []float64{day.AsPlanned, 0}, []day.Hours{{}, {On: day.AsPlanned}}
	d := day.Build(p, plan.Date{Year: 2027, Month: 2, Day: 3}, ch)
	assert.InDelta(t, (0.2+0.6)*4*hour, d.Channels[0].DoseS, 1e-6)
	assert.InDelta(t, 3*hour, d.Channels[1].DoseS, 1e-6)
	assert.InDelta(t, 3*hour, day.LitSeconds(p, 1, ch), 1e-6)
	ch.Peaks[0], ch.Switch[1] = 0.5, day.Hours{On: 10 * hour, Off: 11 * hour}
	d = day.Build(p, plan.Date{Year: 2027, Month: 2, Day: 3}, ch)
	assert.InDelta(t, 0.5*8*hour, d.Channels[0].DoseS, 1e-6)
	assert.InDelta(t, hour, d.Channels[1].DoseS, 1e-6)
}

// The unit curve holds auto entries alone, at a peak of 1 and the date's scale; what is auto and not found is dark.
func TestUnit(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: make([]plan.Channel, 3), Day: []plan.DayPart{
		plateau(0, 8, 12, plan.Level{Auto: true}), plateau(1, 8, 12, plan.Level{Fraction: 0.5}),
		{Channels: []int{2}, Switched: &plan.Switched{On: 10 * hour, AutoOff: true, Window: &plan.Window{From: 10 * hour, To: 14 * hour}}},
	}}
	ch := day.None()
	ch.Scale = 0.8
	assert.InDelta(t, 0.8*4*hour, day.Unit(p, 0, ch).Dose(), 1e-6)
	assert.True(t, day.Unit(p, 1, ch).Dark())
	assert.True(t, day.Unit(p, 2, ch).Dark())
	d := day.Build(p, plan.Date{Year: 2027, Month: 2, Day: 3}, ch)
	assert.Zero(t, d.Channels[0].DoseS)
	assert.Zero(t, d.Channels[2].DoseS)
	ch.Switch = []day.Hours{{}, {}, {On: 10 * hour, Off: 12 * hour}}
	assert.InDelta(t, 0.8*2*hour, day.Unit(p, 2, ch).Dose(), 1e-6)
}
