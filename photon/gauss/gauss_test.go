package gauss_test

import (
	"encoding/csv"
	"math"
	"os"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/gonum/mat"
	"pgregory.net/rapid"

	"dayloom/photon/gauss"
)

// table reads a small published table: '#' lines are its source.
func table(t *testing.T, name string, rows int) [][]float64 {
	t.Helper()
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	var out [][]float64
	for _, row := range all[1:] {
		var nums []float64
		for _, s := range row {
			v, err := strconv.ParseFloat(s, 64)
			require.NoError(t, err)
			nums = append(nums, v)
		}
		out = append(out, nums)
	}
	require.Len(t, out, rows)
	return out
}

// covariance fills a symmetric matrix.
func covariance(n int, f func(i, j int) float64) *mat.SymDense {
	s := mat.NewSymDense(n, nil)
	for i := range n {
		for j := i; j < n; j++ {
			s.SetSym(i, j, f(i, j))
		}
	}
	return s
}

// Three points by the formulas of Rasmussen and Williams 2006, eq. 2.25, 2.26, 2.30.
func TestThreePoints(t *testing.T) {
	x, y := []float64{0, 1, 3}, []float64{1, 2, 0.5}
	k := func(a, b float64) float64 { return 4 * math.Exp(-(a-b)*(a-b)/(2*1.5*1.5)) }
	g, err := gauss.Condition(covariance(3, func(i, j int) float64 {
		v := k(x[i], x[j])
		if i == j {
			v += 0.25
		}
		return v
	}), y)
	require.NoError(t, err)
	assert.InDelta(t, -4.96153191, g.LogLikelihood(), 1e-8)
	for _, row := range table(t, "gp-three-points.csv", 5) {
		with := []float64{k(row[0], 0), k(row[0], 1), k(row[0], 3)}
		assert.InDelta(t, row[1], g.Mean(with), 1e-9)
		assert.InDelta(t, row[2], g.Variance(4, with), 1e-9)
	}
	one, err := gauss.Condition(mat.NewSymDense(1, []float64{4.25}), []float64{2})
	require.NoError(t, err)
	assert.InDelta(t, 1.8823529, one.Mean([]float64{4}), 1e-7)
	assert.InDelta(t, 0.2352941, one.Variance(4, []float64{4}), 1e-7)
}

// unknownMean is the prior variance that stands for a mean of which nothing is known.
const unknownMean = 1e6

// kriging conditions values about an unknown mean; the values are taken about their
// own mean first, so that little is lost to rounding.
func kriging(t *testing.T, at [][2]float64, z []float64, c func(r float64) float64) func(x, y float64) (float64, float64) {
	mean := 0.0
	for _, v := range z {
		mean += v / float64(len(z))
	}
	about := make([]float64, len(z))
	for i := range z {
		about[i] = z[i] - mean
	}
	g, err := gauss.Condition(covariance(len(z), func(i, j int) float64 {
		return unknownMean + c(math.Hypot(at[i][0]-at[j][0], at[i][1]-at[j][1]))
	}), about)
	require.NoError(t, err)
	return func(x, y float64) (float64, float64) {
		k := make([]float64, len(z))
		for i := range k {
			k[i] = unknownMean + c(math.Hypot(at[i][0]-x, at[i][1]-y))
		}
		return mean + g.Mean(k), g.Variance(unknownMean+c(0), k)
	}
}

// Isaaks and Srivastava 1989, chapter 12: 592.7 and 8.96 (quoted from memory); the other
// models as computed in the table's file.
func TestKrigingBySevenPoints(t *testing.T) {
	at := [][2]float64{{61, 139}, {63, 140}, {64, 129}, {68, 128}, {71, 140}, {73, 141}, {75, 128}}
	z := []float64{477, 696, 227, 646, 606, 791, 783}
	exponential := func(sill, nugget, a float64) func(float64) float64 {
		return func(r float64) float64 {
			if r == 0 {
				return sill + nugget
			}
			return sill * math.Exp(-3*r/a)
		}
	}
	for _, c := range []struct {
		name           string
		cov            func(float64) float64
		mean, variance float64
	}{
		{"textbook", exponential(10, 0, 10), 592.729, 8.9561},
		{"gaussian", func(r float64) float64 { return 10 * math.Exp(-3*(r/10)*(r/10)) }, 559.370, 4.7806},
		{"nugget", exponential(5, 5, 10), 596.777, 10.3059},
		{"longer", exponential(10, 0, 20), 572.390, 5.7585},
		{"pure nugget", exponential(0, 10, 10), 603.714, 11.4286},
	} {
		mean, variance := kriging(t, at, z, c.cov)(65, 137)
		assert.InDelta(t, c.mean, mean, 2e-3, c.name)
		assert.InDelta(t, c.variance, variance, 2e-4, c.name)
	}
}

