package curve_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/shape/curve"
)

const hour = 3600.0

// day builds a whole day of one shape: rise, hold, fall, in hours, starting at 6.
func day(s curve.Shape, rise, hold, fall float64) curve.Curve {
	a := 6 * hour
	b := a + rise*hour
	c := b + hold*hour
	d := c + fall*hour
	parts := []curve.Curve{curve.Ramp(a, b, s, 0, 1, 1), curve.Ramp(c, d, s, 1, 0, 1)}
	if hold > 0 {
		parts = append(parts, curve.Hold(b, c, 1))
	}
	return curve.Sum(parts...)
}

// TestPublishedDLI holds doses against a printed conversion table (method of
// Torres and Lopez 2010, Purdue Extension HO-238-W) and against calculus.
func TestPublishedDLI(t *testing.T) {
	f, err := os.Open("../../../testdata/published/dli-examples.csv")
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, rows, 33, "the header and 32 days")
	for _, row := range rows[1:] {
		ppfd, _ := strconv.ParseFloat(row[1], 64)
		hours, _ := strconv.ParseFloat(row[2], 64)
		want, _ := strconv.ParseFloat(row[3], 64)
		var c curve.Curve
		switch shape, _, _ := strings.Cut(row[0], " rise"); shape {
		case "constant":
			c = curve.Hold(0, hours*hour, 1)
			if hours == 24 {
				c = curve.Always(1)
			}
		case "half sine":
			c = day(curve.Solar, hours/2, 0, hours/2)
		case "sine squared":
			c = day(curve.Smooth, hours/2, 0, hours/2)
		case "triangle":
			c = day(curve.Linear, hours/2, 0, hours/2)
		case "trapezoid":
			c = day(curve.Linear, 2, 6, 3)
		case "raised cosine":
			c = day(curve.Smooth, 2.5, 6.5, 3)
		default:
			t.Fatalf("no such shape: %q", row[0])
		}
		assert.InEpsilon(t, want, ppfd*c.Dose()*1e-6, 1e-6, "%v", row)
	}
}

// TestLightness checks `even` against CIE 1976 lightness (CIE 15): equal steps of
// L*, and the usual inverse points L* 10, 20, 50 = 1.126, 2.989, 18.419 % (CIE 15, computed).
func TestLightness(t *testing.T) {
	for _, p := range []struct{ lStar, y float64 }{{8, 8 * 27. / 24389}, {10, 0.01126}, {20, 0.02989}, {50, 0.18419}, {100, 1}} {
		assert.InDelta(t, p.y, curve.Even.At(p.lStar/100), 6e-6, "L* %g", p.lStar)
	}
	lStar := func(y float64) float64 {
		if y > 216./24389 {
			return 116*math.Cbrt(y) - 16
		}
		return y * 24389 / 27
	}
	for i := 0; i <= 1000; i++ {
		u := float64(i) / 1000
		assert.InDelta(t, 100*u, lStar(curve.Even.At(u)), 1e-9)
	}
}

func TestShapeAreas(t *testing.T) {
	for _, x := range []struct {
		s    curve.Shape
		area float64
		why  string
	}{
		{curve.Linear, 0.5, "a triangle"},
		{curve.Smooth, 0.5, "a raised cosine holds half its rectangle"},
		{curve.Solar, 2 / math.Pi, "a quarter of a sine"},
	} {
		assert.InDelta(t, x.area, x.s.Area(1), 1e-15, x.why)
	}
	for s := curve.Linear; s <= curve.Even; s++ {
		const n = 2000 // composite Simpson, an independent integral
		sum := s.At(0) + s.At(1)
		for i := 1; i < n; i++ {
			sum += float64(2+2*(i%2)) * s.At(float64(i)/n)
		}
		assert.InDelta(t, sum/(3*n), s.Area(1), 1e-8, s.String())
		for i := 0; i <= 100; i++ {
			u := float64(i) / 100
			assert.InDelta(t, u, s.Inverse(s.At(u)), 1e-7, s.String())
		}
	}
}

