package curve_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dayloom/schedule/shape/curve"
)

// Sixty curves of three shapes at many levels are the three with their weights added up.
func TestManyCurvesAreTheFewThatTheyShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		few := []curve.Curve{anyCurve(t, "a"), anyCurve(t, "b"), anyCurve(t, "c")}
		sums := make([]float64, len(few))
		var many []curve.Curve
		var weights []float64
		for i := range 60 {
			level, w := 0.1+float64(i%7)/10, rapid.Float64Range(0, 10).Draw(t, "weight")
			many, weights = append(many, few[i%3].Scale(level)), append(weights, w)
			sums[i%3] += level * w
		}
		want, _ := curve.Peak(few, sums)
		got, _ := curve.Peak(many, weights)
		assert.InDelta(t, want, got, 1e-6*want+1e-12)
		assert.InDelta(t, curve.TimeAbove(few, sums, want/2), curve.TimeAbove(many, weights, want/2), 0.05)
	})
}
