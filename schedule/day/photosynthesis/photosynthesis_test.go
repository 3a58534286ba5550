package photosynthesis_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/day/photosynthesis"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/keys"
)

const hour = 3600.0

// stated is the bound on production that the package states, s, and rounding.
const stated = 5e-5

func one(t testing.TB, c curve.Curve, ppfd, ek float64) photosynthesis.Day {
	d, err := photosynthesis.Of([]curve.Curve{c}, []float64{ppfd}, ek)
	require.NoError(t, err)
	return d
}

// A rectangle, by hand: T tanh(P/Ek), and (P − Ek) T above.
func TestRectangle(t *testing.T) {
	c := curve.Hold(8*hour, 20*hour, 1)
	d := one(t, c, 400, 250)
	assert.InDelta(t, 12*hour*math.Tanh(1.6), d.ProductionS, stated)
	assert.InDelta(t, 12*hour, d.AboveS, 1e-9)
	assert.InDelta(t, 150*12*hour*1e-6, d.AboveDLI, 1e-12)
	assert.InDelta(t, 0.375, d.AboveShare(), 1e-12)
	d = one(t, c, 250, 250)
	assert.Zero(t, d.AboveS, "at Ek is not above it")
	assert.InDelta(t, 12*hour*math.Tanh(1), d.ProductionS, stated)
}

// A triangle, by hand: ∫ tanh(a u) du from 0 to 1 is ln cosh(a) / a on each side.
func TestTriangle(t *testing.T) {
	c := curve.Sum(curve.Ramp(7*hour, 12*hour, curve.Linear, 0, 1, 1), curve.Ramp(12*hour, 19*hour, curve.Linear, 1, 0, 1))
	for _, a := range []float64{0.2, 1, 3, 20} {
		d := one(t, c, 100*a, 100)
		assert.InDelta(t, 12*hour*math.Log(math.Cosh(a))/a, d.ProductionS, stated, "a %g", a)
		if a > 1 {
			assert.InDelta(t, 12*hour*(1-1/a), d.AboveS, 0.01)
			assert.InDelta(t, (1-1/a)*(1-1/a), d.AboveShare(), 1e-6, "a smaller triangle of the same form")
		}
	}
}

// halfSine is ∫ tanh(a sin x) dx from 0 to π. By hand: tanh z = 8z Σ 1/(c² + 4z²) with
// c = π, 3π, 5π ...; with w = cos x each term is 8a ∫ dw/(s² − 4a²w²) over −1..1, s² =
// c² + 4a², which is (4/s) ln((s+2a)/(s−2a)). What is left after K terms is 4a/(π²K) to
// the order of K⁻³.
func halfSine(a float64) float64 {
	const terms = 20_000
	sum := 4 * a / (math.Pi * math.Pi * terms)
	for k := terms; k >= 1; k-- {
		s := math.Hypot(float64(2*k-1)*math.Pi, 2*a)
		sum += 4 / s * (math.Log1p(2*a/s) - math.Log1p(-2*a/s))
	}
	return sum
}

func TestHalfSine(t *testing.T) {
	assert.InDelta(t, 2*0.01-0.01*0.01*0.01/3*4/3, halfSine(0.01), 1e-10, "2a − 4a³/9 for small a")
	c := curve.Sum(curve.Ramp(6*hour, 12*hour, curve.Solar, 0, 1, 1), curve.Ramp(12*hour, 18*hour, curve.Solar, 1, 0, 1))
	for _, a := range []float64{0.1, 0.8, 1.6, 4, 30} {
		d := one(t, c, 100*a, 100)
		assert.InDelta(t, 12*hour/math.Pi*halfSine(a), d.ProductionS, 2*stated, "a %g", a)
		if a > 1 {
			crossing := math.Asin(1 / a) // of π
			above := 1 - 2*crossing/math.Pi
			assert.InDelta(t, 12*hour*above, d.AboveS, 0.01)
			assert.InDelta(t, math.Cos(crossing)-above*math.Pi/2/a, d.AboveShare(), 1e-6)
		}
	}
}

// Raised cosines and equal steps of lightness have no integral by hand: Simpson's rule in
// steps of a second and less, on either side of the knee of the even shape.
func TestOtherShapes(t *testing.T) {
	for _, shape := range []curve.Shape{curve.Smooth, curve.Even} {
		c := curve.Ramp(6*hour, 9*hour, shape, 0, 1, 1)
		d := one(t, c, 500, 220)
		simpson := func(a, b float64) (sum float64) {
			const n = 20_000
			for i := 0; i <= n; i++ {
				w := float64(2 + 2*(i%2))
				if i == 0 || i == n {
					w = 1
				}
				sum += w * math.Tanh(500*shape.At(a+(b-a)*float64(i)/n)/220)
			}
			return sum * (b - a) / (3 * n)
		}
		assert.InDelta(t, 3*hour*(simpson(0, 0.08)+simpson(0.08, 1)), d.ProductionS, stated, shape.String())
	}
}

