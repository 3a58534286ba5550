package lowering

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/curve"
	"dayloom/schedule/port"
)

const hour = 3600.0

func smoothDay(peak float64) curve.Curve {
	return curve.Sum(curve.Ramp(8.5*hour, 11*hour, curve.Smooth, 0, 1, peak), curve.Hold(11*hour, 17.5*hour, peak),
		curve.Ramp(17.5*hour, 20.5*hour, curve.Smooth, 1, 0, peak))
}

func linear(t require.TestingT, lo, hi float64) dimmer.Response {
	r, err := dimmer.Linear(lo, hi)
	require.NoError(t, err)
	return r
}

// cutIn is 0-10 V, dark below 1.2 V, 7 % there, 45 % at 5 V.
func cutIn(t require.TestingT) dimmer.Response {
	off := 1.2
	r, err := dimmer.FromSpec(dimmer.Spec{Kind: "table", Range: [2]float64{0, 10}, OffBelow: &off,
		Points: [][2]float64{{1.2, 0.07}, {5, 0.45}, {10, 1}}})
	require.NoError(t, err)
	return r
}

func logarithmic(t require.TestingT) dimmer.Response {
	r, err := dimmer.Log(0, 254)
	require.NoError(t, err)
	return r
}

func square(t require.TestingT) dimmer.Response {
	r, err := dimmer.Square(0, 255)
	require.NoError(t, err)
	return r
}

// lowest is 1-10 V, 10 % at 1 V and never dark.
func lowest(t require.TestingT) dimmer.Response {
	r, err := dimmer.Table([]dimmer.Point{{Command: 1, Fraction: 0.1}, {Command: 10, Fraction: 1}})
	require.NoError(t, err)
	return r
}

func volts(t require.TestingT, points int, hold bool) Limits {
	return Limits{Response: cutIn(t), Range: [2]float64{0, 10}, Step: 0.1, MaxPoints: points, Hold: hold}
}

func kinds(r Result) []Kind {
	var out []Kind
	for _, n := range r.Notes {
		out = append(out, n.Kind)
	}
	return out
}

func TestDarkDayIsOnePoint(t *testing.T) {
	for _, hold := range []bool{false, true} {
		r := Lower(curve.Curve{}, volts(t, 16, hold))
		require.Len(t, r.Points, 1)
		assert.Zero(t, r.Points[0].Command)
		assert.Zero(t, r.Greatest)
		assert.Empty(t, r.Notes)
	}
}

func TestConstantDayIsOnePoint(t *testing.T) {
	for _, hold := range []bool{false, true} {
		r := Lower(curve.Always(0.4), percent(1, 8, hold, 60))
		require.Len(t, r.Points, 1)
		assert.Equal(t, 40.0, r.Points[0].Command)
		assert.Zero(t, r.Greatest)
	}
}

// A trapezium whose corners are on the grid needs its four corners and no more.
func TestTrapeziumIsItsCorners(t *testing.T) {
	day := curve.Sum(curve.Ramp(8*hour, 10*hour, curve.Linear, 0, 1, 0.6), curve.Hold(10*hour, 16*hour, 0.6), curve.Ramp(16*hour, 19*hour, curve.Linear, 1, 0, 0.6))
	r := Lower(day, percent(1, 24, false, 60))
	assert.Equal(t, []port.Point{{Time: 8 * hour}, {Time: 10 * hour, Command: 60}, {Time: 16 * hour, Command: 60}, {Time: 19 * hour}}, r.Points)
	assert.InDelta(t, 0, r.Greatest, 1e-12)
	assert.InDelta(t, r.DoseAsked, r.DoseDelivered, 1e-6)
}

// The same trapezium over midnight, twelve hours on, is the same points twelve hours on.
func TestOverMidnight(t *testing.T) {
	day := curve.Sum(curve.Ramp(20*hour, 22*hour, curve.Linear, 0, 1, 0.6), curve.Hold(22*hour, 4*hour, 0.6), curve.Ramp(4*hour, 7*hour, curve.Linear, 1, 0, 0.6))
	r := Lower(day, percent(1, 24, false, 60))
	assert.Equal(t, []port.Point{{Time: 4 * hour, Command: 60}, {Time: 7 * hour}, {Time: 20 * hour}, {Time: 22 * hour, Command: 60}}, r.Points)
}