func TestMidnight(t *testing.T) {
	c := curve.Hold(21*hour, 6*hour, 0.015)
	assert.InDelta(t, 9*hour*0.015, c.Dose(), 1e-9)
	assert.Equal(t, 0.015, c.At(0))
	assert.Equal(t, 0.015, c.At(23*hour))
	assert.Zero(t, c.At(6*hour), "half-open: off at 06:00")
	assert.Equal(t, 0.015, c.Before(6*hour))
	r := curve.Ramp(23*hour, 1*hour, curve.Smooth, 0, 1, 1)
	assert.InDelta(t, hour, r.Dose(), 1e-9)
	assert.InDelta(t, 0.5, r.At(0), 1e-12)
}

// anyCurve draws a curve of up to three overlapping ramps and holds.
func anyCurve(t *rapid.T, label string) curve.Curve {
	var cs []curve.Curve
	for range rapid.IntRange(0, 3).Draw(t, label+" parts") {
		from := rapid.IntRange(0, curve.Day-1).Draw(t, "from") // whole seconds, as plans have
		to := rapid.IntRange(0, curve.Day-1).Draw(t, "to")
		s := curve.Shape(rapid.IntRange(0, 3).Draw(t, "shape"))
		u := rapid.SampledFrom([][2]float64{{0, 1}, {1, 0}, {1, 1}}).Draw(t, "u")
		cs = append(cs, curve.Ramp(float64(from), float64(to), s, u[0], u[1], rapid.Float64Range(0, 1).Draw(t, "level")))
	}
	return curve.Sum(cs...)
}

// Splitting a day anywhere keeps its dose, and so does moving it.
func TestDoseIsAdditive(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyCurve(t, "c")
		m := rapid.Float64Range(0, curve.Day).Draw(t, "m")
		assert.InDelta(t, c.Dose(), c.Integral(0, m)+c.Integral(m, curve.Day), 1e-6)
		assert.InDelta(t, c.Dose(), c.Shift(float64(rapid.IntRange(-90000, 90000).Draw(t, "dt"))).Dose(), 1e-4)
		assert.InDelta(t, 0.3*c.Dose(), c.Scale(0.3).Dose(), 1e-6)
	})
}

// The peak of a sum is no less than the sum at any moment and no more than the sum of the peaks.
func TestPeakIsTheMaximum(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := []curve.Curve{anyCurve(t, "a"), anyCurve(t, "b"), anyCurve(t, "c")}
		w := []float64{1, rapid.Float64Range(0, 300).Draw(t, "w1"), rapid.Float64Range(0, 300).Draw(t, "w2")}
		sum := func(s float64) float64 { return w[0]*cs[0].At(s) + w[1]*cs[1].At(s) + w[2]*cs[2].At(s) }
		peak, at := curve.Peak(cs, w)
		bound := 0.0
		for i, c := range cs {
			m, _ := c.Max()
			bound += w[i] * m
		}
		assert.LessOrEqual(t, peak, bound*(1+1e-6))
		for s := 0.0; s < curve.Day; s += 577 {
			assert.LessOrEqual(t, sum(s), peak*(1+1e-6)+1e-12)
		}
		near := math.Max(sum(at), w[0]*cs[0].Before(at)+w[1]*cs[1].Before(at)+w[2]*cs[2].Before(at))
		assert.InDelta(t, peak, near, 1e-6*(1+peak))
	})
}

// Two ramps that cross have their greatest sum between their peaks' times.
func TestPeakOfCrossingRamps(t *testing.T) {
	a := curve.Ramp(10*hour, 14*hour, curve.Solar, 1, 0, 1) // cos of a quarter turn
	b := curve.Ramp(10*hour, 14*hour, curve.Solar, 0, 1, 1) // sin of a quarter turn
	peak, at := curve.Peak([]curve.Curve{a, b}, []float64{3, 4})
	assert.InDelta(t, 5, peak, 1e-6, "3 cos x + 4 sin x reaches 5")
	assert.InDelta(t, 10*hour+4*hour*2/math.Pi*math.Atan2(4, 3), at, 20)
}

