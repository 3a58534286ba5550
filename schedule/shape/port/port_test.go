package port

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
)

const hour = 3600.0

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

// one is a port with one lamp.
func one(hold bool, r dimmer.Response) Port {
	lo, hi := r.Range()
	return Port{Kind: Kind{Range: [2]float64{lo, hi}, Hold: hold}, Lamps: []Lamp{{Channel: "a", Response: r}}}
}

func build(t require.TestingT, hold bool, r dimmer.Response, ps ...Point) Played {
	played, err := one(hold, r).Play(ps, nil)
	require.NoError(t, err)
	return played[0]
}

// A trapezium by hand: 2 h up, 4 h at 80 %, 2 h down.
func TestTrapeziumByHand(t *testing.T) {
	tr := build(t, false, linear(t, 0, 100), Point{8 * hour, 0}, Point{10 * hour, 80}, Point{14 * hour, 80}, Point{16 * hour, 0})
	assert.InDelta(t, 0.8*6*hour, tr.Dose(), 1e-9)
	assert.InDelta(t, 0.4, tr.At(9*hour), 1e-12)
	assert.Zero(t, tr.At(3*hour))
	assert.InDelta(t, 0.4*hour/2, tr.Integral(0, 9*hour), 1e-9)
	y, at := tr.Max()
	assert.Equal(t, [2]float64{0.8, 10 * hour}, [2]float64{y, at})
}

// By hand: from 0 V at 8:00 to 10 V at 18:00, a volt an hour; lit from 1.2 V on.
func TestRampThroughTheCutIn(t *testing.T) {
	tr := build(t, false, cutIn(t), Point{0, 0}, Point{8 * hour, 0}, Point{18 * hour, 10}, Point{18*hour + 60, 0})
	on := 9.2 * hour
	assert.Zero(t, tr.At(on-1))
	assert.Zero(t, tr.Before(on))
	assert.InDelta(t, 0.07, tr.At(on), 1e-9)
	assert.InDelta(t, 0.45, tr.At(13*hour), 1e-12)
	// 3.8 h at a mean of 26 %, 5 h at a mean of 72.5 %
	assert.InDelta(t, (3.8*0.26+5*0.725)*hour, tr.Integral(0, 18*hour), 1e-8)
	off := 18*hour + 60*0.88 // 8.8 of 10 V down
	assert.InDelta(t, 0.07, tr.Before(off), 1e-8)
	assert.Zero(t, tr.At(off))
	for _, want := range []float64{0, 8 * hour, on, 13 * hour, 18 * hour, 18*hour + 30, off, 18*hour + 60, Day} {
		assert.True(t, slices.ContainsFunc(tr.Breaks(), func(b float64) bool { return math.Abs(b-want) < 1e-6 }), "a break at %g", want)
	}
	assert.Len(t, tr.Breaks(), 9)
}

func TestOverMidnight(t *testing.T) {
	ps := []Point{{6 * hour, 10}, {18 * hour, 50}}
	ramp := build(t, false, linear(t, 0, 100), ps...)
	assert.InDelta(t, 0.30, ramp.At(0), 1e-12, "half way from 50 to 10")
	assert.InDelta(t, 0.20, ramp.At(3*hour), 1e-12)
	assert.InDelta(t, 0.40, ramp.At(21*hour), 1e-12)
	assert.InDelta(t, 0.30*Day, ramp.Dose(), 1e-9)
	assert.Equal(t, ramp.At(3*hour), ramp.At(27*hour))
	hold := build(t, true, linear(t, 0, 100), ps...)
	assert.Equal(t, 0.5, hold.At(0))
	assert.Equal(t, 0.5, hold.Before(6*hour))
	assert.Equal(t, 0.1, hold.At(6*hour))
	assert.Equal(t, 0.5, hold.Before(0))
	assert.InDelta(t, 0.30*Day, hold.Dose(), 1e-9)
}

func TestASwitch(t *testing.T) {
	tr := build(t, true, linear(t, 0, 1), Point{12 * hour, 1}, Point{15.5 * hour, 0})
	assert.InDelta(t, 3.5*hour, tr.Dose(), 1e-9)
	assert.Equal(t, 1.0, tr.At(12*hour))
	assert.Zero(t, tr.Before(12*hour))
}

