package lp_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

// By hand: the median of five numbers has the least sum of distances (Laplace), and a price of 3 for one of them moves it there.
func TestSoftRowsFindTheMedian(t *testing.T) {
	p := lp.Problem{Cost: []float64{0}, Lower: []float64{math.Inf(-1)}}
	for _, v := range []float64{7, 1, 9, 2, 4} {
		p.Rows = append(p.Rows, lp.Row{Coef: []float64{1}, Lo: v, Hi: v, Soft: 1})
	}
	r, err := lp.Solve(p)
	require.NoError(t, err)
	assert.InDelta(t, 4, r.X[0], 1e-9)
	assert.InDelta(t, 3+3+5+2, r.Value, 1e-9)
	p.Rows[2].Soft = 5
	r, err = lp.Solve(p)
	require.NoError(t, err)
	assert.InDelta(t, 9, r.X[0], 1e-9)
	assert.InDelta(t, r.Value, r.Certificate.Bound, 1e-9)
}

// Every soft row is as good as a hard one with a variable of its own for what it is broken by.
func TestSoftRowsAreRowsWithAnExcess(t *testing.T) {
	broken := 0
	for seed := range uint64(300) {
		rnd := rand.New(rand.NewPCG(seed, 11))
		p := spots(3+int(seed%5), 4+2*int(seed%12), seed)
		q := p
		q.Rows = nil
		for i := range p.Rows {
			if rnd.IntN(3) > 0 {
				p.Rows[i].Soft = math.Exp(6*rnd.Float64() - 10)
				p.Rows[i].Lo += 300 * rnd.Float64()
			}
		}
		q.Cost, q.Lower, q.Upper = append([]float64(nil), p.Cost...), append([]float64(nil), p.Lower...), append([]float64(nil), p.Upper...)
		for _, row := range p.Rows {
			q.Cost, q.Lower, q.Upper = append(q.Cost, -row.Soft), append(q.Lower, 0), append(q.Upper, inf)
			if row.Soft == 0 {
				q.Upper[len(q.Upper)-1] = 0
			}
		}
		for i, row := range p.Rows {
			for _, side := range []struct{ sign, lo, hi float64 }{{1, row.Lo, inf}, {-1, -inf, row.Hi}} {
				c := append(append([]float64(nil), row.Coef...), make([]float64, len(p.Rows))...)
				c[len(p.Cost)+i] = side.sign
				q.Rows = append(q.Rows, lp.Row{Coef: c, Lo: side.lo, Hi: side.hi})
			}
		}
		a, err := lp.Solve(p)
		require.NoError(t, err)
		b, err := lp.Solve(q)
		require.NoError(t, err)
		require.Equal(t, b.Status, a.Status, "seed %d", seed)
		if a.Status != lp.Optimal {
			continue
		}
		require.InDelta(t, b.Value, a.Value, 1e-6*(1+math.Abs(b.Value)), "seed %d", seed)
		require.InDelta(t, a.Value, a.Certificate.Bound, 1e-6*(1+math.Abs(b.Value)), "seed %d", seed)
		for i, y := range a.RowDual {
			require.True(t, p.Rows[i].Soft == 0 || math.Abs(y) <= p.Rows[i].Soft*(1+1e-9), "seed %d: no multiplier above its price", seed)
		}
		for _, e := range b.X[len(p.Cost):] {
			if e > 1e-6 {
				broken++
				break
			}
		}
	}
	assert.Greater(t, broken, 100, "programmes with excess")
}
