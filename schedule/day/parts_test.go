package day

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// Parts meet without an overlap, so a day at unit height never exceeds one, and its
// dose is that of its plateau and ramps: half of each linear ramp, the closed form.
func TestDaylightNeverExceedsItsPeak(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		start := rapid.Float64Range(0, 86399).Draw(t, "start")
		rise := rapid.Float64Range(60, 4*3600).Draw(t, "rise")
		plateau := rapid.Float64Range(60, 8*3600).Draw(t, "plateau")
		fall := rapid.Float64Range(60, 4*3600).Draw(t, "fall")
		hours := rapid.Float64Range(0, 1).Draw(t, "hours")
		d := plan.Daylight{
			Sunrise: plan.Ramp{From: start, To: wrap(start + rise)},
			Sunset:  plan.Ramp{From: wrap(start + rise + plateau), To: wrap(start + rise + plateau + fall)},
		}
		c := daylight(d, 1-hours, 0)
		if top, at := c.Max(); top > 1+1e-9 {
			t.Fatalf("%g at %g", top, at)
		}
		if want := (rise+fall)/2 + plateau*hours; c.Dose() > want+1e-3 || c.Dose() < want-1e-3 {
			t.Fatalf("dose %g, want %g", c.Dose(), want)
		}
		h := Hours{start, wrap(start + plateau)}
		if got := switched(h, hours, 600).Dose(); got > (plateau+600)*hours+1e-3 || got < (plateau+600)*hours-1e-3 {
			t.Fatalf("switched %g of %g", got, hours)
		}
		if top, _ := curve.Sum(switched(h, hours, 0)).Max(); top > 1 {
			t.Fatal(top)
		}
	})
}

// A stretch ends at 24 h: of ramps of an hour and a plateau of 20 h ten hours longer, 1 + 22 + 1 h are left, a dose of
// 23 h. Half a second less than no plateau is no moment of double light.
func TestAStretchEndsAt24Hours(t *testing.T) {
	d := plan.Daylight{Sunrise: plan.Ramp{From: 0, To: 3600}, Sunset: plan.Ramp{From: 21 * 3600, To: 22 * 3600}}
	assert.InDelta(t, 23*3600, daylight(d, 0, 10*3600).Dose(), 1e-6)
	d.Sunset = plan.Ramp{From: 3600, To: 7200}
	top, _ := daylight(d, 0, -0.5).Max()
	assert.LessOrEqual(t, top, 1+1e-9)
}

// Points over midnight: up to a half from 22 to 23 h, down from 1 to 2 h. By hand 0.25 + 1 + 0.25 h; two hours longer
// each time is half as far again from midnight.
func TestPointsOverMidnight(t *testing.T) {
	d := plan.Daylight{Sunrise: plan.Ramp{From: 22 * 3600}, Sunset: plan.Ramp{To: 2 * 3600}, Points: []plan.Share{
		{TimeS: 3600, Share: 0.5}, {TimeS: 2 * 3600}, {TimeS: 22 * 3600}, {TimeS: 23 * 3600, Share: 0.5}}}
	assert.InDelta(t, 1.5*3600, daylight(d, 0, 0).Dose(), 1e-6)
	long := daylight(d, 0, 2*3600)
	assert.InDelta(t, 2.25*3600, long.Dose(), 1e-6)
	assert.InDelta(t, 0.5, long.Before(1.5*3600), 1e-9)
	assert.Zero(t, long.At(13.5*3600))
	assert.Zero(t, daylight(d, 1, 0).Dose())
}