func TestOnePoint(t *testing.T) {
	for _, hold := range []bool{false, true} {
		tr := build(t, hold, linear(t, 0, 10), Point{7 * hour, 4})
		assert.InDelta(t, 0.4*Day, tr.Dose(), 1e-9)
		assert.Equal(t, 0.4, tr.At(1))
	}
}

func TestRefusals(t *testing.T) {
	for _, c := range []struct {
		points []Point
		want   string
	}{
		{nil, "at least one"},
		{[]Point{{-1, 0}}, "point 1 is at -1 s"},
		{[]Point{{0, 0}, {Day, 0}}, "point 2 is at 86400 s"},
		{[]Point{{math.NaN(), 0}}, "point 1"},
		{[]Point{{0, math.Inf(1)}}, "must be a number"},
		{[]Point{{0, 1}, {60, 2}, {60, 3}}, "points 2 and 3: 60 s after 60 s"},
	} {
		_, err := one(false, linear(t, 0, 1)).Play(c.points, nil)
		assert.ErrorContains(t, err, c.want)
	}
}

// A half-sine through n equal straight pieces has the dose of the trapezium rule,
// (π/2n) cot(π/2n) of the whole (calculus): 5.2 % short with 4 pieces, 2.3 % with
// 6, 1.3 % with 8, 0.6 % with 12.
func TestHalfSineByEqualPieces(t *testing.T) {
	for n, short := range map[int]float64{4: 0.052, 6: 0.023, 8: 0.013, 12: 0.006} {
		var ps []Point
		for k := range n + 1 {
			x := float64(k) / float64(n)
			ps = append(ps, Point{6*hour + 12*hour*x, 100 * math.Abs(math.Sin(math.Pi*x))})
		}
		tr := build(t, false, linear(t, 0, 100), ps...)
		x := math.Pi / 2 / float64(n)
		assert.InDelta(t, 24*hour/math.Pi*x/math.Tan(x), tr.Dose(), 1e-6)
		assert.InDelta(t, -short, tr.Dose()/(24*hour/math.Pi)-1, 0.0005)
	}
}

func anyPlayed(t *rapid.T) Played {
	r := rapid.SampledFrom([]dimmer.Response{linear(t, 0, 10), cutIn(t), square(t), logarithmic(t)}).Draw(t, "response")
	n := rapid.IntRange(1, 12).Draw(t, "n")
	times := rapid.SliceOfNDistinct(rapid.IntRange(0, 1439), n, n, rapid.ID).Draw(t, "minutes")
	slices.Sort(times)
	var ps []Point
	for _, m := range times {
		ps = append(ps, Point{60 * float64(m), float64(rapid.IntRange(0, 100).Draw(t, "tenths")) / 10})
	}
	return build(t, rapid.Bool().Draw(t, "hold"), r, ps...)
}

func square(t require.TestingT) dimmer.Response {
	r, err := dimmer.Square(0, 10)
	require.NoError(t, err)
	return r
}

func logarithmic(t require.TestingT) dimmer.Response {
	r, err := dimmer.Log(0, 10)
	require.NoError(t, err)
	return r
}

// The closed form against a midpoint sum of Light from break to break.
func TestIntegralIsTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPlayed(t)
		bs := tr.Breaks()
		sum := 0.0
		for i := 1; i < len(bs); i++ {
			const n = 100
			h := (bs[i] - bs[i-1]) / n
			for k := range n {
				sum += h * tr.At(bs[i-1]+(float64(k)+0.5)*h)
			}
		}
		assert.InDelta(t, sum, tr.Dose(), 2e-4*Day)
		cut := rapid.Float64Range(0, Day).Draw(t, "cut")
		assert.InDelta(t, tr.Dose(), tr.Integral(0, cut)+tr.Integral(cut, Day), 1e-7)
	})
}

