package gauss_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"gonum.org/v1/gonum/mat"

	"dayloom/photon/gauss"
)

// regression is the design of readings of a linear model f(x)'β with nearly no prior
// knowledge of β and unit error; targets are other linear functions of β.
func regression(candidates, targets [][]float64) *gauss.Design {
	const wide = 1e4
	items := slices.Concat(candidates, targets)
	dot := func(a, b []float64) (s float64) {
		for i := range a {
			s += a[i] * b[i]
		}
		return s
	}
	d := &gauss.Design{Candidates: len(candidates), Targets: len(targets), Column: func(c int) []float64 {
		out := make([]float64, len(items))
		for i := range out {
			out[i] = wide * dot(items[c], items[i])
		}
		return out
	}}
	for i := range items {
		d.Variance = append(d.Variance, wide*dot(items[i], items[i]))
		d.Noise = append(d.Noise, 1)
	}
	return d
}

func quadratic(x float64) []float64 { return []float64{1, x, x * x} }

func line(n int, f func(float64) []float64) (out [][]float64) {
	for i := range n {
		out = append(out, f(-1+2*float64(i)/float64(n-1)))
	}
	return out
}

// The optimal designs of a quadratic on [-1, 1]: D thirds at the ends and the middle,
// A and I a quarter, a half, a quarter (Fedorov 1972; Pukelsheim 1993, quoted from
// memory and recomputed), here with twelve readings.
func TestQuadraticDesigns(t *testing.T) {
	candidates := line(21, quadratic)
	unit := [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}
	for _, c := range []struct {
		name    string
		targets [][]float64
		det     bool
		want    [3]int
	}{
		{"D", nil, true, [3]int{4, 4, 4}},
		{"A", unit, false, [3]int{3, 6, 3}},
		{"I", line(201, quadratic), false, [3]int{3, 6, 3}},
	} {
		d := regression(candidates, c.targets)
		d.ByDeterminant = c.det
		var count [21]int
		for _, i := range d.Choose(12, nil) {
			count[i]++
		}
		assert.Equal(t, c.want, [3]int{count[0], count[10], count[20]}, c.name)
	}
}

// The values of those designs with weight 1: A trace 8, I 2.13333 (the same sources).
func TestDesignValues(t *testing.T) {
	candidates := line(21, quadratic)
	d := regression(candidates, [][]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}})
	left := d.Left([]int{0, 10, 10, 20})
	assert.InEpsilon(t, 8.0/4, left[0]+left[1]+left[2], 1e-3)
	n := 2001
	d = regression(candidates, line(n, quadratic))
	mean := 0.0
	for _, v := range d.Left([]int{0, 10, 10, 20}) {
		mean += v / float64(n)
	}
	assert.InEpsilon(t, 2.133333/4, mean, 2e-3)
}

// Box and Draper 1971: six readings of the full quadratic in two factors reach
// det X'X = 267.7372 at best; on a 21 by 21 grid exchanges reach 267.05.
func TestTwoFactorsBySixRuns(t *testing.T) {
	var candidates [][]float64
	for i := range 21 {
		for j := range 21 {
			x, y := float64(i)/10-1, float64(j)/10-1
			candidates = append(candidates, []float64{1, x, y, x * y, x * x, y * y})
		}
	}
	det := func(runs []int) float64 {
		x := mat.NewDense(6, 6, nil)
		for r, c := range runs {
			x.SetRow(r, candidates[c])
		}
		return math.Pow(mat.Det(x), 2)
	}
	d := regression(candidates, nil)
	d.ByDeterminant = true
	best := 0.0
	random := rand.New(rand.NewPCG(1, 2))
	for range 12 {
		start := random.Perm(len(candidates))[:6]
		best = max(best, det(d.Choose(6, start)))
	}
	assert.Greater(t, best, 0.99*267.7372)
	assert.LessOrEqual(t, best, 267.7373)
}

// Weighing designs (Hotelling 1944; Harwit and Sloane 1979): with one constant error a
// reading, the S-matrix of seven leaves each a variance of 4n/(n+1)² = 0.4375 where one
// at a time leaves 1; with an error in proportion it is the other way, 7 to 1.
func TestWeighingDesigns(t *testing.T) {
	rows := []string{"1010101", "0110011", "1100110", "0001111", "1011010", "0111100", "1101001"}
	var together, alone [][]float64
	for i, r := range rows {
		one := make([]float64, 7)
		one[i] = 1
		alone = append(alone, one)
		f := make([]float64, 7)
		for c, b := range r {
			f[c] = float64(b - '0')
		}
		together = append(together, f)
	}
	all := slices.Concat(together, alone)
	for _, c := range []struct {
		name             string
		noise            func(lit float64) float64
		together, single float64
	}{
		{"constant", func(float64) float64 { return 1 }, 0.4375, 1},
		{"in proportion", func(lit float64) float64 { return lit * lit }, 7, 1},
	} {
		d := regression(all, alone)
		for i, f := range all {
			lit := 0.0
			for _, v := range f {
				lit += v
			}
			d.Noise[i] = c.noise(lit)
		}
		for i, v := range d.Left([]int{0, 1, 2, 3, 4, 5, 6}) {
			assert.InEpsilon(t, c.together, v, 2e-3, "%s, channel %d", c.name, i)
		}
		for _, v := range d.Left([]int{7, 8, 9, 10, 11, 12, 13}) {
			assert.InEpsilon(t, c.single, v, 2e-3, c.name)
		}
		for _, i := range d.Choose(7, nil) {
			assert.Equal(t, c.name == "constant", i < 7, "%s: the better of the two is found", c.name)
		}
	}
}