func TestSwitchOnTheMinute(t *testing.T) {
	r := Lower(curve.Hold(12*hour, 15.5*hour, 1), Limits{Switch: true, MaxPoints: 4})
	assert.Equal(t, []port.Point{{Time: 12 * hour, Command: 1}, {Time: 15.5 * hour, Command: 0}}, r.Points)
	assert.Zero(t, r.Greatest)
	assert.Zero(t, r.Anywhere)
	assert.Equal(t, r.DoseAsked, r.DoseDelivered)
}

// A ramp cannot jump: it takes one time step, which the norm does not count.
func TestSwitchingARampController(t *testing.T) {
	r := Lower(curve.Hold(12*hour, 15.5*hour, 0.8), percent(1, 8, false, 60))
	require.Len(t, r.Points, 4)
	assert.Zero(t, r.Greatest)
	assert.InDelta(t, 0.8, r.Anywhere, 0.81)
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
	assert.Equal(t, 60.0, r.Points[1].Time-r.Points[0].Time)
	assert.Equal(t, 60.0, r.Points[3].Time-r.Points[2].Time)
}

// Moonlight of 1.4 % from a lamp that gives 7 % or nothing: a fifth of the time,
// about the middle of the night.
func TestMoonlightBelowTheCutIn(t *testing.T) {
	for _, hold := range []bool{false, true} {
		r := Lower(curve.Hold(21*hour, 6*hour, 0.014), volts(t, 8, hold))
		assert.InDelta(t, 9*hour, r.BelowCutIn.Seconds, 1e-6)
		assert.InDelta(t, 0.014*9*hour, r.BelowCutIn.LightAsked, 1e-6)
		assert.InEpsilon(t, r.BelowCutIn.LightAsked, r.BelowCutIn.LightGiven, 0.012, "to half a minute of 108 at either end")
		tr, err := volts(t, 8, hold).Track(r.Points)
		require.NoError(t, err)
		assert.InDelta(t, 0.07, tr.At(1.5*hour), 1e-9)
		assert.Zero(t, tr.At(0))
		assert.Zero(t, tr.At(3*hour))
		assert.Contains(t, kinds(r), BelowFirst)
	}
}

// A straight dawn that spends half an hour under the cut-in comes on in the
// middle of it: the light lost before is the light gained after (calculus).
func TestDawnThroughTheCutIn(t *testing.T) {
	day := curve.Sum(curve.Ramp(8*hour, 15*hour, curve.Linear, 0, 1, 0.98), curve.Ramp(15*hour, 22*hour, curve.Linear, 1, 0, 0.98))
	r := Lower(day, volts(t, 24, false))
	tr, err := volts(t, 24, false).Track(r.Points)
	require.NoError(t, err)
	for _, at := range []float64{8.25 * hour, 21.75 * hour} {
		assert.Less(t, min(tr.At(at-90), tr.At(at+90)), 1e-9)
		assert.InDelta(t, 0.07, max(tr.At(at-90), tr.At(at+90)), 0.003)
	}
	assert.InDelta(t, hour, r.BelowCutIn.Seconds, 1e-3)
	assert.InEpsilon(t, 0.035*hour, r.BelowCutIn.LightAsked, 1e-6)
	assert.Less(t, r.Greatest, 0.006, "the jump to 7 % does not spoil the rest")
	assert.Greater(t, r.Anywhere, 0.03, "and is not hidden")
}

func TestNeverDark(t *testing.T) {
	l := Limits{Response: lowest(t), Range: [2]float64{1, 10}, Step: 0.1, MaxPoints: 16}
	r := Lower(smoothDay(0.8), l)
	assert.Equal(t, []Kind{NeverDark, DoseOff}, kinds(r))
	assert.Greater(t, r.BelowCutIn.Seconds, 12*hour)
	assert.Less(t, r.Greatest, 0.01, "what it can follow it follows")
	assert.InDelta(t, 0.1, r.Anywhere, 1e-9)

	l.Outlet = true
	r = Lower(smoothDay(0.8), l)
	require.Len(t, r.Outlet, 2, "on in the morning, off in the evening")
	assert.Equal(t, [2]float64{1, 0}, [2]float64{r.Outlet[0].Command, r.Outlet[1].Command})
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
	assert.Less(t, r.Greatest, 0.01)
	assert.Less(t, r.Anywhere, 0.065, "about half of 10 %, where the outlet switches")
	assert.Equal(t, []Kind{BelowFirst}, kinds(r))
}

