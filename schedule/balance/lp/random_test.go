package lp_test

import (
	"math"
	"math/rand/v2"

	"dayloom/schedule/balance/lp"
)

// randomProblem makes a problem of any kind: equations, ranges, free variables, ties, dependent rows, zero
// columns, small whole numbers (degenerate) or spread over many powers of ten. Nothing about its status is assumed.
func randomProblem(seed uint64) lp.Problem {
	rnd := rand.New(rand.NewPCG(seed, 2))
	n, m := 1+rnd.IntN(9), rnd.IntN(14)
	whole := rnd.IntN(3) > 0
	spread := rnd.IntN(4) == 0
	value := func() float64 {
		if rnd.IntN(4) == 0 {
			return 0
		}
		if whole {
			return float64(rnd.IntN(9) - 3)
		}
		return rnd.NormFloat64() + 0.3
	}
	p := lp.Problem{Maximize: rnd.IntN(2) == 0}
	for range n {
		p.Cost = append(p.Cost, value())
		lo, hi := limits(rnd, value, rnd.IntN(7))
		p.Lower, p.Upper = append(p.Lower, lo), append(p.Upper, hi)
	}
	for i := range m {
		row := make([]float64, n)
		for j := range row {
			row[j] = value()
		}
		if i > 0 && rnd.IntN(6) == 0 {
			copy(row, p.Rows[rnd.IntN(i)].Coef)
		}
		lo, hi := limits(rnd, func() float64 { return 3 * value() }, rnd.IntN(9))
		p.Rows = append(p.Rows, lp.Row{Coef: row, Lo: lo, Hi: hi})
	}
	if spread {
		rescale(rnd, &p)
	}
	return p
}

func limits(rnd *rand.Rand, value func() float64, kind int) (lo, hi float64) {
	lo = value()
	switch kind {
	case 0:
		return -inf, inf
	case 1, 2:
		return -inf, lo + 3
	case 3:
		return lo, lo + 4*rnd.Float64()
	case 4:
		return lo, lo
	}
	return lo - 3, inf
}

// rescale measures rows and variables in other units, up to a million either way.
func rescale(rnd *rand.Rand, p *lp.Problem) {
	for j := range p.Cost {
		f := math.Pow(10, float64(rnd.IntN(13)-6))
		p.Cost[j] *= f
		p.Lower[j] /= f
		p.Upper[j] /= f
		for i := range p.Rows {
			p.Rows[i].Coef[j] *= f
		}
	}
	for i := range p.Rows {
		f := math.Pow(10, float64(rnd.IntN(13)-6))
		for j := range p.Cost {
			p.Rows[i].Coef[j] *= f
		}
		p.Rows[i].Lo *= f
		p.Rows[i].Hi *= f
	}
}