// What must hold of any day: no more production than lit time or than DLI/Ek, and the
// light above Ek is what is left of the DLI under it.
func TestBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var cs []curve.Curve
		var full []float64
		for range rapid.IntRange(1, 6).Draw(t, "channels") {
			at := rapid.Float64Range(0, 10).Draw(t, "from")
			rise, hold := rapid.Float64Range(0.1, 4).Draw(t, "rise"), rapid.Float64Range(0.1, 6).Draw(t, "hold")
			shape := curve.Shape(rapid.IntRange(0, 3).Draw(t, "shape"))
			cs = append(cs, curve.Sum(
				curve.Ramp(at*hour, (at+rise)*hour, shape, 0, 1, 1),
				curve.Hold((at+rise)*hour, (at+rise+hold)*hour, 1),
				curve.Ramp((at+rise+hold)*hour, (at+2*rise+hold)*hour, shape, 1, 0, 1)))
			full = append(full, rapid.Float64Range(0, 400).Draw(t, "ppfd"))
		}
		ek := rapid.Float64Range(20, 900).Draw(t, "ek")
		d, err := photosynthesis.Of(cs, full, ek)
		require.NoError(t, err)
		assert.LessOrEqual(t, d.ProductionS, d.DLI*1e6/ek+stated)
		assert.LessOrEqual(t, d.ProductionS, curve.Day)
		assert.GreaterOrEqual(t, d.ProductionS, d.AboveS*math.Tanh(1)-0.01)
		assert.LessOrEqual(t, d.AboveDLI, d.DLI*(1+1e-9))
		assert.GreaterOrEqual(t, d.AboveDLI, -1e-12)
		assert.LessOrEqual(t, d.DLI-d.AboveDLI, ek*curve.Day*1e-6)
	})
}

func TestRefused(t *testing.T) {
	for _, ek := range []float64{0, -1, 4.9, 3001, math.NaN(), math.Inf(1)} {
		_, err := photosynthesis.Of(nil, nil, ek)
		assert.ErrorContains(t, err, "use a value from 5 to 3000")
	}
	d, err := photosynthesis.Of([]curve.Curve{{}}, []float64{300}, 250)
	require.NoError(t, err)
	assert.Zero(t, d)
	assert.Zero(t, d.AboveShare())
}

// table reads a published table, its header first.
func table(t *testing.T, name string) [][]string {
	f, err := os.Open("../../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	return rows
}

// E5 coral time series, Moorea 2020: nine colonies that span the range obey Ik = Am/AQY;
// theirs and the genera's ranges are those that help on the key ek tells.
func TestPublishedEk(t *testing.T) {
	ranges := map[string][2]float64{}
	see := func(name string, v float64) {
		r, ok := ranges[name]
		if !ok {
			r = [2]float64{v, v}
		}
		ranges[name] = [2]float64{min(r[0], v), max(r[1], v)}
	}
	number := func(text string) float64 {
		v, err := strconv.ParseFloat(text, 64)
		require.NoError(t, err)
		return v
	}
	rows := table(t, "coral-pi-colonies.csv")
	require.Len(t, rows, 10)
	for _, row := range rows[1:] {
		am, slope, rd, ik, ic := number(row[1]), number(row[2]), number(row[3]), number(row[4]), number(row[5])
		assert.InEpsilon(t, am/slope, ik, 1e-6, row[0])
		share := rd / am // of the ceiling at which respiration is met
		assert.InEpsilon(t, ik*share/math.Sqrt(1-share*share), ic, 1e-6, row[0])
		see("single colonies", ik)
	}
	rows = table(t, "coral-ek-genera.csv")
	require.Len(t, rows, 19)
	for _, row := range rows[1:] { // when, genus, site, ik
		see(row[1], number(row[3]))
	}
	require.Len(t, ranges, 4)
	k, ok := keys.Find("zones.NAME.ek")
	require.True(t, ok)
	assert.Equal(t, fmt.Sprintf("from %d to %d", photosynthesis.MinEk, photosynthesis.MaxEk), k.Range)
	for name, r := range ranges {
		assert.Contains(t, k.Sentence, fmt.Sprintf("%s %.0f to %.0f", name, r[0], r[1]))
	}
}

// Two days of one DLI, 8.64 mol/m²/d.
func ExampleOf() {
	for _, c := range []struct{ ppfd, hours float64 }{{200, 12}, {600, 4}} {
		day := curve.Hold(10*3600, (10+c.hours)*3600, 1)
		d, err := photosynthesis.Of([]curve.Curve{day}, []float64{c.ppfd}, 200)
		if err != nil {
			fmt.Println(err)
			return
		}
		fmt.Printf("%.0f for %.0f h: DLI %.2f, %.0f %% of it above Ek, production %.1f h\n",
			c.ppfd, c.hours, d.DLI, 100*d.AboveShare(), d.ProductionS/3600)
	}
	// Output:
	// 200 for 12 h: DLI 8.64, 0 % of it above Ek, production 9.1 h
	// 600 for 4 h: DLI 8.64, 67 % of it above Ek, production 4.0 h
}

// A day of eight channels at one coral.
func BenchmarkOf8Channels(b *testing.B) {
	cs, full := make([]curve.Curve, 8), make([]float64, 8)
	for i := range cs {
		at, s := 8+float64(i)/7, curve.Shape(i%4)
		cs[i] = curve.Sum(curve.Ramp(at*hour, (at+2)*hour, s, 0, 1, 1), curve.Hold((at+2)*hour, (at+7)*hour, 1), curve.Ramp((at+7)*hour, (at+9)*hour, s, 1, 0, 1))
		full[i] = float64(30 + 10*i)
	}
	for b.Loop() {
		_, _ = photosynthesis.Of(cs, full, 250)
	}
}
