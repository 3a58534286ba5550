package dimmer

import (
	"encoding/json"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

func must(r Response, err error) Response {
	if err != nil {
		panic(err)
	}
	return r
}

// The standard dimming curve: percentages as tabled for arc power levels in
// IEC 62386-102, from memory, within the rounding given.
func TestLogIsTheStandardDimmingCurve(t *testing.T) {
	r := must(Log(0, 254))
	for _, c := range []struct{ level, percent, rounding float64 }{
		{0, 0, 0}, {1, 0.100, 0.0005}, {85, 0.99, 0.006}, {126, 3.0, 0.05}, {170, 10.1, 0.05},
		{195, 20, 0.1}, {229, 50.5, 0.05}, {254, 100, 0},
	} {
		assert.InDelta(t, c.percent, 100*r.Fraction(c.level), c.rounding, "level %g", c.level)
	}
	for n := 2.0; n <= 254; n++ { // the standard: each step is 2.8 % more than the one before
		assert.InDelta(t, 1.0277, r.Fraction(n)/r.Fraction(n-1), 0.0001)
	}
	assert.Zero(t, r.Fraction(0.99), "dark below level 1")
	c, f := r.Darkest()
	assert.InDelta(t, 1, c, 1e-12)
	assert.InDelta(t, 0.001, f, 1e-12)
	assert.InDelta(t, 0.001, must(Log(0, 10)).Fraction(10.0/254*1.0000001), 1e-8, "laid over 0-10 V")
}

// A port that was measured at three levels (the worked figures are arithmetic).
func port(t testing.TB) Response {
	r, err := Table([]Point{{1.2, 0.07}, {5, 0.45}, {10, 1}})
	require.NoError(t, err)
	r, err = r.WithRange(0, 10)
	require.NoError(t, err)
	r, err = r.WithOffBelow(1.2)
	require.NoError(t, err)
	return r
}

func TestTableByHand(t *testing.T) {
	r := port(t)
	for _, c := range []struct{ command, fraction float64 }{
		{-1, 0}, {0, 0}, {1.1999, 0}, {1.2, 0.07}, {3.1, 0.26}, {5, 0.45}, {7.5, 0.725}, {10, 1}, {12, 1},
	} {
		assert.InDelta(t, c.fraction, r.Fraction(c.command), 1e-15, "at %g", c.command)
	}
	for _, c := range []struct {
		fraction, command float64
		ok                bool
	}{
		{0, 0, true}, {0.03, 1.2, false}, {0.07, 1.2, true}, {0.26, 3.1, true}, {1, 10, true}, {1.1, 10, false}, {-0.1, 0, false},
	} {
		command, ok := r.Command(c.fraction)
		assert.InDelta(t, c.command, command, 1e-12, "for %g", c.fraction)
		assert.Equal(t, c.ok, ok, "for %g", c.fraction)
	}
	c, f := r.Darkest()
	assert.Equal(t, [2]float64{1.2, 0.07}, [2]float64{c, f})
	assert.Equal(t, []float64{1.2, 5}, r.Breaks(10, 0))
	assert.Empty(t, r.Breaks(1.2, 5), "the ends are not between")

	// dark for 1.2 V, then two trapezia: 3.8 (0.07+0.45)/2 + 5 (0.45+1)/2
	assert.InDelta(t, 0.988+3.625, r.Integral(0, 10), 1e-14)
	assert.InDelta(t, -(0.988 + 3.625), r.Integral(10, 0), 1e-14)
	assert.InDelta(t, 0.4613, r.MeanBetween(0, 10), 1e-14)
	assert.InDelta(t, 1, r.MeanBetween(10, 14), 1e-15)

	assert.True(t, r.IsLinearBetween(1.2, 5))
	assert.True(t, r.IsLinearBetween(10, 5))
	assert.True(t, r.IsLinearBetween(0, 1))
	assert.False(t, r.IsLinearBetween(1, 1.2), "the step belongs to the lit side")
	assert.False(t, r.IsLinearBetween(4, 6))
}

func TestTableHoldsItsFirstFraction(t *testing.T) {
	r := must(Table([]Point{{2, 0.1}, {10, 1}}))
	assert.Equal(t, 0.1, r.Fraction(0), "no command is said to be dark")
	c, ok := r.Command(0)
	assert.False(t, ok)
	assert.Equal(t, 2.0, c)
	c, f := must(r.WithOffBelow(1)).Darkest() // the range begins at 2
	assert.Equal(t, [2]float64{2, 0.1}, [2]float64{c, f})
	c, f = must(must(r.WithRange(0, 10)).WithOffBelow(1)).Darkest()
	assert.Equal(t, [2]float64{1, 0.1}, [2]float64{c, f})
}

func TestSmallestCommandOfALevelStretch(t *testing.T) {
	r := must(Table([]Point{{0, 0}, {1, 0}, {2, 0.5}, {4, 0.5}, {8, 1}, {10, 1}}))
	for f, want := range map[float64]float64{0: 0, 0.5: 2, 1: 8} {
		c, ok := r.Command(f)
		assert.True(t, ok)
		assert.InDelta(t, want, c, 1e-12)
	}
	c, f := r.Darkest()
	assert.Equal(t, [2]float64{1, 0}, [2]float64{c, f}, "light begins from nothing")
}

// Integrals by hand: ∫x² = 1/3; ∫10^(3(x-1)) = 0.999/(3 ln 10).
func TestClosedForms(t *testing.T) {
	assert.InDelta(t, 5, must(Linear(0, 10)).Integral(0, 10), 1e-14)
	assert.InDelta(t, 4, must(Linear(2, 10)).MeanBetween(2, 10)*8, 1e-14)
	assert.InDelta(t, 100.0/3, must(Square(0, 100)).Integral(0, 100), 1e-12)
	assert.InDelta(t, 253*0.999/(3*math.Ln10), must(Log(0, 254)).Integral(0, 254), 1e-11)
	r := must(must(Square(0, 100)).WithOffBelow(50))
	assert.InDelta(t, (100-12.5)/3, r.Integral(0, 100), 1e-12)
	c, f := r.Darkest()
	assert.Equal(t, [2]float64{50, 0.25}, [2]float64{c, f})
	short := must(Log(0, 254)).MeanBetween(200, 200+1e-9) // no digits lost in a short move
	assert.InEpsilon(t, must(Log(0, 254)).Fraction(200), short, 3e-11)
}

func TestRefusals(t *testing.T) {
	two := [][2]float64{{0, 0}, {10, 1}}
	at := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		spec Spec
		want string
	}{
		{Spec{Kind: "cubic"}, "linear, square, log or table"},
		{Spec{Kind: "linear", Range: [2]float64{10, 0}}, "must be higher"},
		{Spec{Kind: "log", Range: [2]float64{1e9 - 1e-7, 1e9}}, "too narrow"},
		{Spec{Kind: "linear", Range: [2]float64{0, math.Inf(1)}}, "between -1e9 and 1e9"},
		{Spec{Kind: "square", Range: [2]float64{math.NaN(), 1}}, "between -1e9 and 1e9"},
		{Spec{Kind: "square", Range: [2]float64{0, 1}, Points: two}, "no points"},
		{Spec{Kind: "table"}, "at least two"},
		{Spec{Kind: "table", Points: two[:1]}, "at least two"},
		{Spec{Kind: "table", Points: [][2]float64{{0, 0}, {5, 0.6}, {7, 0.5}, {10, 1}}}, "points 2 and 3: the light falls from 0.6 to 0.5"},
		{Spec{Kind: "table", Points: [][2]float64{{0, 0}, {5, 0.5}, {5, 0.6}}}, "points 2 and 3: command 5 after 5"},
		{Spec{Kind: "table", Points: [][2]float64{{0, 0}, {5, 1.5}}}, "point 2: level 1.5"},
		{Spec{Kind: "table", Points: [][2]float64{{0, math.NaN()}, {5, 1}}}, "point 1: level NaN"},
		{Spec{Kind: "table", Points: [][2]float64{{0, 0}, {5, 0}}}, "dark at every command"},
		{Spec{Kind: "table", Points: two, Range: [2]float64{1, 10}}, "take in all points"},
		{Spec{Kind: "table", Points: two, OffBelow: at(11)}, "never be lit"},
		{Spec{Kind: "table", Points: two, OffBelow: at(math.NaN())}, "off below"},
	} {
		_, err := FromSpec(c.spec)
		assert.ErrorContains(t, err, c.want)
	}
}