func TestMoreThanThePortCanGive(t *testing.T) {
	r, err := dimmer.Table([]dimmer.Point{{Command: 0, Fraction: 0}, {Command: 10, Fraction: 0.5}})
	require.NoError(t, err)
	got := Lower(smoothDay(0.8), Limits{Response: r, Range: [2]float64{0, 10}, Step: 0.1, MaxPoints: 16})
	assert.Contains(t, kinds(got), AboveFull)
	assert.Contains(t, kinds(got), DoseOff)
	assert.InDelta(t, 0.3, got.Anywhere, 0.01)
}

func TestTooFewPointsSaySo(t *testing.T) {
	for n := 1; n <= 3; n++ {
		r := Lower(smoothDay(0.8), percent(1, n, n%2 == 0, 60))
		assert.LessOrEqual(t, len(r.Points), n)
		assert.True(t, slices.Contains(kinds(r), FewPoints) || slices.Contains(kinds(r), DoseOff))
	}
}

// The best broken line of n pieces departs from f by (∫√|f″|)²/16n² for large n:
// half of what the best inscribed one does (de Boor 1978, A Practical Guide to
// Splines, chapter III, from memory; the half is Chebyshev's equioscillation).
// A half-sine over x in 0..π has ∫√sin = B(3/4, 1/2) = 2.39628.
func TestHalfSineAgainstTheLimitOfApproximation(t *testing.T) {
	day := curve.Sum(curve.Ramp(6*hour, 12*hour, curve.Solar, 0, 1, 1), curve.Ramp(12*hour, 18*hour, curve.Solar, 1, 0, 1))
	for _, points := range []int{17, 25, 33} {
		l := Limits{Response: linear(t, 0, 65535), Range: [2]float64{0, 65535}, Step: 1, MaxPoints: points}
		r := Lower(day, l)
		limit := 2.39628 * 2.39628 / 16 / float64((points-1)*(points-1))
		assert.InEpsilon(t, limit, r.Greatest, 0.15, "%d points", points)
	}
}

// anyDay draws a day as plans have them.
func anyDay(t *rapid.T) curve.Curve {
	minute := func(name string, lo, hi int) float64 { return 60 * float64(rapid.IntRange(lo, hi).Draw(t, name)) }
	shape := curve.Shape(rapid.IntRange(0, 3).Draw(t, "shape"))
	peak := float64(rapid.IntRange(5, 100).Draw(t, "peak")) / 100
	start, rise := minute("start", 300, 600), minute("rise", 10, 240)
	stay, fall := minute("stay", 30, 300), minute("fall", 10, 240)
	day := curve.Sum(curve.Ramp(start, start+rise, shape, 0, 1, peak), curve.Hold(start+rise, start+rise+stay, peak),
		curve.Ramp(start+rise+stay, start+rise+stay+fall, shape, 1, 0, peak))
	if rapid.Bool().Draw(t, "moon") {
		day = curve.Sum(day, curve.Hold(minute("moonrise", 1200, 1439), minute("moonset", 0, 300), 0.02))
	}
	return day.Shift(minute("shift", 0, 1439))
}

func anyLimits(t *rapid.T) Limits {
	l := rapid.SampledFrom([]Limits{
		percent(1, 0, false, 60), percent(5, 0, false, 60), volts(t, 0, false),
		{Response: linear(t, 0, 65535), Range: [2]float64{0, 65535}, Step: 1},
		{Response: lowest(t), Range: [2]float64{1, 10}, Step: 0.1},
		{Response: logarithmic(t), Range: [2]float64{0, 254}, Step: 1},
		{Response: square(t), Range: [2]float64{0, 255}, Step: 1},
	}).Draw(t, "port")
	l.MaxPoints = rapid.SampledFrom([]int{1, 2, 4, 5, 8, 12, 16, 24}).Draw(t, "points")
	l.TimeStep = rapid.SampledFrom([]float64{30, 60, 300, 900}).Draw(t, "time step")
	l.Hold = rapid.Bool().Draw(t, "hold")
	return l
}

