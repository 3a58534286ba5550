package ray_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"dayloom/photon/ray"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// published reads a table of testdata/published as numbers, columns by name;
// an empty field is NaN.
func published(t *testing.T, name string) []map[string]float64 {
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	var out []map[string]float64
	for _, row := range rows[1:] {
		m := map[string]float64{}
		for i, field := range row {
			m[rows[0][i]] = math.NaN()
			if field != "" {
				m[rows[0][i]], err = strconv.ParseFloat(field, 64)
				require.NoError(t, err)
			}
		}
		out = append(out, m)
	}
	return out
}

const sea = 1.34

// Source: testdata/published/refracted-point-source.csv, from Snell, Fresnel
// and energy in a ray tube, to 1e-6.
func TestRefractedPointSource(t *testing.T) {
	rows := published(t, "refracted-point-source.csv")
	require.Len(t, rows, 15)
	for _, row := range rows {
		p := ray.To(row["h"], row["d"], row["x"], sea)
		intensity := 100 * (row["m"] + 1) / (2 * math.Pi) * math.Pow(p.CosAir, row["m"])
		ppfd := intensity * p.Spread * ray.Transmittance(sea, p.CosAir) * math.Exp(-row["a"]*p.Length)
		require.InEpsilon(t, row["ppfd"], ppfd, 1e-6)
		require.InDelta(t, row["ta_deg"], math.Acos(p.CosAir)*180/math.Pi, 1e-5)
		require.InDelta(t, row["tw_deg"], math.Acos(p.CosWater)*180/math.Pi, 1e-5)
	}
}

// Source: testdata/published/fresnel-water-surface.csv, to 1e-6.
func TestFresnel(t *testing.T) {
	rows := published(t, "fresnel-water-surface.csv")
	require.GreaterOrEqual(t, len(rows), 18)
	for _, row := range rows {
		cos := math.Cos(row["angle_deg"] * math.Pi / 180)
		require.InDelta(t, row["T_air_to_water_1.34"], ray.Transmittance(1.34, cos), 1e-6)
		require.InDelta(t, row["R_water_to_air_1.34"], ray.InnerReflectance(1.34, cos), 1e-6)
		require.InDelta(t, row["T_air_to_water_1.333"], ray.Transmittance(1.333, cos), 1e-6)
	}
	require.Equal(t, 1.0, ray.Transmittance(1, 0.5), "equal indices reflect nothing")
	require.Zero(t, ray.InnerReflectance(1, 0.5))
	require.Zero(t, ray.Transmittance(sea, 0), "grazing light is all thrown back")
}

// Source: the apparent depth d/n of optics texts, and the inverse-square and
// cosine laws.
func TestClosedForms(t *testing.T) {
	require.InEpsilon(t, 1/math.Pow(0.3+0.2/sea, 2), ray.To(0.3, 0.2, 0, sea).Spread, 1e-15)
	for _, r := range []float64{0, 1e-9, 0.1, 0.3, 5, 1e4} {
		air := ray.To(0.3, 0, r, sea)
		dry := ray.To(0.1, 0.2, r, 1)
		for _, p := range []ray.Path{air, dry} {
			cos := 0.3 / math.Hypot(0.3, r)
			require.InEpsilon(t, cos, p.CosAir, 1e-12)
			require.InEpsilon(t, cos*cos*cos/0.09, p.Spread, 1e-12)
		}
	}
}

// The ray found must obey the equation of geometry and Snell's law, worked
// out here from the angles.
func TestRayReachesThePlace(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := math.Pow(10, rapid.Float64Range(-4, 1).Draw(t, "log h"))
		d := rapid.Float64Range(0, 2).Draw(t, "d")
		r := math.Pow(10, rapid.Float64Range(-6, 2).Draw(t, "log r"))
		n := rapid.Float64Range(1, 1.6).Draw(t, "n")
		p := ray.To(h, d, r, n)
		sin := p.SinPerR * r
		require.InDelta(t, 1, sin*sin+p.CosAir*p.CosAir, 1e-12)
		tanAir, tanWater := sin/p.CosAir, sin/n/p.CosWater
		require.InEpsilon(t, r, h*tanAir+d*tanWater, 1e-10)
		require.InDelta(t, 1, sin*sin/(n*n)+p.CosWater*p.CosWater, 1e-12)
		require.InDelta(t, h*tanAir/r, p.AirShare, 1e-10)
		require.LessOrEqual(t, p.AirShare, 1.0)
		require.GreaterOrEqual(t, tanWater*(1+1e-12), ray.WaterTangent(h, 0.999*h*tanAir, n))
		if r < 5 { // the spread is the derivative that the equation names
			up, low := angle(ray.To(h, d, r*(1+1e-5), n)), angle(ray.To(h, d, r*(1-1e-5), n))
			if sin > 1e-2 && p.CosAir > 1e-2 {
				require.InEpsilon(t, sin*(up-low)/(2e-5*r*r), p.Spread, 1e-4)
			}
		}
	})
}

