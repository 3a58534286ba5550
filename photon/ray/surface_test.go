package ray_test

import (
	"math"
	"testing"

	"dayloom/photon/ray"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// At normal incidence ((n−1)/(n+1))², and total reflection beyond asin(1/n): any
// optics text.
func TestNormalAndCritical(t *testing.T) {
	normal := math.Pow((sea-1)/(sea+1), 2)
	assert.InDelta(t, normal, 1-ray.Transmittance(sea, 1), 1e-15)
	assert.InDelta(t, normal, ray.InnerReflectance(sea, 1), 1e-15)
	critical := math.Asin(1 / sea)
	assert.InDelta(t, 48.268, critical*180/math.Pi, 0.0005)
	assert.Equal(t, 1.0, ray.InnerReflectance(sea, math.Cos(critical+1e-6)))
	assert.Less(t, ray.InnerReflectance(sea, math.Cos(critical-1e-3)), 1.0)
}

// A uniform sky on flat water loses 6.75 % at n = 1.34 and 6.6 % at 1.33
// (Preisendorfer 1976, Jerlov 1976; memory); from below, 48 % of diffuse light
// comes back (Austin 1974; memory; 0.480681 computed elsewhere).
func TestDiffuseReflectance(t *testing.T) {
	diffuse := func(r func(cos float64) float64) (sum float64) {
		const n = 20_000
		for i := range n {
			mu := (float64(i) + 0.5) / n
			sum += 2 * mu * r(mu) / n
		}
		return sum
	}
	sky := func(n float64) float64 {
		return diffuse(func(mu float64) float64 { return 1 - ray.Transmittance(n, mu) })
	}
	assert.InDelta(t, 0.0675106, sky(1.34), 1e-5)
	assert.InDelta(t, 0.066, sky(1.33), 5e-4)
	assert.InDelta(t, 0.480681, diffuse(func(mu float64) float64 { return ray.InnerReflectance(1.34, mu) }), 1e-5)
}

// What leaves along a ray is what enters along the same ray (reciprocity).
func TestSurfaceIsReciprocal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.Float64Range(1.3, 1.4).Draw(t, "n")
		air := rapid.Float64Range(0, math.Pi/2-1e-6).Draw(t, "angle in air")
		inWater := math.Asin(math.Sin(air) / n)
		assert.InDelta(t, 1-ray.Transmittance(n, math.Cos(air)), ray.InnerReflectance(n, math.Cos(inWater)), 1e-6)
	})
}
