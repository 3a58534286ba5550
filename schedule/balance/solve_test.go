package balance_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/schedule/balance"
	"dayloom/schedule/curve"
	"dayloom/schedule/day"
	"dayloom/schedule/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/settle"
)

func solve(t testing.TB, s *sketch, o balance.Options) balance.Answer {
	a, problems := balance.Solve(s.p, s.f, o)
	require.False(t, problems.HasErrors(), errors(problems))
	require.LessOrEqual(t, a.Certificate.Gap, 1e-6)
	return a
}

// build plays an answer by the day's own package.
func build(s *sketch, o balance.Options, a balance.Answer) day.Day {
	return day.Build(settle.Found(s.p, a), o.Date, o.Change)
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
	assert.Empty(t, a.Why)
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
	assert.InDelta(t, 0.4, a.Certificate.Bound, 1e-9)
	assert.Equal(t, []string{"a cannot rise above 4.32 (asked 7.2): a is at its limit of 120 µmol/m²/s at 10:00"}, a.Why)
	require.NotEmpty(t, a.Binding)
	assert.Equal(t, "ppfd_max", a.Binding[0].Kind)
	assert.InDelta(t, 0.6, a.Binding[0].Price, 1e-6) // DLI goes with the cap: 1 % of it is 0.6 % of the target
}

// Two corals under one lamp, full 400 and 100, asked 14 and 1: x = P/1 gives 14.4 x and 3.6 x.
// 1 − 14.4 x/14 = 3.6 x − 1 at x = 2/(14.4/14 + 3.6).
func fight() *sketch {
	s := newSketch(1)
	s.day(0)
	s.coral("high", 14, 400)
	s.coral("low", 1, 100)
	return s
}

func TestTargetsThatFight(t *testing.T) {
	a := solve(t, fight(), balance.Options{})
	x := 2 / (14.4/14 + 3.6)
	assert.False(t, a.Met)
	assert.InDelta(t, x, a.Peaks[0], 1e-6)
	assert.Equal(t, []string{
		"high cannot rise above 6.22 (asked 14): low is already at 1.56, 55.6 % above its target of 1",
		"low cannot fall below 1.56 (asked 1): high is already at 6.22, 55.6 % below its target of 14",
	}, a.Why)
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
	assert.Contains(t, a.Why[0], "with what else it is lit for is at its limit of 100 % at 18:00")
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
	assert.Contains(t, a.Why[0], "circuit left is at its limit of 46 W")
	assert.Contains(t, a.Why[0], "the power of all channels is at its limit of 120 W")
}

// What a fixed lamp breaks alone has no balance: the limit is named, with its place.
func TestFixedLightThatBreaksALimit(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.p.Day[1].Daylight.Peak = plan.Level{Fraction: 0.9}
	z := s.coral("a", 10, 300, 400)
	z.PPFDMax, z.Pos = 200, plan.Pos{Line: 12, Col: 3}
	_, problems := balance.Solve(s.p, s.f, balance.Options{})
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

// Least power takes the lamp with more light for its watts when one is enough; least change stays
// as near as it can to what was.
func TestPreference(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.p.Channels[0].PowerW = 200
	s.coral("a", 7.2, 400, 400)
	assert.InDeltaSlice(t, []float64{0, 0.5}, solve(t, s, balance.Options{}).Peaks, 1e-6)
	s.p.Balance.LeastChange = true
	a := solve(t, s, balance.Options{From: []float64{0.4, 0.1}})
	assert.InDeltaSlice(t, []float64{0.4, 0.1}, a.Peaks, 1e-5)
	a = solve(t, s, balance.Options{})
	assert.InDeltaSlice(t, []float64{0, 0.5}, a.Peaks, 1e-6)
	assert.Contains(t, a.Notes[0], "least power was taken instead")
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
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 0.6, a.Shares[0].Share, 1e-6)
	assert.True(t, a.Shares[0].Met)
	assert.InDelta(t, 0.5*4/7, a.Peaks[0], 1e-6)
	s.p.Balance.Shares[0].AtLeast = 0.95
	a = solve(t, s, balance.Options{})
	assert.InDelta(t, 0.9, a.Shares[0].Share, 1e-6)
	assert.False(t, a.Shares[0].Met)
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
	_, problems := balance.Solve(s.p, s.f, balance.Options{})
	assert.Contains(t, errors(problems), "a has an entry with auto and another without; make them all auto or none")
	_, problems = balance.Solve(fight().p, fight().f, balance.Options{Sure: 1.5})
	assert.Contains(t, errors(problems), "give one from 50 % to less than 100 %")
}
