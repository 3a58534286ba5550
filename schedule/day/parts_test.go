package day

import (
	"testing"

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