// 155 soil samples of a river bank: ln(zinc) by the covariance of the gstat teaching
// example, and its leave-one-out figures.
func TestKrigingOfTheRiverBank(t *testing.T) {
	var at [][2]float64
	var z []float64
	for _, row := range table(t, "kriging-meuse-points.csv", 155) {
		at, z = append(at, [2]float64{row[0], row[1]}), append(z, math.Log(row[2]))
	}
	spherical := func(r float64) float64 {
		const sill, reach, nugget = 0.59060780, 897.0209, 0.05066243
		if r == 0 {
			return sill + nugget
		}
		return sill * math.Max(0, 1-1.5*math.Min(r/reach, 1)+0.5*math.Pow(math.Min(r/reach, 1), 3))
	}
	predict := kriging(t, at, z, spherical)
	for _, row := range table(t, "kriging-meuse-checks.csv", 18) {
		mean, variance := predict(row[0], row[1])
		assert.InDelta(t, row[2], mean, 2e-5)
		assert.InDelta(t, row[3], variance, 2e-5)
	}
	middle := 0.0
	for _, v := range z {
		middle += v / float64(len(z))
	}
	about := make([]float64, len(z))
	for i := range z {
		about[i] = z[i] - middle
	}
	g, err := gauss.Condition(covariance(len(z), func(i, j int) float64 {
		return unknownMean + spherical(math.Hypot(at[i][0]-at[j][0], at[i][1]-at[j][1]))
	}), about)
	require.NoError(t, err)
	var square, standard float64
	for i := range z {
		mean, sd := g.LeaveOneOut(i)
		e := about[i] - mean
		square += e * e / float64(len(z))
		standard += e * e / sd / sd / float64(len(z))
	}
	assert.InDelta(t, 0.39180, math.Sqrt(square), 2e-5)
	assert.InDelta(t, 0.81855, standard, 5e-4)
}

// Leaving one out by the closed form is leaving it out, whatever the numbers.
func TestLeaveOneOutIsLeavingOut(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		n := rapid.IntRange(2, 8).Draw(r, "n")
		x := rapid.SliceOfN(rapid.Float64Range(0, 3), n, n).Draw(r, "x")
		z := rapid.SliceOfN(rapid.Float64Range(-2, 2), n, n).Draw(r, "z")
		noise := rapid.Float64Range(0.05, 1).Draw(r, "noise")
		cov := func(i, j int) float64 {
			k, _ := gauss.Matern32(math.Abs(x[i]-x[j]), 0.7)
			if i == j {
				k += noise
			}
			return k
		}
		all, err := gauss.Condition(covariance(n, cov), z)
		require.NoError(r, err)
		out := rapid.IntRange(0, n-1).Draw(r, "out")
		var keep []int
		var rest, k []float64
		for i := range n {
			if i != out {
				keep, rest, k = append(keep, i), append(rest, z[i]), append(k, cov(i, out))
			}
		}
		g, err := gauss.Condition(covariance(n-1, func(i, j int) float64 { return cov(keep[i], keep[j]) }), rest)
		require.NoError(r, err)
		mean, sd := all.LeaveOneOut(out)
		assert.InDelta(r, g.Mean(k), mean, 1e-9)
		assert.InDelta(r, math.Sqrt(g.Variance(1+noise, k)), sd, 1e-9)
	})
}

// Least squares with known covariance, the coefficients being quantities of very wide
// prior: Longley's data, NIST certified, and their AR(1) variant.
func TestLongley(t *testing.T) {
	rows := table(t, "longley.csv", 16)
	const params = 7
	// Columns are taken about their mean and by their spread: the constant is put back
	// in at the end. Raw, they are nearly dependent to eight digits.
	mean, spread := make([]float64, params), make([]float64, params)
	for c := range params {
		for _, r := range rows {
			mean[c] += r[c] / 16
		}
		for _, r := range rows {
			spread[c] += (r[c] - mean[c]) * (r[c] - mean[c]) / 16
		}
		spread[c] = math.Sqrt(spread[c])
	}
	design := func(i, c int) float64 {
		if c == 0 {
			return 1
		}
		return (rows[i][c] - mean[c]) / spread[c]
	}
	y := make([]float64, 16)
	for i := range y {
		y[i] = (rows[i][0] - mean[0]) / spread[0]
	}
	const wide = 1e5
	solve := func(noise func(i, j int) float64) (out [params]float64) {
		g, err := gauss.Condition(covariance(16, func(i, j int) float64 {
			s := 0.01 * noise(i, j)
			for c := range params {
				s += wide * design(i, c) * design(j, c)
			}
			return s
		}), y)
		require.NoError(t, err)
		for c := range params {
			k := make([]float64, 16)
			for i := range k {
				k[i] = wide * design(i, c)
			}
			out[c] = g.Mean(k) * spread[0]
			if c > 0 {
				out[c] /= spread[c]
			}
		}
		out[0] += mean[0]
		for c := 1; c < params; c++ {
			out[0] -= out[c] * mean[c]
		}
		return out
	}
	plain := func(i, j int) float64 {
		if i == j {
			return 1
		}
		return 0
	}
	for c, want := range []float64{-3482258.63459582, 15.0618722713733, -0.0358191792925910, -2.02022980381683, -1.03322686717359, -0.0511041056535807, 1829.15146461355} {
		assert.InEpsilon(t, want, solve(plain)[c], 2e-4, "NIST, coefficient %d", c)
	}
	const rho = -0.3634294909
	ar := func(i, j int) float64 { return math.Pow(-1, float64((i+j)%2)) * math.Pow(-rho, math.Abs(float64(i-j))) }
	for c, want := range []float64{-3797855.09, -12.7656406, -0.0380013309, -2.18694880, -1.15177652, -0.0680535362, 1993.95302} {
		assert.InEpsilon(t, want, solve(ar)[c], 2e-4, "statsmodels' AR(1) example, coefficient %d", c)
	}
}
