package reach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/day/reach"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

const hour = 3600.0

func response(t require.TestingT, off float64, points ...[2]float64) dimmer.Response {
	s := dimmer.Spec{Kind: "table", Range: [2]float64{0, 10}, Points: points}
	if off > 0 {
		s.OffBelow = &off
	}
	r, err := dimmer.FromSpec(s)
	require.NoError(t, err)
	return r
}

// on is a port in tenths of a volt that leads channel 0, 1 ….
func on(name string, channels []int, lamps ...port.Lamp) plan.Port {
	return plan.Port{Port: port.Port{Controller: "rack", Name: name, Lamps: lamps,
		Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1, TimeStep: 60}}, Channels: channels}
}

func of(ports ...plan.Port) *plan.Plan {
	return &plan.Plan{Controllers: []plan.Controller{{Name: "rack", Ports: ports}}, Channels: make([]plan.Channel, 8)}
}

func shown(p *plan.Plan, asks ...reach.Ask) []reach.Reached { return reach.Day(p, asks) }

// A linear ramp from 0 to 100 % in 100 min through a cut-in at 10 %: its first ten minutes
// have a dose of 5 min at 10 %, so by hand the lamp lights five minutes before it.
func TestAFootKeepsItsDoseByHand(t *testing.T) {
	p := of(on("1", []int{0}, port.Lamp{Response: response(t, 1, [2]float64{0, 0}, [2]float64{10, 1})}))
	c := curve.Sum(curve.Ramp(8*hour, 8*hour+6000, curve.Linear, 0, 1, 1), curve.Hold(8*hour+6000, 16*hour, 1))
	got := shown(p, reach.Ask{Daylight: c})[0].Curve
	assert.InDelta(t, c.Dose(), got.Dose(), 1e-6)
	assert.Zero(t, got.At(8*hour+299))
	assert.InDelta(t, 0.1, got.At(8*hour+301), 1e-12)
	assert.InDelta(t, 0.1, got.Before(8*hour+600), 1e-9)
	assert.InDelta(t, 0.2, got.At(8*hour+1200), 1e-9)
}

func TestWhatReachesNothingIsDark(t *testing.T) {
	p := of(on("1", []int{0}, port.Lamp{Response: response(t, 1, [2]float64{0, 0}, [2]float64{10, 1})}))
	low := curve.Hold(8*hour, 9*hour, 0.05)
	day := curve.Hold(10*hour, 12*hour, 0.5)
	got := shown(p, reach.Ask{Daylight: curve.Sum(low, day), Moon: curve.Hold(21*hour, 6*hour, 0.01)})[0]
	assert.InDelta(t, hour, got.Curve.Dose(), 1e-9)
	assert.True(t, got.Moon.Dark())
	// the rest of the day is as it would be alone, its foot five minutes of dark and five at 10 %
	foot := shown(p, reach.Ask{Daylight: curve.Sum(low, curve.Ramp(10*hour, 10*hour+6000, curve.Linear, 0, 1, 1))})[0].Curve
	assert.InDelta(t, 3000, foot.Dose(), 1e-6)
	assert.Zero(t, foot.At(10*hour+299))
	// and light from midnight on is not what ends before midnight
	early := shown(p, reach.Ask{Daylight: curve.Sum(curve.Hold(0, hour, 0.05), day)})[0].Curve
	assert.InDelta(t, hour, early.Dose(), 1e-9)
	bright := shown(p, reach.Ask{Daylight: day, Moon: curve.Hold(21*hour, 6*hour, 0.12)})[0]
	assert.InDelta(t, 9*hour*0.12, bright.Moon.Dose(), 1e-9)
	assert.InDelta(t, hour+9*hour*0.12, bright.Curve.Dose(), 1e-9)
}

// Between two lit parts half an hour of 2 % and half an hour of 8 % are 0.05 h, by hand half an hour at 10 %; what is
// dark lies about the middle of what is too much, (0.08 · 9.25 + 0.02 · 9.75) / 0.1 = 9.35 h.
func TestDarkBetweenTwoLitParts(t *testing.T) {
	p := of(on("1", []int{0}, port.Lamp{Response: response(t, 1, [2]float64{0, 0}, [2]float64{10, 1})}))
	c := curve.Sum(curve.Hold(8*hour, 9*hour, 0.5), curve.Hold(9*hour, 9.5*hour, 0.02), curve.Hold(9.5*hour, 10*hour, 0.08), curve.Hold(10*hour, 11*hour, 0.5))
	got := shown(p, reach.Ask{Daylight: c})[0].Curve
	assert.InDelta(t, c.Dose(), got.Dose(), 1e-6)
	for at, want := range map[float64]float64{9.09: 0.1, 9.11: 0, 9.59: 0, 9.61: 0.1} {
		assert.InDelta(t, want, got.At(at*hour), 1e-9, "%g", at)
	}
}

