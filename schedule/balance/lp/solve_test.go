package lp_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

func ExampleSolve() {
	// Wyndor Glass: profit in thousand $ a batch, hours in three plants (Hillier & Lieberman, 3.1).
	r, err := lp.Solve(lp.Problem{
		Maximize: true,
		Cost:     []float64{3, 5},
		Rows: []lp.Row{
			{Coef: []float64{1, 0}, Lo: math.Inf(-1), Hi: 4},
			{Coef: []float64{0, 2}, Lo: math.Inf(-1), Hi: 12},
			{Coef: []float64{3, 2}, Lo: math.Inf(-1), Hi: 18},
		},
	})
	fmt.Println(r.Status, r.X, r.Value, err)
	fmt.Printf("an hour more in plant 3 is worth %.1f\n", r.RowDual[2])
	// Output:
	// optimal [2 6] 36 <nil>
	// an hour more in plant 3 is worth 1.0
}

func ExampleSolveFrom() {
	p := lp.Problem{Maximize: true, Cost: []float64{1, 1}, Upper: []float64{3, 3}}
	first, _ := lp.Solve(p)
	p.Rows = append(p.Rows, lp.Row{Coef: []float64{1, 2}, Lo: math.Inf(-1), Hi: 5})
	second, _ := lp.SolveFrom(p, first.Basis)
	fmt.Println(first.Value, second.Value, second.X)
	// Output: 6 4 [3 1]
}

// Two rows that contradict each other share the blame; the others are innocent.
func TestConflictNamesTheRows(t *testing.T) {
	p := lp.Problem{Cost: []float64{1, 1}, Rows: []lp.Row{
		atMost(10, 1, 0), atLeast(5, 1, 1), atMost(7, 0, 1), atMost(4, 2, 2)}}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireImpossible(t, p, r)
	assert.InDeltaSlice(t, []float64{0, 1, 0, -0.5}, r.Farkas, 1e-12)
	assert.InDelta(t, (5.0-2)/(5+2), r.Certificate.Gap, 1e-12)
}

// A row without coefficients that asks for a millionth of a millionth is impossible too, whatever the others' size.
func TestTheSmallestContradictionCounts(t *testing.T) {
	p := lp.Problem{Cost: []float64{1}, Upper: []float64{1000}, Rows: []lp.Row{atLeast(1e-12, 0), atMost(500, 1)}}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireImpossible(t, p, r)
	p.Rows[0] = atMost(1e-12, 0)
	r, err = lp.Solve(p)
	require.NoError(t, err)
	assert.Equal(t, lp.Optimal, r.Status)
}

// One row alone can ask more than the bounds of the variables give.
func TestConflictWithBounds(t *testing.T) {
	p := lp.Problem{Cost: []float64{0, 0}, Upper: []float64{1, 1}, Rows: []lp.Row{atLeast(2.5, 1, 1), atLeast(0.5, 1, 0)}}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireImpossible(t, p, r)
	assert.Equal(t, []float64{1, 0}, r.Farkas)
}

func TestUnbounded(t *testing.T) {
	for _, p := range []lp.Problem{
		{Maximize: true, Cost: []float64{1, 0}, Rows: []lp.Row{atMost(1, 1, -1)}},
		{Cost: []float64{1}, Lower: []float64{-inf}},
		{Cost: []float64{1, -1}, Lower: []float64{-inf, -inf}, Rows: []lp.Row{equal(3, 1, 1)}},
		{Cost: []float64{-1, 0}, Rows: []lp.Row{{Coef: []float64{0, 1}, Lo: 1, Hi: 2}}},
	} {
		r, err := lp.Solve(p)
		require.NoError(t, err)
		require.Equal(t, lp.Unbounded, r.Status)
		requireEndless(t, p, r)
	}
}

