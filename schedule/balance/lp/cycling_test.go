package lp_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance/lp"
)

// hoffman is the first example of cycling (A. J. Hoffman 1953, in Dantzig, Linear Programming and Extensions,
// 10-1; geometry: Lee, SIAM Review 39 (1997) 98-105): five pairs of columns, each the last one turned by θ = 2π/5,
// with reduced costs that turn along. The third row is one variable by itself, as in the book. No step can leave
// the origin of the ten columns, whose cost of zero is also the least (the certificate shows it).
func hoffman() lp.Problem {
	const w = 10
	c, s := math.Cos(2*math.Pi/5), math.Sin(2*math.Pi/5)
	turn := [2][2]float64{{c, -w * c}, {s * s / c / w, c}}
	first := [2]float64{-(1 - c) / c, w}
	block, sum := [2][2]float64{{1, 0}, {0, 1}}, [2][2]float64{}
	p := lp.Problem{Rows: []lp.Row{equal(0), equal(0), equal(1)}}
	for range 5 {
		var next [2][2]float64
		for j := range 2 {
			p.Cost = append(p.Cost, first[0]*sum[0][j]+first[1]*sum[1][j])
			for i := range 2 {
				p.Rows[i].Coef = append(p.Rows[i].Coef, block[i][j])
				next[i][j] = block[i][0]*turn[0][j] + block[i][1]*turn[1][j]
			}
			p.Rows[2].Coef = append(p.Rows[2].Coef, 0)
		}
		for i := range 2 {
			for j := range 2 {
				sum[i][j] += block[i][j]
			}
		}
		block = next
	}
	p.Cost, p.Rows[2].Coef = append(p.Cost, 0), append(p.Rows[2].Coef, 1)
	p.Rows[0].Coef, p.Rows[1].Coef = append(p.Rows[0].Coef, 0), append(p.Rows[1].Coef, 0)
	return p
}

// withSlacks turns rows a·x ≤ b into equations by a slack for each, placed first.
func withSlacks(p lp.Problem) lp.Problem {
	m := len(p.Rows)
	q := lp.Problem{Cost: append(make([]float64, m), p.Cost...)}
	for j := range q.Cost {
		if p.Maximize {
			q.Cost[j] = -q.Cost[j]
		}
	}
	for i, r := range p.Rows {
		unit := make([]float64, m)
		unit[i] = 1
		q.Rows = append(q.Rows, equal(r.Hi, append(unit, r.Coef...)...))
	}
	return q
}

// largestCoefficientCycles runs Dantzig's rule as it stands in textbooks, ties to the greatest pivot, on equations
// whose columns in basis are a unit matrix, and tells after how many pivots a basis came back; zero if it ended.
func largestCoefficientCycles(p lp.Problem, basis []int, tie func(a, b float64) bool) int {
	table := make([][]float64, 0, len(p.Rows)+1)
	for _, r := range p.Rows {
		table = append(table, append(append([]float64(nil), r.Coef...), r.Lo))
	}
	table = append(table, append(append([]float64(nil), p.Cost...), 0))
	last, m := table[len(p.Rows)], len(p.Rows)
	seen := map[string]int{}
	for pivots := range 50 {
		if before, ok := seen[fmt.Sprint(basis)]; ok {
			return pivots - before
		}
		seen[fmt.Sprint(basis)] = pivots
		e := 0
		for j := range p.Cost {
			if last[j] < last[e]-1e-12 {
				e = j
			}
		}
		r := -1
		for i := range m {
			if table[i][e] <= 1e-9 {
				continue
			}
			ratio := table[i][len(p.Cost)] / table[i][e]
			if r < 0 || ratio < table[r][len(p.Cost)]/table[r][e]-1e-12 ||
				(math.Abs(ratio-table[r][len(p.Cost)]/table[r][e]) <= 1e-12 && tie(table[i][e], table[r][e])) {
				r = i
			}
		}
		if last[e] > -1e-9 || r < 0 {
			return 0
		}
		eliminate(table, r, e)
		basis[r] = e
	}
	return 0
}

func eliminate(table [][]float64, r, e int) {
	f := table[r][e]
	for j := range table[r] {
		table[r][j] /= f
	}
	for i := range table {
		if g := table[i][e]; i != r {
			for j := range table[i] {
				table[i][j] -= g * table[r][j]
			}
		}
	}
}

func firstTie(_, _ float64) bool    { return false }
func greatestTie(a, b float64) bool { return a > b }

// The examples are what they claim to be, under the rule that they were made against, and end here.
func TestCyclingExamplesEnd(t *testing.T) {
	var beale, chvatal lp.Problem
	for _, c := range publishedProblems() {
		switch c.value {
		case -0.05:
			beale = withSlacks(c.p)
		case 1:
			chvatal = withSlacks(c.p)
		}
	}
	for _, c := range []struct {
		name   string
		p      lp.Problem
		basis  []int
		tie    func(a, b float64) bool
		period int
		value  float64
	}{
		{"Hoffman", hoffman(), []int{0, 1, 10}, greatestTie, 10, 0},
		{"Beale", beale, []int{0, 1, 2}, firstTie, 6, -0.05},
		{"Chvátal", chvatal, []int{0, 1, 2}, firstTie, 6, -1},
	} {
		t.Run(c.name, func(t *testing.T) {
			assert.Equal(t, c.period, largestCoefficientCycles(c.p, c.basis, c.tie), "the example must cycle under the plain rule")
			r, err := lp.Solve(c.p)
			require.NoError(t, err)
			requireProven(t, c.p, r)
			assert.InDelta(t, c.value, r.Value, 1e-9)
		})
	}
}
