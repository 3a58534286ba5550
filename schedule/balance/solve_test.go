package balance_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/schedule/balance"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

func solve(t testing.TB, s *sketch, o balance.Options) balance.Answer {
	a, problems := balance.Solve(ctx, s.p, s.f, o)
	require.False(t, problems.HasErrors(), errors(problems))
	gap := 3e-6
	if s.p.Controllers != nil { // bent drivers are kept a little from the edge
		gap = 2e-5
	}
	require.LessOrEqual(t, a.Certificate.Gap, gap)
	return a
}

// build plays an answer by the day's own package.
func build(s *sketch, o balance.Options, a balance.Answer) day.Day {
	return day.Build(balance.Found(s.p, a), o.Date, o.Change)
}

// said lists what binds.
func said(a balance.Answer) (out []string) {
	for _, b := range a.Binding {
		out = append(out, b.Text)
	}
	return out
}

// 10 h at 400 µmol/m²/s full: 14.4 mol/m²/d. Half of it is a peak of 50 %.
func TestOneLampOneCoral(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 7.2, 400)
	a := solve(t, s, balance.Options{})
	assert.True(t, a.Met)
	assert.InDelta(t, 0.5, a.Peaks[0], 1e-7)
	assert.InDelta(t, 7.2, a.Places[0].DLI, 1e-6)
	assert.InDelta(t, 200, a.Places[0].Peak, 1e-4)
	assert.InDelta(t, 0.5*100*10/1000, a.Energy, 1e-6) // kWh: half of 100 W for 10 h
	assert.Empty(t, a.Binding)
}

// 4.32 under a cap of 120: 10 h at 120 give 4.32 of the 7.2 asked; 40 % short.
func TestACapStandsInTheWay(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 7.2, 400).PPFDMax = 120
	a := solve(t, s, balance.Options{})
	assert.False(t, a.Met)
	assert.InDelta(t, 0.3, a.Peaks[0], 1e-6)
	assert.LessOrEqual(t, a.Places[0].Peak, 120.0)
	assert.InDelta(t, 0.3, a.Certificate.Bound, 1e-7) // beyond its tolerance of 10 %
	assert.Equal(t, []string{"a is at its limit of 120 µmol/m²/s at 10:00", "a: DLI 4.32, 40 % below target 7.2"}, said(a))
	require.NotEmpty(t, a.Binding)
	assert.Equal(t, "ppfd_max", a.Binding[0].Kind)
	assert.InDelta(t, 0.6, a.Binding[0].Price, 1e-6) // DLI goes with the cap: 1 % of it is 0.6 % of the target
}

// 20 mol/m²/d of a lamp that gives 14.4 in full: 28 % short, and what stands in the way is the lamp's own most.
func TestALampAtItsMost(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 20, 400)
	a := solve(t, s, balance.Options{})
	assert.Equal(t, []string{"a is at 100 % and cannot go higher", "a: DLI 14.4, 28 % below target 20"}, said(a))
	assert.Equal(t, "peak", a.Binding[0].Kind)
	assert.InDelta(t, 1, a.Binding[0].Limit, 1e-9)
	assert.InDelta(t, 0.72, a.Binding[0].Price, 1e-6) // 1 % more of the lamp is 0.72 % of the target
}

// 100 W are for two lamps of 100 W, each alone at its coral, asked for all of it: every x + y = 1 has the same sum of what is
// outside the tolerances, 0.8, and the greatest is least where both have half, whatever comes after it.
func TestTheGreatestStandsForLaterRanks(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.coral("a", 3.6, 100, 0)
	s.coral("b", 3.6, 0, 100)
	s.p.Balance.PowerMaxW, s.p.Balance.Prefer = 100, plan.LeastChange
	a := solve(t, s, balance.Options{From: []float64{0.8, 0.2}})
	assert.InDeltaSlice(t, []float64{0.5, 0.5}, a.Peaks, 1e-5)
	assert.InDelta(t, 0.8, a.Certificate.Sum, 1e-6)
}

// A DLI that no target may lift a coral above is a limit: 3.6 of the 14.4 that the lamp gives, though 7.2 are asked.
func TestNeverMoreThanIsAllowed(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 7.2, 400)
	target := balance.TargetOf(s.p, 0)
	target.Never = 3.6
	a := solve(t, s, balance.Options{Targets: []balance.Target{target}})
	assert.InDelta(t, 0.25, a.Peaks[0], 1e-6)
	assert.False(t, a.Met)
}

