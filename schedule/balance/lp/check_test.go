package lp_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

// failer is what *testing.T and *rapid.T have in common.
type failer interface {
	require.TestingT
	Helper()
}

var _ failer = (*testing.T)(nil)

// requireProven checks an optimal result against the textbook conditions, computed here from scratch
// (Chvátal, ch. 5): feasibility, signs of the multipliers, stationarity, complementary slackness, equal values.
func requireProven(t failer, p lp.Problem, r lp.Result) {
	t.Helper()
	require.Equal(t, lp.Optimal, r.Status, "%+v", r)
	n := len(p.Cost)
	sense := 1.0
	if p.Maximize {
		sense = -1
	}
	lower, upper := bounds(p)
	left := append([]float64(nil), p.Cost...)
	size := make([]float64, n)
	dual := 0.0
	for i, row := range p.Rows {
		v, s := 0.0, 1.0
		for j, a := range row.Coef {
			v += a * r.X[j]
			s += math.Abs(a * r.X[j])
			left[j] -= r.RowDual[i] * a
			size[j] += math.Abs(r.RowDual[i] * a)
		}
		require.GreaterOrEqual(t, v, row.Lo-1e-7*s, "row %d", i)
		require.LessOrEqual(t, v, row.Hi+1e-7*s, "row %d", i)
		dual += leans(t, sense*r.RowDual[i], v, row.Lo, row.Hi, s)
	}
	for j, x := range r.X {
		require.GreaterOrEqual(t, x, lower[j])
		require.LessOrEqual(t, x, upper[j])
		require.InDelta(t, left[j], r.BoundDual[j], 1e-7*(1+size[j]+math.Abs(p.Cost[j])), "reduced cost %d", j)
		dual += leans(t, sense*r.BoundDual[j], x, lower[j], upper[j], 1+math.Abs(x))
	}
	require.InDelta(t, sense*r.Value, dual, 1e-7*(1+math.Abs(r.Value)), "strong duality")
	require.InDelta(t, dual, sense*r.Certificate.Bound, 1e-6*(1+math.Abs(r.Value)))
	requireFinite(t, r)
}

// leans returns y·limit after checking that y leans on a limit that exists and is met.
func leans(t failer, y, v, lo, hi, size float64) float64 {
	t.Helper()
	limit := lo
	if y < 0 {
		limit = hi
	}
	if y == 0 {
		return 0
	}
	if math.IsInf(limit, 0) {
		require.InDelta(t, 0, y, 1e-6, "a multiplier without a limit")
		return 0
	}
	require.InDelta(t, 0, math.Abs(y)*(v-limit)/(size*(1+math.Abs(y))), 1e-6, "complementary slackness")
	return y * limit
}

func bounds(p lp.Problem) (lower, upper []float64) {
	lower, upper = p.Lower, p.Upper
	if lower == nil {
		lower = make([]float64, len(p.Cost))
	}
	if upper == nil {
		upper = make([]float64, len(p.Cost))
		for j := range upper {
			upper[j] = inf
		}
	}
	return lower, upper
}

// requireImpossible checks Farkas' multipliers from scratch.
func requireImpossible(t failer, p lp.Problem, r lp.Result) {
	t.Helper()
	require.Equal(t, lp.Infeasible, r.Status)
	lower, upper := bounds(p)
	demand, allow := 0.0, 0.0
	for i, w := range r.Farkas {
		if w > 0 {
			demand += w * p.Rows[i].Lo
		} else if w < 0 {
			demand += w * p.Rows[i].Hi
		}
	}
	for j := range p.Cost {
		g, size := 0.0, 0.0
		for i, w := range r.Farkas {
			g += w * p.Rows[i].Coef[j]
			size += math.Abs(w * p.Rows[i].Coef[j])
		}
		if math.Abs(g) <= 1e-9*size {
			continue
		}
		if g > 0 {
			allow += g * upper[j]
		} else {
			allow += g * lower[j]
		}
	}
	require.Greater(t, demand, allow, "%+v", r)
	require.Positive(t, r.Certificate.Gap)
	requireFinite(t, r)
}

func requireFinite(t failer, r lp.Result) {
	t.Helper()
	c := r.Certificate
	all := []float64{r.Value, c.PrimalResidual, c.DualResidual, c.Bound, c.Gap}
	for _, v := range [][]float64{r.X, r.RowDual, r.BoundDual, r.Farkas, r.Ray} {
		all = append(all, v...)
	}
	for _, v := range all {
		require.False(t, math.IsNaN(v) || math.IsInf(v, 0), "%+v", r)
	}
}