func TestZeroValueIsDark(t *testing.T) {
	var r Response
	assert.Zero(t, r.Fraction(5))
	assert.Zero(t, r.Integral(0, 5))
	_, ok := r.Command(0.5)
	assert.False(t, ok)
}

func TestSpecOutOfReach(t *testing.T) {
	r := port(t)
	s := r.Spec()
	s.Points[0][1], *s.OffBelow = 1, 9
	assert.Equal(t, 0.07, r.Fraction(1.2), "a description is a copy")
}

// anyResponse draws a response of any kind over any range.
func anyResponse(t *rapid.T) Response {
	s := Spec{Kind: rapid.SampledFrom([]string{"linear", "square", "log", "table"}).Draw(t, "kind")}
	lo := rapid.Float64Range(-100, 100).Draw(t, "lo")
	hi := lo + rapid.Float64Range(0.5, 300).Draw(t, "span")
	s.Range = [2]float64{lo, hi}
	if s.Kind == "table" {
		n := rapid.IntRange(2, 8).Draw(t, "n")
		c, f := lo, 0.0
		for i := range n {
			s.Points = append(s.Points, [2]float64{c, math.Min(f, 1)})
			c += (hi - lo) / float64(n) * rapid.Float64Range(0.01, 1).Draw(t, "dc")
			f += rapid.SampledFrom([]float64{0, 0.05, 0.2, 0.5}).Draw(t, "df")
			if i == n-2 {
				f = math.Max(f, 0.3)
			}
		}
	}
	if rapid.Bool().Draw(t, "has off") {
		off := rapid.Float64Range(lo-10, (lo+hi)/2).Draw(t, "off")
		s.OffBelow = &off
	}
	r, err := FromSpec(s)
	require.NoError(t, err)
	return r
}