// Two corals under one lamp, full 400 and 100, asked 14 and 1: x = P/1 gives 14.4 x and 3.6 x.
// A step of x moves low by 3.6 of its target, high by 14.4/14 of its own: the sum of what is outside tolerances is
// least where low is at the end of its own, 3.6 x = 1.1. The greatest alone would be least at x = 2/(14.4/14 + 3.6).
func fight() *sketch {
	s := newSketch(1)
	s.day(0)
	s.coral("high", 14, 400)
	s.coral("low", 1, 100)
	return s
}

func TestTargetsThatFight(t *testing.T) {
	a := solve(t, fight(), balance.Options{})
	x := 1.1 / 3.6
	assert.False(t, a.Met)
	assert.InDelta(t, x, a.Peaks[0], 1e-6)
	assert.Equal(t, []string{"high: DLI 4.4, 68.6 % below target 14", "low: DLI 1.1, 10 % above target 1"}, said(a))
}

// Moonlight at 30 % and daylight of the same lamp at once leave 70 % for its peak.
func TestMoonlightAndDaylightTogetherStayWithinFull(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.p.Day = append(s.p.Day, plan.DayPart{Channels: []int{0}, Moonlight: &plan.Moonlight{From: 18 * hour, To: 23 * hour, Peak: 0.3}})
	s.coral("a", 100, 400)
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.7, a.Peaks[0], 1e-6)
	d := build(s, balance.Options{}, a)
	assert.LessOrEqual(t, d.Channels[0].Peak, 1.0)
	assert.Contains(t, a.Binding[0].Text, "with what else it is lit for is at its limit of 100 % at 18:00")
}

// Two lamps whose plateaus never meet: the cap of a sum of curves lies between the sum at any
// one break and the sum of their peaks. Ramps cross from 12:00 to 14:00, where they add up to a constant.
func TestCapOnCrossingRampsIsNotTheSumOfPeaks(t *testing.T) {
	s := newSketch(2)
	s.daylight(0, 8, 9, 12, 14, curve.Smooth)
	s.daylight(1, 12, 14, 17, 18, curve.Smooth)
	s.coral("a", 50, 300, 300).PPFDMax = 150
	a := solve(t, s, balance.Options{})
	assert.InDeltaSlice(t, []float64{0.5, 0.5}, a.Peaks, 3e-6) // never 0.25 each
}

// Under steps of equal lightness, convex, crossing ramps sag between; under sines, concave, they
// bulge: each at 1 they would give 2 sin(π/4) = 1.414 in the middle.
func TestCapOnBulgingRamps(t *testing.T) {
	s := newSketch(2)
	s.daylight(0, 8, 9, 12, 14, curve.Solar)
	s.daylight(1, 12, 14, 17, 18, curve.Solar)
	s.coral("a", 50, 300, 300).PPFDMax = 300 * math.Sqrt2 * 0.6
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 1.2, a.Peaks[0]+a.Peaks[1], 1e-5)
	d := build(s, balance.Options{}, a)
	top, _ := curve.Peak(d.Curves(), []float64{300, 300})
	assert.LessOrEqual(t, top, 300*math.Sqrt2*0.6)
	assert.Greater(t, top, 300*math.Sqrt2*0.6*(1-1e-6))
}

func TestPowerAndCircuits(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.coral("a", 100, 300, 200)
	s.p.Balance.PowerMaxW = 120
	a := solve(t, s, balance.Options{})
	assert.InDeltaSlice(t, []float64{1, 0.2}, a.Peaks, 1e-5) // both draw 100 W; the first gives more for it
	assert.LessOrEqual(t, a.Power, 120.0)
	s.p.Circuits = []plan.Circuit{{Name: "left", Channels: []int{0}, RatingA: 0.5, SupplyV: 230, Continuous: 0.8, PowerFactor: 0.5}}
	a = solve(t, s, balance.Options{}) // 0.4 A · 230 V · 0.5 = 46 W
	assert.InDeltaSlice(t, []float64{0.46, 0.74}, a.Peaks, 1e-5)
	assert.Contains(t, said(a), "circuit left is at its limit of 46 W at 10:00")
	assert.Contains(t, said(a), "the power of all channels is at its limit of 120 W at 10:00")
}

