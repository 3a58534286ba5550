package lp_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/balance/lp"
)

// requireProof checks whatever the status claims; every problem here has an end that float64 can prove.
func requireProof(t failer, p lp.Problem, r lp.Result) {
	t.Helper()
	switch r.Status {
	case lp.Optimal:
		requireProven(t, p, r)
	case lp.Infeasible:
		requireImpossible(t, p, r)
	case lp.Unbounded:
		requireEndless(t, p, r)
	default:
		require.Fail(t, "stalled", "%+v\n%+v", p, r)
	}
}

// requireEndless walks a long way along the ray.
func requireEndless(t failer, p lp.Problem, r lp.Result) {
	t.Helper()
	lower, upper := bounds(p)
	gain := 0.0
	for j, d := range r.Ray {
		gain += p.Cost[j] * d
		require.False(t, d < 0 && !math.IsInf(lower[j], -1), "variable %d runs through its lower bound", j)
		require.False(t, d > 0 && !math.IsInf(upper[j], 1), "variable %d runs through its upper bound", j)
	}
	require.Equal(t, p.Maximize, gain > 0, "%v", r)
	for i, row := range p.Rows {
		v, d, size := 0.0, 0.0, 1.0
		for j, a := range row.Coef {
			v += a * r.X[j]
			d += a * r.Ray[j]
			size += math.Abs(a * (r.X[j] + 1e3*r.Ray[j]))
		}
		require.GreaterOrEqual(t, v+1e3*d, row.Lo-1e-6*size, "row %d", i)
		require.LessOrEqual(t, v+1e3*d, row.Hi+1e-6*size, "row %d", i)
	}
	requireFinite(t, r)
}

func TestEveryEndIsProven(t *testing.T) {
	count := map[lp.Status]int{}
	for seed := range uint64(5000) {
		p := randomProblem(seed)
		r, err := lp.Solve(p)
		require.NoError(t, err)
		if r.Status == lp.Stalled {
			t.Logf("seed %d", seed)
		}
		requireProof(t, p, r)
		count[r.Status]++
	}
	t.Log(count)
	for _, s := range []lp.Status{lp.Optimal, lp.Infeasible, lp.Unbounded} {
		assert.Greater(t, count[s], 300, "the random problems must have ends of every kind: %v", s)
	}
}

func TestRandomProblems(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := randomProblem(rapid.Uint64().Draw(t, "seed"))
		r, err := lp.Solve(p)
		require.NoError(t, err)
		requireProof(t, p, r)
		again, err := lp.SolveFrom(p, r.Basis)
		require.NoError(t, err)
		require.Equal(t, r.Status, again.Status)
		if r.Status == lp.Optimal {
			require.Zero(t, again.Iterations, "the optimal basis is a place to stay")
			require.InDelta(t, r.Value, again.Value, 1e-9*(1+math.Abs(r.Value)))
		}
	})
}

// A cut that excludes the optimum makes the value no better, and the warm start finds what a cold one finds.
func TestCutsFromTheOldBasis(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := spots(rapid.IntRange(2, 17).Draw(t, "variables"), 2*rapid.IntRange(1, 30).Draw(t, "rows"), rapid.Uint64().Draw(t, "seed"))
		r, err := lp.Solve(p)
		require.NoError(t, err)
		requireProven(t, p, r)
		basis, value := r.Basis, r.Value
		for j := range r.X[:len(r.X)-1] {
			cut := make([]float64, len(r.X))
			cut[j] = 1
			p.Rows = append(p.Rows, atMost(0.9*r.X[j], cut...))
			warm, err := lp.SolveFrom(p, basis)
			require.NoError(t, err)
			cold, err := lp.Solve(p)
			require.NoError(t, err)
			requireProven(t, p, warm)
			require.InDelta(t, cold.Value, warm.Value, 1e-9)
			require.LessOrEqual(t, warm.Value, value+1e-9)
			basis, value, r = warm.Basis, warm.Value, warm
		}
	})
}

// A unit is a choice: the same problem in other units has the same value.
func TestUnitsDoNotMatter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := spots(6, 24, rapid.Uint64().Draw(t, "seed"))
		r, err := lp.Solve(p)
		require.NoError(t, err)
		q := lp.Problem{Maximize: true, Cost: append([]float64(nil), p.Cost...)}
		unit := make([]float64, len(p.Cost))
		for j := range unit {
			unit[j] = math.Pow(10, float64(rapid.IntRange(-6, 6).Draw(t, "unit")))
			q.Cost[j] *= unit[j]
			q.Lower, q.Upper = append(q.Lower, p.Lower[j]/unit[j]), append(q.Upper, p.Upper[j]/unit[j])
		}
		for _, row := range p.Rows {
			f := math.Pow(10, float64(rapid.IntRange(-6, 6).Draw(t, "row unit")))
			coef := make([]float64, len(unit))
			for j := range coef {
				coef[j] = row.Coef[j] * f * unit[j]
			}
			q.Rows = append(q.Rows, lp.Row{Coef: coef, Lo: row.Lo * f, Hi: row.Hi * f})
		}
		other, err := lp.Solve(q)
		require.NoError(t, err)
		require.Equal(t, lp.Optimal, other.Status)
		require.InEpsilon(t, r.Value, other.Value, 1e-9)
	})
}
