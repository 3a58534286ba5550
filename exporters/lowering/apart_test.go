package lowering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// moonDose is what points give of 21:00 to 01:00, by the sum of a straight response over every second:
// s of full light.
func moonDose(points []port.Point, hold bool) (sum float64) {
	at := func(t float64) float64 {
		t = math.Mod(t, curve.Day)
		k := len(points) - 1
		for i, p := range points {
			if p.Time <= t {
				k = i
			}
		}
		p, q := points[k], points[(k+1)%len(points)]
		if hold {
			return p.Command / 10
		}
		long := math.Mod(q.Time-p.Time+curve.Day, curve.Day)
		return (p.Command + (q.Command-p.Command)*math.Mod(t-p.Time+curve.Day, curve.Day)/long) / 10
	}
	for s := 0.5; s < 4*hour; s++ {
		sum += at(21*hour + s)
	}
	return sum
}

// Moonlight of 1.357 % beside a day of 25.5 %, on steps of 1 % and ten points: three hours of it are 146.6 s of full
// light. Lower spends its points on the ramps and is off by more than the 10 % that verify allows; Apart is not.
func TestMoonlightOnCoarseSteps(t *testing.T) {
	night := curve.Sum(curve.Hold(21.5*hour, 24*hour, 0.01357), curve.Hold(0, 0.5*hour, 0.01357))
	want := curve.Sum(smoothDay(0.2555), night)
	l := Limits{Response: linear(t, 0, 10), Range: [2]float64{0, 10}, Step: 0.1, MaxPoints: 10}
	asked := 0.01357 * 3 * hour

	before := Lower(want, l)
	require.Greater(t, math.Abs(moonDose(before.Points, false)/asked-1), 0.10)
	r := Apart(want, l, Lower)
	assert.InDelta(t, 1, moonDose(r.Points, false)/asked, 0.09)
	assert.LessOrEqual(t, len(r.Points), 10)
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 0.005)
	assert.Less(t, r.Greatest, 1.5*before.Greatest)
	assert.False(t, r.Proven)
	assert.GreaterOrEqual(t, r.Greatest, r.Bound)
}

// Whatever the moonlight, points and steps, no stretch of the day is further off than with Lower, the dose of the day is no
// worse, and there are no more points than may be.
func TestApartIsNoWorse(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		level := rapid.Float64Range(0.005, 0.1).Draw(t, "moonlight")
		from := rapid.IntRange(20, 23).Draw(t, "from")
		night := curve.Sum(curve.Hold(float64(from)*hour+1800, 24*hour, level), curve.Hold(0, 2*hour, level))
		want := curve.Sum(smoothDay(rapid.Float64Range(0.1, 1).Draw(t, "peak")), night)
		l := Limits{Response: linear(t, 0, 10), Range: [2]float64{0, 10}, Step: rapid.SampledFrom([]float64{0.2, 0.5}).Draw(t, "step"),
			MaxPoints: rapid.IntRange(6, 9).Draw(t, "points"), Hold: rapid.Bool().Draw(t, "hold"), TimeStep: 900}.whole()
		before, r := Lower(want, l), Apart(want, l, Lower)
		a := newTarget(want, newLadder(l), l)
		_, was := a.furthest(before, l, a.cuts())
		_, now := a.furthest(r, l, a.cuts())
		assert.LessOrEqual(t, now, was+1e-9)
		assert.LessOrEqual(t, len(r.Points), l.MaxPoints)
		assert.LessOrEqual(t, math.Abs(r.DoseDelivered-r.DoseAsked), max(0.005*r.DoseAsked, math.Abs(before.DoseDelivered-before.DoseAsked))+1e-9)
	})
}