func angle(p ray.Path) float64 { return math.Acos(p.CosAir) }

// What no ray reaches gets no light and no NaN.
func TestGrazing(t *testing.T) {
	for _, p := range []ray.Path{
		ray.To(0.3, 0.2, math.Inf(1), sea),
		ray.To(0.3, 0.2, 1e200, sea),
		ray.To(0, 0.2, 0.3, sea), // outside the cone of a lamp on the surface
		ray.To(0, 0.2, 0.3, 1.0000001),
		ray.To(0.3, 0, math.Inf(1), 1),
		ray.To(0.3, 0.2, math.Inf(1), 1),
	} {
		for _, x := range []float64{p.CosAir, p.CosWater, p.SinPerR, p.AirShare, p.Spread, p.Length} {
			require.False(t, math.IsNaN(x) || math.IsInf(x, 0), "%+v", p)
		}
	}
	require.Zero(t, ray.To(0, 0.2, 0.3, sea).Spread)
	require.InEpsilon(t, 0.2/math.Sqrt(1-1/(sea*sea)), ray.To(0.3, 0.2, math.Inf(1), sea).Length, 1e-12, "along the critical angle")
	require.Greater(t, ray.To(0, 0.2, 0.1, sea).Spread, 0.0, "inside the cone there is light")
	require.InEpsilon(t, ray.To(0, 0.2, 0.1, sea).Spread, ray.To(1e-9, 0.2, 0.1, sea).Spread, 1e-6)
}

// A Lambertian lamp over endless clear water: the plane at any depth receives
// what the surface lets in, one less the uniform-sky reflectance. Source:
// 0.0675106 for n = 1.34, header of fresnel-water-surface.csv.
func TestPlaneReceivesWhatEnters(t *testing.T) {
	for _, d := range []float64{0, 0.05, 0.4, 3} {
		const steps = 20000
		var sum float64
		for i := range steps { // rings of equal steps in θa, r from each
			ta := (float64(i) + 0.5) / steps * math.Pi / 2
			tw := math.Asin(math.Sin(ta) / sea)
			r := 0.3*math.Tan(ta) + d*math.Tan(tw)
			slope := 0.3/math.Pow(math.Cos(ta), 2) + d/math.Pow(math.Cos(tw), 3)*math.Cos(ta)/sea
			p := ray.To(0.3, d, r, sea)
			sum += p.CosAir / math.Pi * p.Spread * ray.Transmittance(sea, p.CosAir) * 2 * math.Pi * r * slope * math.Pi / 2 / steps
		}
		require.InDelta(t, 1-0.0675106, sum, 1e-5)
	}
}

// One op is one ray, lamp 30 cm over a place 20 cm deep, up to 2.5 m aside.
func BenchmarkRay30cmOver20cmUpTo2500mm(b *testing.B) {
	var sum float64
	i := 0
	for b.Loop() {
		sum += ray.To(0.3, 0.2, float64(i%250)*0.01, sea).Spread
		i++
	}
	require.Greater(b, sum, 0.0)
}

// The share in air rises as its difference quotient says.
func TestAirRise(t *testing.T) {
	for _, r := range []float64{0.05, 0.3, 1.2} {
		const e = 1e-5
		want := (ray.To(0.3, 0.2, r+e, 1.34).AirShare - ray.To(0.3, 0.2, r-e, 1.34).AirShare) / (2 * e) / r
		require.InEpsilon(t, want, ray.To(0.3, 0.2, r, 1.34).AirRise, 1e-5)
	}
}
