package lowering

import (
	"flag"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// A third of rapid's hundred draws serves from day to day; -rapid.checks=100 draws them all.
func init() { _ = flag.Set("rapid.checks", "33") }

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

func percent(step float64, points int, hold bool, timeStep float64) Limits {
	r, _ := dimmer.Linear(0, 100)
	return Limits{Response: r, Range: [2]float64{0, 100}, Step: step, MaxPoints: points, Hold: hold, TimeStep: timeStep}
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
	assert.Less(t, r.Greatest, 2e-6)
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
	assert.Equal(t, r.DoseAsked, r.DoseDelivered)
}

// A ramp cannot jump: it takes one time step, which the norm does not count.
func TestSwitchingARampController(t *testing.T) {
	r := Lower(curve.Hold(12*hour, 15.5*hour, 0.8), percent(1, 8, false, 60))
	require.Len(t, r.Points, 4)
	assert.Zero(t, r.Greatest)
	assert.True(t, r.Proven)
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
	assert.Equal(t, 60.0, r.Points[1].Time-r.Points[0].Time)
	assert.Equal(t, 60.0, r.Points[3].Time-r.Points[2].Time)
}

// Moonlight of 4.22 % on a held port of whole percents, by hand: 5 % for 22 % of the nine
// hours and 4 % for the rest is 0.78 % off, and no table with the dose can do with less.
func TestMoonlightBetweenTwoSteps(t *testing.T) {
	r := Lower(curve.Hold(21*hour, 6*hour, 0.0422), percent(1, 4, true, 60))
	require.Len(t, r.Points, 3)
	assert.InDelta(t, 0.0078, r.Greatest, 2e-6)
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
	assert.Contains(t, r.Points, port.Point{Time: 6 * hour})
}

// Moonlight of 1.18 % before the morning and after the evening with an hour of dark at midnight needs eight points on a
// ramp. With four, all dark is as near at every moment as any other, but has no dose: it is kept in one of the two.
func TestDoseIsKeptWhereAllDarkIsAsNear(t *testing.T) {
	r := Lower(curve.Sum(curve.Hold(1*hour, 7*hour, 0.0118), curve.Hold(22*hour, 24*hour, 0.0118)), percent(1, 4, false, 60))
	require.Len(t, r.Points, 4)
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
}

// A driver that is never dark, with an outlet: the port stays at its bottom while the
// outlet is off, and the product follows.
func TestOutletOfALampThatIsNeverDark(t *testing.T) {
	l := Limits{Response: lowest(t), Range: [2]float64{1, 10}, Step: 0.1, MaxPoints: 16, Outlet: true}
	day := curve.Sum(curve.Hold(8.5*hour, 20.5*hour, 0.1), smoothDay(0.7))
	r := Lower(day, l)
	require.Len(t, r.Outlet, 2, "on in the morning, off in the evening")
	assert.Equal(t, [2]float64{1, 0}, [2]float64{r.Outlet[0].Command, r.Outlet[1].Command})
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
	assert.Less(t, r.Greatest, 0.01)
	assert.Empty(t, r.Notes)
	assert.Equal(t, 1.0, r.Points[0].Command)
}

func TestMoreThanThePortCanGive(t *testing.T) {
	r, err := dimmer.Table([]dimmer.Point{{Command: 0, Fraction: 0}, {Command: 10, Fraction: 0.5}})
	require.NoError(t, err)
	got := Lower(smoothDay(0.8), Limits{Response: r, Range: [2]float64{0, 10}, Step: 0.1, MaxPoints: 16})
	assert.Contains(t, kinds(got), AboveFull)
	assert.Contains(t, kinds(got), DoseOff)
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
	for _, x := range []struct {
		points            int
		step, near, bound float64
	}{{17, 60, 0.15, 0.15}, {25, 60, 0.15, 0.15}, {33, 60, 0.15, 0.15}, {17, 300, 0.3, 0.15}} { // five minutes leave less freedom
		l := Limits{Response: linear(t, 0, 65535), Range: [2]float64{0, 65535}, Step: 1, MaxPoints: x.points, TimeStep: x.step}
		r := Lower(day, l)
		limit := 2.39628 * 2.39628 / 16 / float64((x.points-1)*(x.points-1))
		assert.InEpsilon(t, limit, r.Greatest, x.near, "%d points", x.points)
		assert.InEpsilon(t, limit, r.Bound, x.bound, "%d lines", x.points)
	}
}

// A port as it may be, and a day that it can be asked for: nowhere below its least light,
// over midnight or not, with moonlight or without.
func anyPort(t *rapid.T) Limits {
	hysteresis := volts(t, 0, false)
	hysteresis.OnFrom = 1.2 + float64(rapid.IntRange(0, 5).Draw(t, "tenths of hysteresis"))/10
	l := rapid.SampledFrom([]Limits{
		percent(1, 0, false, 60), percent(5, 0, false, 60), volts(t, 0, false), hysteresis,
		{Response: linear(t, 0, 65535), Range: [2]float64{0, 65535}, Step: 1},
		{Response: lowest(t), Range: [2]float64{1, 10}, Step: 0.1},
		{Response: logarithmic(t), Range: [2]float64{0, 254}, Step: 1},
		{Response: square(t), Range: [2]float64{0, 255}, Step: 1},
	}).Draw(t, "port")
	l.MaxPoints = rapid.SampledFrom([]int{4, 5, 6, 8, 12, 24, 96}).Draw(t, "points")
	l.TimeStep = rapid.SampledFrom([]float64{30, 60, 300, 900}).Draw(t, "time step")
	l.Hold = rapid.Bool().Draw(t, "hold")
	return l
}

func anyDay(t *rapid.T, l Limits) curve.Curve {
	p := port.Port{Kind: port.Kind{Range: l.Range, Step: l.Step, Hold: l.Hold}, Lamps: []port.Lamp{l.lamp()}}
	least, floor := p.Foot(0), p.Floor(0)
	at := func(name string, lo, hi int) float64 { return 60 * float64(rapid.IntRange(lo, hi).Draw(t, name)) }
	shape := curve.Shape(rapid.IntRange(0, 3).Draw(t, "shape"))
	peak := max(float64(rapid.IntRange(5, 95).Draw(t, "peak"))/100, least+0.01)
	start, rise := at("start", 300, 600)+0.7, at("rise", 10, 240)
	stay, fall := at("stay", 30, 300), at("fall", 10, 240)
	if floor > 0 {
		least = floor
	}
	day := curve.Sum(curve.Ramp(start, start+rise, shape, 0, 1, peak-least), curve.Hold(start+rise, start+rise+stay, peak-least),
		curve.Ramp(start+rise+stay, start+rise+stay+fall, shape, 1, 0, peak-least))
	if floor > 0 {
		return curve.Sum(day, curve.Always(floor)).Shift(at("shift", 0, 1439))
	}
	day = curve.Sum(day, curve.Hold(start, start+rise+stay+fall, least))
	if rapid.Bool().Draw(t, "moon") {
		day = curve.Sum(day, curve.Hold(at("moonrise", 1200, 1439), at("moonset", 0, 300), max(0.02, least)))
	}
	return day.Shift(at("shift", 0, 1439))
}

// An account of its own of what a port gives, every five seconds: it has the dose that is
// claimed, is nowhere further off than what is claimed, dark where the day is dark, and
// passes between dark and lit in one time step.
func TestWhateverIsAskedIsGivenAsClaimed(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := anyPort(t)
		want := anyDay(t, l)
		r := Lower(want, l)
		require.NotEmpty(t, r.Points)
		assert.LessOrEqual(t, len(r.Points), l.MaxPoints)
		for _, p := range r.Points {
			slot, rung := p.Time/l.TimeStep, (p.Command-l.Range[0])/l.Step
			assert.InDelta(t, math.Round(slot), slot, 1e-9, "on the time step")
			assert.InDelta(t, math.Round(rung), rung, 1e-6, "on the command step")
			assert.True(t, p.Command >= l.Range[0] && p.Command <= l.Range[1])
		}
		player{l, r.Points}.check(t, want, r)
		assert.LessOrEqual(t, r.Bound, r.Greatest+1e-9)
		if math.Abs(r.DoseDelivered-r.DoseAsked) > 0.005*r.DoseAsked+1e-6 {
			assert.Contains(t, kinds(r), DoseOff)
		}
	})
}

