package lp

import "math"

// scaling turns the caller's numbers into ones near 1 by powers of two, so that nothing is rounded:
// row i is multiplied by row[i], x[j] = col[j]·size·x'[j] and cost' = cost·col/cost scale.
type scaling struct {
	row, col   []float64
	size, cost float64
}

const scalingPasses = 4

// equilibrate finds geometric row and column scales (Curtis & Reid, J. Inst. Math. Applics 10 (1972) 118-124,
// in the simpler form of alternating passes: Fourer, Math. Programming 23 (1982) 274-313, section 2).
func equilibrate(p Problem) scaling {
	m, n := len(p.Rows), len(p.Cost)
	s := scaling{row: ones(m), col: ones(n), size: 1, cost: 1}
	for range scalingPasses {
		for i, r := range p.Rows {
			s.row[i] = middle(n, func(j int) float64 { return r.Coef[j] * s.col[j] })
		}
		for j := range n {
			s.col[j] = middle(m, func(i int) float64 { return p.Rows[i].Coef[j] * s.row[i] })
		}
	}
	for i := range s.row {
		s.row[i] = powerOfTwo(s.row[i])
	}
	for j := range s.col {
		s.col[j] = powerOfTwo(s.col[j])
	}
	var most float64
	for j, c := range p.Cost {
		most = max(most, math.Abs(c)*s.col[j])
	}
	if most > 0 {
		s.cost = powerOfTwo(most)
	}
	s.size = s.typicalLimit(p)
	return s
}

// middle is 1/√(least·greatest) of the magnitudes that matter; what is a billion times below
// the greatest must not decide the scale of all the others.
func middle(n int, at func(int) float64) float64 {
	var most float64
	for k := range n {
		most = max(most, math.Abs(at(k)))
	}
	if most == 0 {
		return 1
	}
	least := most
	for k := range n {
		if v := math.Abs(at(k)); v > 1e-9*most {
			least = min(least, v)
		}
	}
	return 1 / math.Sqrt(most*least)
}

// typicalLimit is the geometric mean of the finite, nonzero limits after row and column scaling.
func (s scaling) typicalLimit(p Problem) float64 {
	var sum float64
	var count int
	add := func(v float64) {
		if v != 0 && !math.IsInf(v, 0) {
			sum += math.Log2(math.Abs(v))
			count++
		}
	}
	for i, r := range p.Rows {
		add(r.Lo * s.row[i])
		add(r.Hi * s.row[i])
	}
	for j := range p.Cost {
		add(p.Lower[j] / s.col[j])
		add(p.Upper[j] / s.col[j])
	}
	if count == 0 {
		return 1
	}
	return powerOfTwo(math.Exp2(sum / float64(count)))
}

// powerOfTwo rounds to one, within the range that cannot overflow when scales multiply.
func powerOfTwo(v float64) float64 {
	return math.Exp2(math.Round(min(max(math.Log2(v), -80), 80)))
}

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}