// A floor of 10 %: dark hours glow, the feet of ramps too.
func TestNeverOffKeepsItsFloor(t *testing.T) {
	p := of(on("1", []int{0}, port.Lamp{NeverOff: true, Response: response(t, 0, [2]float64{0, 0.1}, [2]float64{10, 1})}))
	got := shown(p, reach.Ask{Daylight: curve.Ramp(8*hour, 9*hour, curve.Linear, 0, 1, 1)})[0].Curve
	for _, at := range []float64{0, 7 * hour, 8*hour + 60, 8*hour + 359, 9 * hour, 20 * hour} {
		assert.InDelta(t, 0.1, got.At(at), 1e-9, "%g", at)
	}
	assert.InDelta(t, 23*hour*0.1+0.9*hour*0.55+0.1*hour*0.1, got.Dose(), 1e-6)
	auto := shown(p, reach.Ask{Auto: curve.Hold(8*hour, 16*hour, 1)})[0].Curve
	assert.InDelta(t, 16*hour*0.1, auto.Dose(), 1e-9, "no floor where a level is still to be found")
}

// Two drivers that never go dark behind one outlet: each glows while the other is lit.
func TestAnOutletOfTwo(t *testing.T) {
	lamp := port.Lamp{Response: response(t, 0, [2]float64{0, 0.1}, [2]float64{10, 1})}
	a, b := on("1", []int{0}, lamp), on("2", []int{1}, lamp)
	a.Outlet, b.Outlet = port.Ref{Controller: "plugs", Port: "1"}, port.Ref{Controller: "plugs", Port: "1"}
	got := shown(of(a, b), reach.Ask{Daylight: curve.Hold(8*hour, 12*hour, 0.5)}, reach.Ask{Daylight: curve.Hold(11*hour, 18*hour, 0.8)})
	assert.InDelta(t, 4*hour*0.5+6*hour*0.1, got[0].Curve.Dose(), 1e-9)
	assert.InDelta(t, 7*hour*0.8+3*hour*0.1, got[1].Curve.Dose(), 1e-9)
	assert.Zero(t, got[0].Curve.At(20*hour))
}

// Two lamps on one output, the second bent: by hand at half way up the first gives 50 % at
// 5 V, where the second gives 20 %.
func TestFollowersFollow(t *testing.T) {
	p := of(on("1", []int{0, 1}, port.Lamp{Response: response(t, 0, [2]float64{0, 0}, [2]float64{10, 1})},
		port.Lamp{Response: response(t, 2, [2]float64{0, 0}, [2]float64{5, 0.2}, [2]float64{10, 1})}))
	got := shown(p, reach.Ask{Daylight: curve.Ramp(8*hour, 9*hour, curve.Smooth, 0, 1, 1)}, reach.Ask{Daylight: curve.Always(0.3)})
	assert.InDelta(t, 0.5, got[0].Curve.At(8.5*hour), 1e-12)
	assert.InDelta(t, 0.2, got[1].Curve.At(8.5*hour), 2e-5)
	assert.InDelta(t, 0.138197, got[1].Curve.At(8.4*hour), 2e-5, "(1 − cos 0.4π)/2 is at 3.45492 V, 0.2 · 3.45492/5")
	assert.Zero(t, got[1].Curve.At(8*hour+600), "below its own cut-in")
	assert.InDelta(t, 1, got[1].Curve.Before(9*hour), 2e-5)
	assert.Zero(t, got[1].Curve.At(12*hour), "its own entry is not asked")
}

// Whatever is asked of a port with a cut-in, what is shown keeps the dose of every stretch
// that reaches it, and is never between dark and the least light.
func TestNothingBetweenDarkAndTheLeast(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		off := rapid.Float64Range(0.1, 2).Draw(t, "off below")
		p := of(on("1", []int{0}, port.Lamp{Response: response(t, off, [2]float64{0, 0}, [2]float64{4, 0.3}, [2]float64{10, 1}),
			OnFrom: off + rapid.Float64Range(0, 0.5).Draw(t, "hysteresis")}))
		p.Controllers[0].Ports[0].Hold = rapid.Bool().Draw(t, "hold")
		least := p.Controllers[0].Ports[0].Least(0)
		h := func(lo, hi float64, name string) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) * hour }
		peak := rapid.Float64Range(0.01, 1).Draw(t, "peak")
		up, long, level, down := h(0, 24, "from"), h(0.1, 4, "up"), h(0.1, 8, "level"), h(0.1, 4, "down")
		w := func(x float64) float64 {
			if x >= 24*hour {
				x -= 24 * hour
			}
			return x
		}
		shape := rapid.SampledFrom([]curve.Shape{curve.Linear, curve.Smooth, curve.Solar, curve.Even}).Draw(t, "shape")
		c := curve.Sum(curve.Ramp(w(up), w(up+long), shape, 0, 1, peak), curve.Hold(w(up+long), w(up+long+level), peak),
			curve.Ramp(w(up+long+level), w(up+long+level+down), shape, 1, 0, peak))
		got := shown(p, reach.Ask{Daylight: c})[0].Curve
		if peak < least*(1-1e-6) {
			assert.Zero(t, got.Dose())
			return
		}
		assert.InDelta(t, c.Dose(), got.Dose(), 1e-4+1e-6*c.Dose())
		at := rapid.Float64Range(0, 86399).Draw(t, "at")
		if y := got.At(at); y > 0 {
			assert.GreaterOrEqual(t, y, least*(1-1e-6))
			assert.GreaterOrEqual(t, y, c.At(at)-1e-9)
		}
	})
}
