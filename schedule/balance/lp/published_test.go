package lp_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

var inf = math.Inf(1)

func atMost(hi float64, coef ...float64) lp.Row  { return lp.Row{Coef: coef, Lo: -inf, Hi: hi} }
func atLeast(lo float64, coef ...float64) lp.Row { return lp.Row{Coef: coef, Lo: lo, Hi: inf} }
func equal(v float64, coef ...float64) lp.Row    { return lp.Row{Coef: coef, Lo: v, Hi: v} }

type published struct {
	name  string
	p     lp.Problem
	value float64
	x     []float64 // nil where the optimum is not unique or not printed
	dual  []float64 // nil where not printed
}

// publishedProblems are textbook problems with the optima their books print. All figures are quoted from
// memory of the books; every one is also confirmed by the certificate.
func publishedProblems() []published {
	return []published{
		{
			name: "Hillier & Lieberman, Introduction to Operations Research, 3.1, Wyndor Glass; shadow prices 4.7",
			p: lp.Problem{Maximize: true, Cost: []float64{3, 5}, Rows: []lp.Row{
				atMost(4, 1, 0), atMost(12, 0, 2), atMost(18, 3, 2)}},
			value: 36, x: []float64{2, 6}, dual: []float64{0, 1.5, 1},
		},
		{
			name: "Hillier & Lieberman, 3.4, radiation therapy",
			p: lp.Problem{Cost: []float64{0.4, 0.5}, Rows: []lp.Row{
				atMost(2.7, 0.3, 0.1), equal(6, 0.5, 0.5), atLeast(6, 0.6, 0.4)}},
			value: 5.25, x: []float64{7.5, 4.5},
		},
		{
			name: "Chvátal, Linear Programming, ch. 2, first example",
			p: lp.Problem{Maximize: true, Cost: []float64{5, 4, 3}, Rows: []lp.Row{
				atMost(5, 2, 3, 1), atMost(11, 4, 1, 2), atMost(8, 3, 4, 2)}},
			value: 13, x: []float64{2, 0, 1}, dual: []float64{1, 0, 1},
		},
		{
			name: "Chvátal, ch. 1, Polly's diet",
			p: lp.Problem{Cost: []float64{3, 24, 13, 9, 20, 19}, Upper: []float64{4, 3, 2, 8, 2, 2}, Rows: []lp.Row{
				atLeast(2000, 110, 205, 160, 160, 420, 260), atLeast(55, 4, 32, 13, 8, 4, 14), atLeast(800, 2, 12, 54, 285, 22, 80)}},
			value: 92.5, x: []float64{4, 0, 0, 4.5, 2, 0},
		},
		{
			name: "Dantzig, Linear Programming and Extensions, 3.3, canneries and warehouses (distances in thousand miles, 90 $ each)",
			p: lp.Problem{Cost: []float64{0.225, 0.153, 0.162, 0.225, 0.162, 0.126}, Rows: []lp.Row{
				atMost(350, 1, 1, 1, 0, 0, 0), atMost(600, 0, 0, 0, 1, 1, 1),
				atLeast(325, 1, 0, 0, 1, 0, 0), atLeast(300, 0, 1, 0, 0, 1, 0), atLeast(275, 0, 0, 1, 0, 0, 1)}},
			value: 153.675,
		},
		{
			name: "Beale, Naval Res. Logist. Q. 2 (1955) 269-275, cycles under the largest-coefficient rule",
			p: lp.Problem{Cost: []float64{-0.75, 150, -0.02, 6}, Rows: []lp.Row{
				atMost(0, 0.25, -60, -1./25, 9), atMost(0, 0.5, -90, -1./50, 3), atMost(1, 0, 0, 1, 0)}},
			value: -0.05, x: []float64{0.04, 0, 1, 0},
		},
		{
			name: "Chvátal, ch. 3, cycles in six steps",
			p: lp.Problem{Maximize: true, Cost: []float64{10, -57, -9, -24}, Rows: []lp.Row{
				atMost(0, 0.5, -5.5, -2.5, 9), atMost(0, 0.5, -1.5, -0.5, 1), atMost(1, 1, 0, 0, 0)}},
			value: 1, x: []float64{1, 0, 1, 0},
		},
	}
}

func TestPublishedOptima(t *testing.T) {
	for _, c := range publishedProblems() {
		t.Run(c.name, func(t *testing.T) {
			r, err := lp.Solve(c.p)
			require.NoError(t, err)
			requireProven(t, c.p, r)
			assert.InDelta(t, c.value, r.Value, 1e-9)
			if c.x != nil {
				assert.InDeltaSlice(t, c.x, r.X, 1e-9)
			}
			if c.dual != nil {
				assert.InDeltaSlice(t, c.dual, r.RowDual, 1e-9)
			}
		})
	}
}

// Klee & Minty 1972 as in Chvátal ch. 4: the largest-coefficient rule visits all 2^n vertices;
// the optimum is 100^(n-1) with x_n alone.
func TestKleeMintyCube(t *testing.T) {
	for n := 2; n <= 8; n++ {
		p := kleeMinty(n)
		r, err := lp.Solve(p)
		require.NoError(t, err)
		requireProven(t, p, r)
		assert.InEpsilon(t, math.Pow(100, float64(n-1)), r.Value, 1e-12)
		assert.Less(t, r.Iterations, 1<<n)
	}
}

// Of all polynomials of degree below n, the one nearest to x^n on −1..1 misses it by 2^(1−n) (Chebyshev 1854; Rivlin,
// The Chebyshev Polynomials, 2.1), and touches that at cos(kπ/n), which are on the grid: 17 variables, 4002 rows.
func TestChebyshevApproximation(t *testing.T) {
	const n, points = 16, 2001
	p := lp.Problem{Cost: make([]float64, n+1), Lower: make([]float64, n+1)}
	p.Cost[n] = 1
	for j := range p.Lower {
		p.Lower[j] = -inf
	}
	for i := range points {
		angle := math.Pi * float64(i) / (points - 1)
		above, below := make([]float64, n+1), make([]float64, n+1)
		for j := range n {
			above[j] = math.Cos(float64(j) * angle)
			below[j] = above[j]
		}
		above[n], below[n] = 1, -1
		y := math.Pow(math.Cos(angle), n)
		p.Rows = append(p.Rows, atLeast(y, above...), atMost(y, below...))
	}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireProven(t, p, r)
	assert.InDelta(t, math.Exp2(1-n), r.Value, 2e-9)
}

func kleeMinty(n int) lp.Problem {
	p := lp.Problem{Maximize: true, Cost: make([]float64, n)}
	for i := range n {
		p.Cost[i] = math.Pow(10, float64(n-1-i))
		row := make([]float64, n)
		for j := range i {
			row[j] = 2 * math.Pow(10, float64(i-j))
		}
		row[i] = 1
		p.Rows = append(p.Rows, atMost(math.Pow(100, float64(i)), row...))
	}
	return p
}
