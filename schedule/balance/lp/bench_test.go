package lp_test

import (
	"math/rand/v2"
	"testing"

	"dayloom/schedule/balance/lp"
)

// spots makes a problem like a balance of light: m rows, each asking that a mixture of n channels in 0..1
// gives at least and at most so much, with the greatest common share of the target as last variable.
func spots(n, m int, seed uint64) lp.Problem {
	rnd := rand.New(rand.NewPCG(seed, 1))
	p := lp.Problem{Maximize: true, Cost: make([]float64, n), Lower: make([]float64, n), Upper: make([]float64, n)}
	for j := range n {
		p.Upper[j] = 1
	}
	p.Cost[n-1], p.Lower[n-1], p.Upper[n-1] = 1, -inf, inf
	for range m / 2 {
		least, most := make([]float64, n), make([]float64, n)
		for j := range n - 1 {
			least[j] = 300 * rnd.Float64() * rnd.Float64()
			most[j] = least[j]
		}
		target := 100 + 400*rnd.Float64()
		least[n-1] = -target
		p.Rows = append(p.Rows, atLeast(0, least...), atMost(2*target, most...))
	}
	return p
}

func benchmark(b *testing.B, n, m int) {
	p := spots(n, m, 1)
	b.ReportAllocs()
	for b.Loop() {
		r, err := lp.Solve(p)
		if err != nil || r.Status != lp.Optimal {
			b.Fatal(r.Status, err)
		}
		b.ReportMetric(float64(r.Iterations), "pivots")
	}
}

func BenchmarkSolve13Variables40Rows(b *testing.B)   { benchmark(b, 13, 40) }
func BenchmarkSolve17Variables4000Rows(b *testing.B) { benchmark(b, 17, 4000) }

func BenchmarkSolveAgain17Variables4000RowsAfterOneCut(b *testing.B) {
	p := spots(17, 4000, 1)
	first, err := lp.Solve(p)
	if err != nil {
		b.Fatal(err)
	}
	cut := make([]float64, 17)
	cut[16] = 1
	p.Rows = append(p.Rows, atMost(first.Value*0.9, cut...))
	for b.Loop() {
		r, err := lp.SolveFrom(p, first.Basis)
		if err != nil || r.Status != lp.Optimal {
			b.Fatal(r.Status, err)
		}
		b.ReportMetric(float64(r.Iterations), "pivots")
	}
}