// Between breaks the light is monotone and continuous: neighbours of a fine
// sampling never differ by more than the move's whole change.
func TestNoJumpAwayFromBreaks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPlayed(t)
		bs := tr.Breaks()
		i := rapid.IntRange(1, len(bs)-1).Draw(t, "between")
		a, b := bs[i-1], bs[i]
		from, to := tr.At(a), tr.Before(b)
		last := from
		for k := 1; k < 50; k++ {
			y := tr.At(a + (b-a)*float64(k)/50)
			assert.GreaterOrEqual(t, (y-last)*(to-from), -1e-12, "monotone")
			assert.LessOrEqual(t, math.Abs(y-last), math.Abs(to-from)*0.2+1e-7, "no jump inside")
			last = y
		}
	})
}

func TestMaxIsTheGreatest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		tr := anyPlayed(t)
		top, at := tr.Max()
		assert.InDelta(t, top, max(tr.At(at), tr.Before(at)), 1e-8)
		assert.LessOrEqual(t, tr.At(rapid.Float64Range(0, Day).Draw(t, "t")), top+1e-12)
	})
}

func BenchmarkLight24PointsTable(b *testing.B) {
	var ps []Point
	for i := range 24 {
		ps = append(ps, Point{float64(i) * hour, float64(i%11) / 2})
	}
	tr := build(b, false, cutIn(b), ps...)
	for i := 0; b.Loop(); i++ {
		tr.At(float64(i%1440) * 60)
	}
}

// Every command on the step is itself on a ramp, the cut-in among them, however
// its decimals fall in binary.
func TestACommandOnTheStepIsItself(t *testing.T) {
	for _, lo := range []float64{0, 0.7} { // from there no tenth is a whole number of steps in binary
		p := one(false, cutIn(t))
		p.Range[0], p.Step = lo, 0.1
		for tenths := int(10 * lo); tenths <= 100; tenths++ {
			command := float64(tenths) / 10
			assert.Equal(t, command, p.level(p.snap(command)))
		}
	}
}

// hysteretic is cutIn with a lamp that, once dark, stays so until 1.5 V.
func hysteretic(t require.TestingT, hold bool) Port {
	p := one(hold, cutIn(t))
	p.Step, p.Lamps[0].OnFrom = 0.1, 1.5
	return p
}

// By hand: up a volt an hour from 0 V at 08:00, so lit from 1.5 V, 09:30; down a volt an
// hour from 18:00, lit down to 1.2 V, 26:48.
func TestLitLaterThanDark(t *testing.T) {
	p := hysteretic(t, false)
	lamps, err := p.Play([]Point{{2 * hour, 0}, {4 * hour, 2}, {10 * hour, 2}, {12 * hour, 0}}, nil)
	require.NoError(t, err)
	tr := lamps[0]
	assert.Zero(t, tr.Before(3.5*hour))
	assert.InDelta(t, 0.1, tr.At(3.5*hour), 1e-9)
	assert.InDelta(t, 0.07, tr.Before(10.8*hour), 1e-9)
	assert.Zero(t, tr.At(10.8*hour))
	// 0.5 h at a mean of 12.5 %, 6 h at 15 %, 0.8 h at 11 %
	assert.InDelta(t, (0.5*0.125+6*0.15+0.8*0.11)*hour, tr.Dose(), 1e-8)
}

// Between the two a lamp stays as it is: over midnight as the day itself leads to, all day
// dark if nothing ever lights it, and dark again after its supply was cut.
func TestAMemoryOfOneBit(t *testing.T) {
	p := hysteretic(t, true)
	light := func(points, outlet []Point) Played {
		lamps, err := p.Play(points, outlet)
		require.NoError(t, err)
		return lamps[0]
	}
	lit := light([]Point{{6 * hour, 0}, {12 * hour, 5}, {18 * hour, 1.3}}, nil)
	assert.InDelta(t, 0.08, lit.At(0), 1e-9, "it went through 5 V in the evening before")
	assert.InDelta(t, 0.08, lit.Before(6*hour), 1e-9)
	assert.Zero(t, light([]Point{{6 * hour, 0}, {12 * hour, 1.3}}, nil).Dose())
	assert.Zero(t, light([]Point{{0, 1.3}}, nil).Dose())
	cut := light([]Point{{6 * hour, 0}, {12 * hour, 5}, {18 * hour, 1.3}}, []Point{{20 * hour, 0}, {21 * hour, 1}})
	assert.InDelta(t, 0.08, cut.At(19*hour), 1e-9)
	assert.Zero(t, cut.At(22*hour), "the supply returned at a command that lights nothing")
	assert.InDelta(t, 0.45, cut.At(13*hour), 1e-9)
}