// What a fixed lamp breaks alone has no balance: the limit is named, with its place.
func TestFixedLightThatBreaksALimit(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.p.Day[1].Daylight.Peak = plan.Level{Fraction: 0.9}
	z := s.coral("a", 10, 300, 400)
	z.PPFDMax, z.Pos = 200, plan.Pos{Line: 12, Col: 3}
	_, problems := balance.Solve(ctx, s.p, s.f, balance.Options{})
	require.True(t, problems.HasErrors())
	assert.Equal(t, "plan.yaml:12:3: a: what is not auto already gives 360 µmol/m²/s where 200 µmol/m²/s is allowed at 10:00; "+
		"lower fixed peaks or hours, make them auto, or raise the limit\n", errors(problems))
}

func TestFixedPeaksStay(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.p.Day[1].Daylight.Peak = plan.Level{Fraction: 0.25}
	s.coral("a", 7.2, 400, 400)
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.25, a.Peaks[0], 1e-6)
	assert.InDelta(t, 0.25, a.Channels[1].Peak, 1e-12)
	assert.False(t, a.Channels[1].Auto)
}

func TestScaleAndAge(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 7.2, 400)
	o := balance.Options{Change: day.Change{Scale: []float64{0.8}}, Age: []float64{0.9}}
	a := solve(t, s, o)
	assert.InDelta(t, 0.5/0.8/0.9, a.Peaks[0], 1e-6)
	r := dose.Of(s.p, s.f, build(s, o, a), o.Age)
	assert.InDelta(t, 7.2, r.Corals[0].DLI, 1e-5)
}

// Two lamps alike but for their power, 14.4 each at full, 7.2 ± 10 % asked; wishes may use half of the tolerance.
func TestPreference(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.p.Channels[0].PowerW = 200
	s.coral("a", 7.2, 400, 400)
	assert.InDeltaSlice(t, []float64{0.25, 0.25}, solve(t, s, balance.Options{}).Peaks, 1e-6)
	s.p.Balance.Prefer = plan.LeastPower
	assert.InDeltaSlice(t, []float64{0, 0.475}, solve(t, s, balance.Options{}).Peaks, 1e-6)
	s.p.Balance.Spend = 1
	assert.InDeltaSlice(t, []float64{0, 0.45}, solve(t, s, balance.Options{}).Peaks, 2e-6)
	s.p.Balance.Spend = plan.HalfSpent
	s.p.Balance.Prefer = plan.Closest
	assert.InDeltaSlice(t, []float64{0, 0.5}, solve(t, s, balance.Options{}).Peaks, 1e-5) // and then least power
	s.p.Balance.Prefer = plan.LeastChange
	a := solve(t, s, balance.Options{From: []float64{0.4, 0.1}})
	assert.InDeltaSlice(t, []float64{0.4, 0.1}, a.Peaks, 1e-5)
	a = solve(t, s, balance.Options{From: []float64{0.4, 0.3}}) // 0.175 too much, shared evenly
	assert.InDeltaSlice(t, []float64{0.3125, 0.2125}, a.Peaks, 1e-5)
	a = solve(t, s, balance.Options{})
	assert.InDeltaSlice(t, []float64{0.25, 0.25}, a.Peaks, 1e-6)
	assert.Contains(t, a.Notes[0], "even levels were taken instead")
}

// peak: {from: 20 %, to: 80 %}, and what a port can show: zero or at least its least light.
func TestBoundsAndLeastLight(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.coral("a", 7.2, 400, 400)
	s.p.Day[0].Daylight.Peak.From, s.p.Day[0].Daylight.Peak.To = 0.3, 0.8
	a := solve(t, s, balance.Options{})
	assert.InDeltaSlice(t, []float64{0.3, 0.225}, a.Peaks, 2e-6) // half of the tolerance brings them nearer
	s.p.Balance.Prefer = plan.LeastPower
	s.p.Channels[0].PowerW = 50
	s.p.Day[0].Daylight.Peak.To = 0.4
	a = solve(t, s, balance.Options{}) // 0.075 are left to the second lamp
	assert.InDeltaSlice(t, []float64{0.4, 0.075}, a.Peaks, 2e-6)
	a = solve(t, s, balance.Options{Least: []float64{0, 0.1}}) // which cannot show that
	assert.InDeltaSlice(t, []float64{0.375, 0.1}, a.Peaks, 2e-6)
	assert.True(t, a.Certificate.Proven)
	a = solve(t, s, balance.Options{Least: []float64{0, 0.5}}) // so it is dark, or too bright
	assert.Zero(t, a.Peaks[1])
	assert.False(t, a.Met)
	assert.InDelta(t, 0.1, a.Certificate.Bound, 1e-6)
}