func command(r Response, t *rapid.T, label string) float64 {
	lo, hi := r.Range()
	return rapid.Float64Range(lo-20, hi+20).Draw(t, label)
}

func TestInverseOfEveryResponse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResponse(t)
		lo, hi := r.Range()
		c := rapid.Float64Range(lo, hi).Draw(t, "c")
		f := r.Fraction(c)
		back, ok := r.Command(f)
		require.True(t, ok, "the fraction %g was given at %g", f, c)
		assert.InDelta(t, f, r.Fraction(back), 1e-11)
		assert.LessOrEqual(t, back, c+1e-9*(1+math.Abs(c)), "the smallest command")
	})
}

func TestMoreCommandNeverLessLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResponse(t)
		a, b := command(r, t, "a"), command(r, t, "b")
		assert.LessOrEqual(t, r.Fraction(min(a, b)), r.Fraction(max(a, b))+1e-15)
		assert.GreaterOrEqual(t, r.Fraction(a), 0.0)
		assert.LessOrEqual(t, r.Fraction(a), 1.0)
	})
}

// The closed forms against a midpoint sum taken from kink to kink.
func TestIntegralIsTheSum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResponse(t)
		a, b := command(r, t, "a"), command(r, t, "b")
		ends := append(append([]float64{min(a, b)}, r.Breaks(a, b)...), max(a, b))
		var sum float64
		const n = 400
		for i := 1; i < len(ends); i++ {
			h := (ends[i] - ends[i-1]) / n
			for k := range n {
				sum += h * r.Fraction(ends[i-1]+(float64(k)+0.5)*h)
			}
		}
		if b < a {
			sum = -sum
		}
		assert.InDelta(t, sum, r.Integral(a, b), 2e-5*(math.Abs(b-a)+1))
	})
}

func TestSplittingAMoveKeepsTheIntegral(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResponse(t)
		a, b, c := command(r, t, "a"), command(r, t, "b"), command(r, t, "c")
		assert.InDelta(t, r.Integral(a, c), r.Integral(a, b)+r.Integral(b, c), 1e-9)
		mean := r.MeanBetween(a, c)
		assert.GreaterOrEqual(t, mean, r.Fraction(min(a, c))-1e-12)
		assert.LessOrEqual(t, mean, r.Fraction(max(a, c))+1e-12)
	})
}

func TestLinearMeansLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResponse(t)
		a, b := command(r, t, "a"), command(r, t, "b")
		s := rapid.Float64Range(0, 1).Draw(t, "s")
		if r.IsLinearBetween(a, b) {
			assert.InDelta(t, (1-s)*r.Fraction(a)+s*r.Fraction(b), r.Fraction((1-s)*a+s*b), 1e-9)
			assert.Empty(t, r.Breaks(a, b))
		}
	})
}

func TestWrittenAndReadAgain(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		r := anyResponse(t)
		text, err := json.Marshal(r.Spec())
		require.NoError(t, err)
		var s Spec
		require.NoError(t, json.Unmarshal(text, &s))
		again, err := FromSpec(s)
		require.NoError(t, err)
		assert.Equal(t, r, again)
	})
}

func BenchmarkFractionTable3Points(b *testing.B) {
	r := port(b)
	for b.Loop() {
		r.Fraction(7.3)
	}
}

func BenchmarkCommandTable3Points(b *testing.B) {
	r := port(b)
	for b.Loop() {
		r.Command(0.6)
	}
}

func BenchmarkMeanBetweenLog(b *testing.B) {
	r := must(Log(0, 254))
	for b.Loop() {
		r.MeanBetween(0, 200)
	}
}

// More than a lamp gives is answered by the smallest command of the most that it gives,
// also where a lamp is at its most long before the end of the range.
func TestCommandForTooMuch(t *testing.T) {
	r := must(Table([]Point{{Command: 0, Fraction: 0}, {Command: 5, Fraction: 0.5}, {Command: 10, Fraction: 0.5}}))
	c, ok := r.Command(0.8)
	assert.False(t, ok)
	assert.InDelta(t, 5, c, 1e-12)
	c, ok = must(Table([]Point{{Command: 1, Fraction: 0.1}, {Command: 10, Fraction: 0.6}})).Command(0.8)
	assert.False(t, ok)
	assert.InDelta(t, 10, c, 1e-12)
}