// Free variables that nothing holds, redundant equations and a zero row are no obstacle.
func TestDegenerate(t *testing.T) {
	for _, c := range []struct {
		p     lp.Problem
		value float64
	}{
		{lp.Problem{Cost: []float64{0, 0}, Lower: []float64{-inf, -inf}}, 0},
		{lp.Problem{Cost: []float64{1, 1}, Lower: []float64{-inf, -inf}, Rows: []lp.Row{atLeast(2, 1, 1), equal(0, 0, 0)}}, 2},
		{lp.Problem{Cost: []float64{1, 2, 3}, Rows: []lp.Row{equal(6, 1, 1, 1), equal(12, 2, 2, 2), equal(6, 1, 1, 1), equal(6, 0, 3, 0)}}, 8},
		{lp.Problem{Maximize: true, Cost: []float64{1, 1}, Rows: []lp.Row{
			atMost(2, 1, 1), atMost(4, 2, 2), atMost(1, 1, 0), atMost(1, 0, 1), atMost(3, 2, 1), atMost(3, 1, 2), atMost(0, 1, -1)}}, 2},
		{lp.Problem{Cost: []float64{5}, Lower: []float64{3}, Upper: []float64{3}}, 15},
	} {
		r, err := lp.Solve(c.p)
		require.NoError(t, err)
		requireProven(t, c.p, r)
		assert.InDelta(t, c.value, r.Value, 1e-9)
	}
}

// An assignment of n to n is degenerate in every vertex: n ones among n² variables. With cost (i+1)(j+1) the least pairs great
// with small (rearrangement inequality: Hardy, Littlewood & Pólya 1934, theorem 368).
func TestAssignment(t *testing.T) {
	const n = 7
	p := lp.Problem{Cost: make([]float64, n*n)}
	want := 0.0
	for i := range n {
		across, down := make([]float64, n*n), make([]float64, n*n)
		for j := range n {
			p.Cost[i*n+j] = float64((i + 1) * (j + 1))
			across[i*n+j], down[j*n+i] = 1, 1
		}
		p.Rows = append(p.Rows, equal(1, across...), equal(1, down...))
		want += float64((i + 1) * (n - i))
	}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireProven(t, p, r)
	assert.InDelta(t, want, r.Value, 1e-9)
}

// Wyndor Glass measured in units a million apart.
func TestBadlyScaled(t *testing.T) {
	p := lp.Problem{Maximize: true, Cost: []float64{3e6, 5e-6}, Rows: []lp.Row{
		atMost(4e-6, 1, 0), atMost(12e6, 0, 2), atMost(18e6, 3e12, 2)}}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	requireProven(t, p, r)
	assert.InEpsilon(t, 36.0, r.Value, 1e-12)
	assert.InEpsilon(t, 2e-6, r.X[0], 1e-12)
	assert.InEpsilon(t, 6e6, r.X[1], 1e-12)
}

func TestNoProblemAtAll(t *testing.T) {
	one := []float64{1}
	for want, p := range map[string]lp.Problem{
		"no variables":                {},
		"1 variables but 2 lower":     {Cost: one, Lower: []float64{0, 0}},
		"cost of variable 0 is NaN":   {Cost: []float64{math.NaN()}},
		"lower limit 2 is above":      {Cost: one, Lower: []float64{2}, Upper: one},
		"row 1 has 2 coefficients":    {Cost: one, Rows: []lp.Row{atMost(1, 1), atMost(1, 1, 1)}},
		"row 0: the coefficient":      {Cost: one, Rows: []lp.Row{atMost(1, inf)}},
		"row 0: the limits NaN and 1": {Cost: one, Rows: []lp.Row{{Coef: one, Lo: math.NaN(), Hi: 1}}},
		"limits +Inf and +Inf":        {Cost: one, Lower: []float64{inf}, Upper: []float64{inf}},
		"row 0: the lower limit 3":    {Cost: one, Rows: []lp.Row{{Coef: one, Lo: 3, Hi: 1}}},
	} {
		_, err := lp.Solve(p)
		require.ErrorContains(t, err, want)
	}
}

// A basis from elsewhere does no harm.
func TestForeignBasis(t *testing.T) {
	big, err := lp.Solve(spots(5, 40, 3))
	require.NoError(t, err)
	for _, p := range []lp.Problem{spots(5, 4, 4), spots(3, 4, 4)} {
		cold, err := lp.Solve(p)
		require.NoError(t, err)
		warm, err := lp.SolveFrom(p, big.Basis)
		require.NoError(t, err)
		requireProven(t, p, warm)
		assert.InDelta(t, cold.Value, warm.Value, 1e-9)
	}
}