func TestWhateverIsAskedStaysWithinTheLimits(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want, l := anyDay(t), anyLimits(t)
		r := Lower(want, l)
		require.NotEmpty(t, r.Points)
		assert.LessOrEqual(t, len(r.Points), l.MaxPoints)
		for _, p := range r.Points {
			slot, rung := p.Time/l.TimeStep, (p.Command-l.Range[0])/l.Step
			assert.InDelta(t, math.Round(slot), slot, 1e-9, "on the time step")
			assert.InDelta(t, math.Round(rung), rung, 1e-6, "on the command step")
			assert.True(t, p.Command >= l.Range[0] && p.Command <= l.Range[1])
		}
		tr, err := l.Track(r.Points)
		require.NoError(t, err)
		checkReport(t, want, l, r, tr)
	})
}

// ringDistance is the shorter way round the day between two times.
func ringDistance(s, t float64) float64 {
	d := math.Abs(s - t)
	return min(d, curve.Day-d)
}

// checkReport looks at every ten seconds of the day for itself.
func checkReport(t *rapid.T, want curve.Curve, l Limits, r Result, tr port.Played) {
	plain, away := 0.0, 0.0
	given, asked := 0.0, 0.0
	breaks := want.Breaks()
	darkest := r.BelowCutIn.Darkest
	for s := 5.0; s < curve.Day; s += 10 {
		y, z := tr.At(s), want.At(s)
		given, asked = given+10*y, asked+10*z
		plain = max(plain, math.Abs(y-z))
		near := slices.ContainsFunc(breaks, func(b float64) bool {
			return ringDistance(s, b) <= l.TimeStep && math.Abs(want.At(b)-want.Before(b)) > 1e-9
		})
		if !near && z > darkest {
			away = max(away, math.Abs(y-z))
		}
	}
	assert.LessOrEqual(t, plain, r.Anywhere+1e-9)
	assert.GreaterOrEqual(t, plain, r.Anywhere-0.08, "within what ten seconds of a jump or a slope can hide")
	// a time step in which the lamp is switched at the cut-in may be off by that much more
	assert.LessOrEqual(t, away, r.Greatest+darkest+1e-9)
	assert.InDelta(t, asked, r.DoseAsked, 25)
	assert.InDelta(t, given, r.DoseDelivered, 25)
	if math.Abs(r.DoseDelivered-r.DoseAsked) > 0.005*r.DoseAsked+1e-6 {
		assert.Contains(t, kinds(r), DoseOff)
	}
	assert.False(t, math.IsNaN(r.Greatest) || math.IsNaN(r.DoseDelivered))
}

// What the search holds its points to at its samples is true at all times.
func TestTheSearchDoesNotFoolItself(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want, l := anyDay(t), anyLimits(t).whole()
		rungs := newLadder(l)
		a := newTarget(want, rungs, l)
		g := newGrid(a, rungs, l)
		found := g.best(l.MaxPoints)
		tr, err := l.Track(g.points(found.vertices))
		require.NoError(t, err)
		most, _ := a.departure(tr)
		assert.LessOrEqual(t, most, max(found.departure*(1+10*tight), 1.5*finest))
	})
}

func TestMorePointsAreNeverWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		want, l := anyDay(t), anyLimits(t).whole()
		l.MaxPoints = rapid.IntRange(4, 24).Draw(t, "more points")
		rungs := newLadder(l)
		a := newTarget(want, rungs, l)
		fewer, more := newGrid(a, rungs, l).best(l.MaxPoints), newGrid(a, rungs, l).best(l.MaxPoints+1)
		// rungs are thinned to a twelfth of the departure where there are many
		assert.LessOrEqual(t, more.departure, fewer.departure*1.05+finest)
	})
}

func TestSameAgain(t *testing.T) {
	for _, hold := range []bool{false, true} {
		for _, points := range []int{4, 12} {
			assert.Equal(t, Lower(smoothDay(0.8), volts(t, points, hold)), Lower(smoothDay(0.8), volts(t, points, hold)))
		}
	}
}