func TestTimeAbove(t *testing.T) {
	c := day(curve.Linear, 2, 4, 2)
	for _, x := range []struct{ threshold, hours float64 }{{0.5, 6}, {0.01, 8 - 0.04}, {0, 8}, {1, 0}} {
		assert.InDelta(t, x.hours*hour, curve.TimeAbove([]curve.Curve{c}, []float64{1}, x.threshold), 0.01)
	}
}

// With f straight the integral is the dose, which has a closed form; and nothing is above
// a threshold of zero but the whole.
func TestIntegrateAndAboveAgainstTheDose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		cs := []curve.Curve{anyCurve(t, "a"), anyCurve(t, "b")}
		w := []float64{1, rapid.Float64Range(0, 300).Draw(t, "w")}
		dose := w[0]*cs[0].Dose() + w[1]*cs[1].Dose()
		size := 4 * (3*w[0] + 3*w[1]) // of the sum, and then some
		got := curve.Integrate(cs, w, size/16, func(y float64) float64 { return y / size })
		assert.InDelta(t, dose/size, got, 5e-5)
		seconds, beyond := curve.Above(cs, w, 0)
		assert.InDelta(t, dose, beyond, 1e-6*(1+dose))
		assert.InDelta(t, curve.TimeAbove(cs, w, 0), seconds, 1e-6)
	})
}

func BenchmarkPeakOf8Channels(b *testing.B) {
	cs := make([]curve.Curve, 8)
	w := make([]float64, 8)
	for i := range cs {
		cs[i] = day(curve.Shape(i%4), 1+float64(i)/5, 5, 2)
		w[i] = float64(40 + 10*i)
	}
	for b.Loop() {
		curve.Peak(cs, w)
	}
}

// A rise and a fall that cancel are one light all along, and no search for where it is more.
func TestPeakOfARiseAndAFallThatCancel(t *testing.T) {
	c := curve.Sum(curve.Ramp(6*hour, 18*hour, curve.Linear, 0, 1, 0.7), curve.Ramp(6*hour, 18*hour, curve.Linear, 1, 0, 0.7))
	peak, _ := c.Max()
	assert.InDelta(t, 0.7, peak, 1e-9)
	c = curve.Sum(curve.Ramp(6*hour, 18*hour, curve.Smooth, 0, 1, 0.7), curve.Ramp(6*hour, 18*hour, curve.Smooth, 1, 0, 0.7))
	peak, _ = c.Max()
	assert.InDelta(t, 0.7, peak, 1e-7)
}

// Where one part ends a rounding error from where another begins or ends, no moment has the light of both or of
// neither.
func TestEndsAnInstantApartMeet(t *testing.T) {
	at := 9300.0
	for _, off := range []float64{math.Nextafter(at, 0), math.Nextafter(at, 1e5), at - 4e-7, at + 4e-7} {
		c := curve.Sum(curve.Ramp(3600, at, curve.Linear, 0, 1, 0.4), curve.Hold(off, 19500, 0.4), curve.Hold(7200, off, 0.1))
		assert.Len(t, c.Breaks(), 6, "%v", off)
		bs := c.Breaks()
		b := bs[3]
		assert.InDelta(t, at, b, 1e-6)
		assert.InDelta(t, 0.5, c.Before(b), 1e-9)
		assert.InDelta(t, 0.4, c.At(b), 1e-9)
	}
	assert.Equal(t, []float64{0, curve.Day}, curve.Sum(curve.Hold(0, curve.Day-3e-7, 0.5), curve.Hold(2e-7, curve.Day, 0.2)).Breaks())
}