func TestSeveralLamps(t *testing.T) {
	p := one(false, linear(t, 0, 10))
	p.Lamps = append(p.Lamps, Lamp{Channel: "b", Response: cutIn(t)})
	lamps, err := p.Play([]Point{{0, 1}, {6 * hour, 1}, {7 * hour, 5}, {23 * hour, 5}}, nil)
	require.NoError(t, err)
	require.Len(t, lamps, 2)
	assert.InDelta(t, 0.1, lamps[0].At(hour), 1e-12)
	assert.Zero(t, lamps[1].At(hour))
	assert.InDelta(t, 0.45, lamps[1].At(12*hour), 1e-12)
	assert.Equal(t, "a+b", p.Channels())
	assert.InDelta(t, 0.45, p.Follow(1, 0.5), 1e-12)
	assert.Zero(t, p.Follow(1, 0.1))
}

func TestLeast(t *testing.T) {
	for _, c := range []struct {
		r                  dimmer.Response
		hold               bool
		on                 float64
		least, foot, floor float64
	}{
		{linear(t, 0, 10), false, 0, 0.01, 0, 0},
		{linear(t, 0, 10), true, 0, 0.01, 0.01, 0},
		{cutIn(t), false, 0, 0.07, 0.07, 0},
		{cutIn(t), false, 1.5, 0.1, 0.1, 0},
		{linear(t, -1, 10), false, 0, 1. / 11, 1. / 11, 1. / 11},
	} {
		p := one(c.hold, c.r)
		p.Range, p.Step, p.Lamps[0].OnFrom = [2]float64{0, 10}, 0.1, c.on
		assert.InDelta(t, c.least, p.Least(0), 1e-9)
		assert.InDelta(t, c.foot, p.Foot(0), 1e-9)
		assert.InDelta(t, c.floor, p.Floor(0), 1e-9)
	}
}

// An independent player: the command worked out second by second, and the lamp with it.
func TestPlayAgainstSeconds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := hysteretic(t, rapid.Bool().Draw(t, "hold"))
		draw := func(name string, most int, command func() float64) (ps []Point) {
			n := rapid.IntRange(1, most).Draw(t, name)
			times := rapid.SliceOfNDistinct(rapid.IntRange(0, 1439), n, n, rapid.ID).Draw(t, "minutes")
			slices.Sort(times)
			for _, m := range times {
				ps = append(ps, Point{60 * float64(m), command()})
			}
			return ps
		}
		points := draw("points", 8, func() float64 { return float64(rapid.IntRange(0, 30).Draw(t, "tenths")) / 10 })
		outlet := draw("outlet", 3, func() float64 { return float64(rapid.IntRange(0, 1).Draw(t, "on")) })
		lamps, err := p.Play(points, outlet)
		require.NoError(t, err)
		c, err := p.Course(points)
		require.NoError(t, err)
		supply, err := (Port{Kind: Switched()}).Course(outlet)
		require.NoError(t, err)
		const per = 10 // s
		lit, dose := false, 0.0
		for round := range 2 {
			dose = 0
			for s := 0; s < 86400; s += per {
				mid := float64(s) + per/2
				switch v := c.Command(mid); {
				case supply.Command(mid) == 0:
					lit = false
				case v >= 1.5:
					lit = true
				case v < 1.2:
					lit = false
				}
				if lit && round == 1 {
					dose += per * p.Lamps[0].Response.Fraction(c.Command(mid))
				}
				if end := 2*c.Command(mid) - c.Command(float64(s)); supply.Command(mid) > 0 && max(end, c.Command(float64(s))) >= 1.5-1e-9 {
					lit = true // touched at an end of the ten seconds
				}
			}
		}
		assert.InDelta(t, dose, lamps[0].Dose(), 20*per)
	})
}
