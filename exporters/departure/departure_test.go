package departure

import (
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

const hour = 3600.0

func linear(t require.TestingT) dimmer.Response {
	r, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	return r
}

func played(t require.TestingT, hold bool, r dimmer.Response, points ...port.Point) port.Played {
	p := port.Port{Kind: port.Kind{Hold: hold}, Lamps: []port.Lamp{{Response: r}}}
	lamps, err := p.Play(points, nil)
	require.NoError(t, err)
	return lamps[0]
}

// A straight line over a raised cosine, by hand: y = (1 − cos πu)/2 against u. The
// difference is greatest where sin πu = 2/π, and is there ½ − ½ cos πu − u.
func TestChordOfARaisedCosine(t *testing.T) {
	day := curve.Sum(curve.Ramp(6*hour, 12*hour, curve.Smooth, 0, 1, 1), curve.Hold(12*hour, 18*hour, 1), curve.Ramp(18*hour, 24*hour, curve.Smooth, 1, 0, 1))
	tr := played(t, false, linear(t), port.Point{Time: 6 * hour}, port.Point{Time: 12 * hour, Command: 100}, port.Point{Time: 18 * hour, Command: 100}, port.Point{Time: 24*hour - 1e-3})
	got := Norm{Step: 60}.Greatest(day, tr, 0, curve.Day)
	u := math.Asin(2/math.Pi) / math.Pi
	want := u - (1-math.Cos(math.Pi*u))/2
	assert.InDelta(t, want, got.Low, 1e-6)
	assert.LessOrEqual(t, got.Low, want+1e-7)
	assert.GreaterOrEqual(t, got.High, want)
}

// A lamp at 7.12 % all day where 6.5 % is asked for eight hours and nothing else: what
// is wrong is all of 7.12 %, a minute away from the switching and not only 0.62.
func TestALampLitAllDay(t *testing.T) {
	day := curve.Hold(9*hour, 17*hour, 0.065)
	got := Norm{Step: 60}.Greatest(day, played(t, false, linear(t), port.Point{Command: 7.12}), 0, curve.Day)
	assert.InDelta(t, 0.0712, got.Low, 1e-9)
}

// By hand, a step of six hours: the curve jumps from nothing to 30 % at 9:00 and rises
// to 60 % at 12:00. In that step all from 0 to 60 % would be too generous at 10:00, where
// 40 % and the 0 to 30 % of the jump are right: 44 % is 4 % off, 10 % not at all.
func TestAJumpCountsForItself(t *testing.T) {
	day := curve.Sum(curve.Hold(9*hour, 18*hour, 0.3), curve.Ramp(9*hour, 12*hour, curve.Linear, 0, 1, 0.3), curve.Hold(12*hour, 18*hour, 0.3))
	n := Norm{Step: 6 * hour, Hold: true}
	for _, c := range []struct{ command, want float64 }{{44, 0.04}, {10, 0}, {20, 0}} {
		tr := played(t, true, linear(t), port.Point{Command: c.command})
		at := 10 * hour
		got := n.Greatest(day, tr, at-1e-3, at+1e-3)
		assert.InDelta(t, c.want, got.Low, 1e-6, "%v", c.command)
	}
	// the step ends at 12:00
	assert.InDelta(t, 0.5, n.Greatest(day, played(t, true, linear(t), port.Point{Command: 10}), 0, curve.Day).Low, 1e-6)
}

// A held port can jump on the grid and is given nothing there; a ramp is given the step
// that ends with the jump.
func TestJumpsOnTheGrid(t *testing.T) {
	day := curve.Hold(12*hour, 15*hour, 1)
	late := func(hold bool, s float64) Supremum {
		ps := []port.Point{{Time: 12*hour + s, Command: 100}, {Time: 15*hour + s}}
		if !hold {
			ps = []port.Point{{Time: 12*hour + s - 60}, {Time: 12*hour + s, Command: 100}, {Time: 15*hour + s - 60, Command: 100}, {Time: 15*hour + s}}
		}
		return Norm{Step: 60, Hold: hold}.Greatest(day, played(t, hold, linear(t), ps...), 0, curve.Day)
	}
	for _, hold := range []bool{false, true} {
		assert.Zero(t, late(hold, 0).Low)
		assert.InDelta(t, 1, late(hold, 60).Low, 1e-6)
	}
	j := Norm{Step: 60}.Jumps(curve.Hold(0, 12*hour+30, 1))
	require.Len(t, j, 2)
	assert.Equal(t, [2]float64{curve.Day - 60, 60}, [2]float64{j[0].From, j[0].Length}, "midnight's step is the last of the day")
	assert.Equal(t, [2]float64{12 * hour, 60}, [2]float64{j[1].From, j[1].Length})
}

func anyDay(t *rapid.T) curve.Curve {
	var cs []curve.Curve
	for range rapid.IntRange(1, 3).Draw(t, "parts") {
		at := func(name string) float64 { return 30 * float64(rapid.IntRange(0, 2879).Draw(t, name)) }
		u := rapid.SampledFrom([][2]float64{{0, 1}, {1, 0}, {1, 1}}).Draw(t, "u")
		cs = append(cs, curve.Ramp(at("from"), at("to"), curve.Shape(rapid.IntRange(0, 3).Draw(t, "shape")), u[0], u[1], rapid.Float64Range(0.01, 0.3).Draw(t, "level")))
	}
	return curve.Sum(cs...)
}

func anyTrack(t *rapid.T) (port.Played, bool) {
	off := 12.0
	cut, err := dimmer.FromSpec(dimmer.Spec{Kind: "table", Range: [2]float64{0, 100}, OffBelow: &off, Points: [][2]float64{{12, 0.07}, {50, 0.45}, {100, 1}}})
	require.NoError(t, err)
	square, err := dimmer.Square(0, 100)
	require.NoError(t, err)
	log, err := dimmer.Log(0, 100)
	require.NoError(t, err)
	r := rapid.SampledFrom([]dimmer.Response{linear(t), cut, square, log}).Draw(t, "response")
	n := rapid.IntRange(1, 10).Draw(t, "n")
	at := rapid.SliceOfNDistinct(rapid.IntRange(0, 1439), n, n, rapid.ID).Draw(t, "minutes")
	slices.Sort(at)
	var ps []port.Point
	for _, m := range at {
		ps = append(ps, port.Point{Time: 60 * float64(m), Command: float64(rapid.IntRange(0, 100).Draw(t, "command"))})
	}
	hold := rapid.Bool().Draw(t, "hold")
	return played(t, hold, r, ps...), hold
}

// An account of its own, at every second and at 3000 moments of one minute: it never
// finds more than the bracket's upper side, and the lower side is a departure that is there.
func TestNothingIsGreater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		day := anyDay(t)
		tr, hold := anyTrack(t)
		n := Norm{Step: rapid.SampledFrom([]float64{60, 300, 3600}).Draw(t, "step"), Hold: hold}
		got := n.Greatest(day, tr, 0, curve.Day)
		off := func(s, g, y float64) float64 {
			lo, hi := y, y
			for _, b := range day.Breaks() {
				b = math.Mod(b, curve.Day)
				before, after := day.Before(b), day.At(b)
				end := math.Ceil(b/n.Step) * n.Step
				if b == 0 {
					end = curve.Day
				}
				if math.Abs(before-after) > 1e-9 && !(n.Hold && math.Mod(b, n.Step) == 0) && s > end-n.Step && s < end {
					lo, hi = min(lo, before, after), max(hi, before, after)
				}
			}
			return max(lo-g, g-hi, 0)
		}
		worst := 0.0
		look := func(s float64) {
			if slices.ContainsFunc(day.Breaks(), func(b float64) bool { return math.Abs(b-s) < 1e-3 }) || slices.ContainsFunc(tr.Breaks(), func(b float64) bool { return math.Abs(b-s) < 1e-3 }) {
				return
			}
			worst = max(worst, off(s, tr.At(s), day.At(s)))
		}
		for s := 0.5; s < curve.Day; s += 7 {
			look(s)
		}
		minute := rapid.Float64Range(0, curve.Day-60).Draw(t, "minute")
		for k := range 3000 {
			look(minute + float64(k)/50)
		}
		assert.LessOrEqual(t, worst, got.High)
		assert.GreaterOrEqual(t, got.Low, worst-Width)
		near := 0.0
		for _, s := range []float64{got.At, got.At - 1e-6, got.At + 1e-6} {
			if s > 0 && s < curve.Day {
				near = max(near, off(s, tr.At(s), day.At(s)), off(s, tr.Before(s), day.Before(s)))
			}
		}
		assert.InDelta(t, got.Low, near, 1e-5, "it is there")
		assert.LessOrEqual(t, got.High-got.Low, Width*(1+1e-9))
	})
}

func BenchmarkDayOf24PointsAgainstASmoothDay(b *testing.B) {
	day := curve.Sum(curve.Ramp(8.5*hour, 11*hour, curve.Smooth, 0, 1, 0.8), curve.Hold(11*hour, 17.5*hour, 0.8), curve.Ramp(17.5*hour, 20.5*hour, curve.Smooth, 1, 0, 0.8))
	var ps []port.Point
	for k := range 24 {
		at := 8.5*hour + float64(k)*hour/2
		ps = append(ps, port.Point{Time: at, Command: math.Round(100 * day.At(at))})
	}
	tr := played(b, false, linear(b), ps...)
	for b.Loop() {
		Norm{Step: 60}.Greatest(day, tr, 0, curve.Day)
	}
}