// player goes through points by itself.
type player struct {
	Limits
	points []port.Point
}

func (p player) command(t float64) float64 {
	n := len(p.points)
	k := n - 1
	for i, q := range p.points {
		if q.Time <= t {
			k = i
		}
	}
	a, b := p.points[k], p.points[(k+1)%n]
	if p.Hold || n == 1 {
		return a.Command
	}
	from, to := a.Time, b.Time
	if from > t {
		from -= curve.Day
	}
	for to <= from {
		to += curve.Day
	}
	return a.Command + (b.Command-a.Command)*(t-from)/(to-from)
}

func (p player) check(t *rapid.T, want curve.Curve, r Result) {
	off := 0.0
	if o := p.Response.Spec().OffBelow; o != nil {
		off = *o
	}
	on := max(off, p.OnFrom)
	lit := false
	const h = 5.0
	given, worst := 0.0, 0.0
	for s := -curve.Day + h/2; s < curve.Day; s += h {
		c := p.command(wrap(s))
		if c >= on {
			lit = true
		} else if c < off {
			lit = false
		}
		if s < 0 {
			continue
		}
		y := 0.0
		if lit {
			y = p.Response.Fraction(c)
		}
		given += h * y
		lo, hi := p.right(want, s)
		worst = max(worst, lo-y, y-hi)
		if between := c > p.Range[0]+1e-9 && c < on-1e-9; between {
			step := p.TimeStep
			rising := p.command(wrap(s+h)) > c
			if p.MaxPoints <= 6 && rising {
				step = 3600
			}
			stays := true
			for k := 0.0; k <= step+h; k += h {
				if c := p.command(wrap(s + k)); c >= on-1e-9 || c <= p.Range[0]+1e-9 {
					stays = false
				}
			}
			require.False(t, stays, "rests at %g at %g", c, s)
		}
		if p.dark(want, s) {
			require.InDelta(t, p.Range[0], c, 1e-9, "at %g the day is dark", s)
		}
	}
	slope := 2e-3 + 0.011*h // of a switching that falls between two looks
	assert.LessOrEqual(t, worst, r.Greatest+1e-9)
	assert.InDelta(t, given, r.DoseDelivered, slope*h*100)
}

