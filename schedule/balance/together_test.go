package balance_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/balance"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// driver answers 0 to 10 V by straight lines between points.
func driver(t require.TestingT, never bool, points ...[2]float64) port.Lamp {
	r, err := dimmer.FromSpec(dimmer.Spec{Kind: "table", Range: [2]float64{0, 10}, Points: points})
	require.NoError(t, err)
	return port.Lamp{Response: r, NeverOff: never}
}

// on puts channels on one port in hundredths of a volt.
func (s *sketch) on(outlet string, channels []int, lamps ...port.Lamp) {
	q := port.Port{Controller: "rack", Name: string(rune('1' + len(s.p.Ports()))), Lamps: lamps,
		Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.01, TimeStep: 60}}
	if outlet != "" {
		q.Outlet = port.Ref{Controller: "outlets", Port: outlet}
	}
	if s.p.Controllers == nil {
		s.p.Controllers = []plan.Controller{{Name: "rack"}}
	}
	s.p.Controllers[0].Ports = append(s.p.Controllers[0].Ports, plan.Port{Port: q, Channels: channels})
}

// One port lights a (straight) and b (5 % at 1 V, 100 % at 10 V): at y of a, b gives 0.05 + 0.95 (10 y − 1)/9. A coral
// with 100 and 50 µmol/m²/s of them, ten hours long, has 3.6 mol where 100 y + 50 b = 100: y = 102.778/152.778.
func TestTwoOnOnePortHaveOneLevel(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.on("", []int{0, 1}, driver(t, false, [2]float64{0, 0}, [2]float64{10, 1}), driver(t, false, [2]float64{0, 0}, [2]float64{1, 0.05}, [2]float64{10, 1}))
	s.p.Balance.Prefer = plan.Closest
	s.coral("x", 3.6, 100, 50)
	a := solve(t, s, balance.Options{})
	const y = (100 + 0.95*50/9 - 2.5) / (100 + 9.5*50/9)
	assert.InDelta(t, y, a.Peaks[0], 1e-6)
	assert.Equal(t, a.Peaks[0], a.Peaks[1], "one command")
	assert.InDelta(t, 0.05+0.95*(10*y-1)/9, a.Channels[1].Peak, 1e-5, "a follower's peak is what it gives")
	assert.InDelta(t, 3.6, a.Places[0].DLI, 1e-5)
	assert.True(t, a.Certificate.Proven)
}

// b is bent: 20 % at 5 V, 100 % at 10 V, so 0.4 of a up to half. A line through the upper part of it is not right where a
// coral with 100 and 50 of them has 36 µmol/m²/s for ten hours: 120 y = 36.
func TestLinesFollowABend(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.on("", []int{0, 1}, driver(t, false, [2]float64{0, 0}, [2]float64{10, 1}), driver(t, false, [2]float64{0, 0}, [2]float64{5, 0.2}, [2]float64{10, 1}))
	s.p.Balance.Prefer = plan.Closest
	s.coral("x", 1.296, 100, 50)
	a := solve(t, s, balance.Options{})
	assert.True(t, a.Met)
	assert.InDelta(t, 0.3, a.Peaks[0], 1e-6)
	assert.InDelta(t, 0.12, a.Channels[1].Peak, 1e-5)
	assert.InDelta(t, 1.296, a.Places[0].DLI, 1e-6)
}

// b is bent: 20 % at 5 V, 100 % at 10 V, and alone at y, where 150 may be: b = 0.6 of 250, so 7.5 V and 75 % of a.
func TestALimitIsFacedByWhatFollows(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.on("", []int{0, 1}, driver(t, false, [2]float64{0, 0}, [2]float64{10, 1}), driver(t, false, [2]float64{0, 0}, [2]float64{5, 0.2}, [2]float64{10, 1}))
	s.coral("x", 20, 300, 0)
	s.coral("y", 0, 0, 250).PPFDMax = 150
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.75, a.Peaks[0], 1e-4)
	assert.InDelta(t, 150, a.Places[1].Peak, 0.01)
	assert.LessOrEqual(t, a.Places[1].Peak, 150.0)
}

// A driver that leaves 10 % glows for the other 14 h of the day: 3.6 mol at 100 µmol/m²/s in full need y 10 h + 0.1·14 h = 10 h.
func TestAFloorIsLight(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.on("", []int{0}, driver(t, true, [2]float64{0, 0.1}, [2]float64{10, 1}))
	s.p.Balance.Prefer = plan.Closest
	s.coral("x", 3.6, 100)
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.86, a.Peaks[0], 1e-6)
	assert.InDelta(t, 3.6, a.Places[0].DLI, 1e-6)
}

// Two such drivers behind one outlet: a from 10:00 to 20:00, b from 8:00 to 22:00, where a glows for 4 h more. b has a coral of
// its own with 50.4 ks to reach 2.52 of 100: 50 %. a: y 10 h + 0.1·4 h = 7 h.
func TestAFloorBehindAnOutletIsLightWhileItIsOn(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.daylight(1, 8, 8, 22, 22, curve.Linear)
	for c := range 2 {
		s.on("1", []int{c}, driver(t, true, [2]float64{0, 0.1}, [2]float64{10, 1}))
	}
	s.p.Balance.Prefer = plan.Closest
	s.coral("x", 2.52, 100, 0)
	s.coral("y", 2.52, 0, 100)
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.66, a.Peaks[0], 1e-6)
	assert.InDelta(t, 0.5, a.Peaks[1], 1e-6)
}

// Whatever the drivers, the answer's light and verdicts are those of the day that the ports play at its levels.
func TestPropertyWhatIsFoundIsWhatPortsShow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(2, 6).Draw(t, "channels")
		s := lamps(n, rapid.IntRange(1, 5).Draw(t, "corals"), rapid.Uint64().Draw(t, "seed"))
		for c := 0; c < n; {
			var on []int
			var drivers []port.Lamp
			for range min(rapid.IntRange(1, 3).Draw(t, "lamps"), n-c) {
				lo := rapid.SampledFrom([]float64{0, 0, 0.05, 0.12}).Draw(t, "floor")
				mid := rapid.Float64Range(0.3, 0.7).Draw(t, "bend")
				on, drivers = append(on, c), append(drivers, driver(t, lo > 0, [2]float64{0, lo}, [2]float64{5, mid}, [2]float64{10, 1}))
				s.p.Day[c] = plan.DayPart{Channels: []int{c}, Daylight: s.p.Day[on[0]].Daylight}
				c++
			}
			s.on(rapid.SampledFrom([]string{"", "1"}).Draw(t, "outlet"), on, drivers...)
		}
		a, problems := balance.Solve(ctx, s.p, s.f, balance.Options{})
		if problems.HasErrors() {
			return // floors alone break a limit
		}
		p := balance.Found(s.p, a)
		d := day.Build(p, plan.Date{}, day.Change{})
		got := dose.Of(p, s.f, d, ones(n))
		met := true
		for i, pl := range got.Corals {
			require.InEpsilon(t, pl.DLI, a.Places[i].DLI, 1e-6)
			require.LessOrEqual(t, pl.Peak, s.p.Zones[i].PPFDMax*(1+1e-6))
			met = met && pl.Verdict == dose.Met
		}
		require.Equal(t, met, a.Met)
	})
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}