// dli_min and dli_max narrow the tolerance, and are named where they bind.
func TestLeastAndMostDLI(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 7.2, 400).DLIMin = 7
	s.coral("b", 5, 400).DLIMax = 5.2
	a := solve(t, s, balance.Options{})
	assert.False(t, a.Met)
	assert.InDelta(t, 1.8/7.2, a.Certificate.Sum, 1e-6) // a step costs b more, in parts of its target
	assert.Equal(t, []string{"b: DLI 5.2, its dli_max is 5.2", "a: DLI 5.2, its dli_min is 7"}, said(a))
}

// Two lamps, blue and white, and one coral: the target leaves one freedom, and the share takes it.
// Blue share 0.6 of the PPFD with b = 0.9 and 0.2 blue: 0.9 x + 0.2 (1 − x) = 0.6 at x = 4/7.
func TestSharesTakeTheFreedomLeft(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.coral("a", 7.2, 400, 400)
	blue := spectrum.Band{Lo: 400, Hi: 480}
	s.f.Bands = append(s.f.Bands, blue)
	for c, part := range []float64{0.9, 0.2} {
		s.f.Corals[0][c].Bands = append(s.f.Corals[0][c].Bands, 400*part)
	}
	s.p.Balance.Shares = []plan.BandShare{{Band: blue, AtLeast: 0.6, AtMost: 1}}
	s.p.Channels[0].PowerW = 200 // least power would take none of the blue
	s.p.Balance.Prefer = plan.Closest
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.6, a.Shares[0].Share, 2e-6)
	assert.True(t, a.Shares[0].Met)
	assert.True(t, a.Met)
	assert.InDelta(t, 0.5*4/7, a.Peaks[0], 2e-6)
	s.p.Balance.Shares[0].AtLeast = 0.95
	a = solve(t, s, balance.Options{})
	assert.InDelta(t, 0.9, a.Shares[0].Share, 1e-6)
	assert.False(t, a.Shares[0].Met)
	assert.False(t, a.Met, "a broken share is not met")
	assert.Contains(t, a.Notes[len(a.Notes)-1], "400-480 nm is 90 % of the PPFD at a")
}

// Nothing is asked for the low one on that day, as before a newcomer arrives, but its limit still counts.
func TestACoralThatIsNotAskedFor(t *testing.T) {
	s := fight()
	own := balance.TargetOf(s.p, 1)
	own.DLI, own.PPFDMax = 0, 60
	a := solve(t, s, balance.Options{Targets: []balance.Target{own}})
	assert.InDelta(t, 0.6, a.Peaks[0], 1e-6)
	assert.InDelta(t, 60, a.Places[1].Peak, 1e-4)
	assert.True(t, a.Places[1].Met)
	own.DLI, own.PPFDMax = 2, inf
	a = solve(t, s, balance.Options{Targets: []balance.Target{own}})
	assert.Equal(t, 2.0, a.Places[1].Target)
}

func TestMixedEntriesAreRefused(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.daylight(0, 21, 21, 23, 23, curve.Linear)
	s.p.Day[1].Daylight.Peak = plan.Level{Fraction: 0.1}
	s.coral("a", 7, 400)
	_, problems := balance.Solve(ctx, s.p, s.f, balance.Options{})
	assert.Contains(t, errors(problems), "a has an entry with auto and another without; make them all auto or none")
	_, problems = balance.Solve(ctx, fight().p, fight().f, balance.Options{Sure: 1.5})
	assert.Contains(t, errors(problems), "give one from 50 % to less than 100 %")
}