// right is the lights asked at a time, both sides of a jump in its own time step.
func (p player) right(want curve.Curve, s float64) (lo, hi float64) {
	lo = want.At(s)
	hi = lo
	for _, j := range want.Breaks() {
		j = wrap(j)
		a, b := want.Before(j), want.At(j)
		if math.Abs(a-b) < 1e-9 {
			continue
		}
		end := math.Ceil((j-1e-6)/p.TimeStep) * p.TimeStep
		if j < 1e-6 {
			end = curve.Day
		}
		if s > end-p.TimeStep && s < end {
			lo, hi = min(lo, a, b), max(hi, a, b)
		}
	}
	return lo, hi
}

// dark says whether the day is dark for ten minutes and two steps or more around a time,
// which is not in the time step in which it begins or ends.
func (p player) dark(want curve.Curve, s float64) bool {
	length := max(600, 2*p.TimeStep)
	back, onward := 0.0, 0.0
	for ; back <= length && want.At(wrap(s-back)) == 0; back += 5 {
	}
	for ; onward <= length && want.At(wrap(s+onward)) == 0; onward += 5 {
	}
	return back+onward > length+10 && back > p.TimeStep+5 && onward > p.TimeStep+5
}

func TestSameAgain(t *testing.T) {
	for _, hold := range []bool{false, true} {
		for _, points := range []int{4, 12} {
			assert.Equal(t, Lower(smoothDay(0.8), volts(t, points, hold)), Lower(smoothDay(0.8), volts(t, points, hold)))
		}
	}
}
