package lp

import "math"

// scaling turns the caller's numbers into ones near 1 by powers of two, so that nothing is rounded:
// row i is multiplied by row[i], x[j] = col[j]·size·x'[j] and cost' = cost·col/cost scale.
type scaling struct {
	row, col   []float64
	size, cost float64
}

const (
	scalingPasses = 20
	scalingSteady = 0.25 // change of a scale, as a power of two, at which the passes end
)

// equilibrate makes the logarithms of the coefficients, cost among them, as near zero as row and column
// scales can in the sense of least squares (Curtis & Reid, J. Inst. Math. Applics 10 (1972) 118-124), by
// alternating means. Thus neither units nor a few far-off coefficients matter. Rows are then brought to a greatest
// coefficient near 1.
func equilibrate(p Problem) scaling {
	n := len(p.Cost)
	s := scaling{row: ones(len(p.Rows)), col: ones(n), size: 1, cost: 1}
	logs := logarithms(p)
	col := make([]float64, n)
	for range scalingPasses {
		sum, count := make([]float64, n), make([]float64, n)
		for i := 0; i < len(logs); i += n {
			addRow(logs[i:i+n], col, sum, count)
		}
		moved := 0.0
		for j := range col {
			if count[j] > 0 {
				moved = max(moved, math.Abs(sum[j]/count[j]+col[j]))
				col[j] = -sum[j] / count[j]
			}
		}
		if moved < scalingSteady {
			break
		}
	}
	for j := range col {
		s.col[j] = powerOfTwo(col[j])
	}
	for i, r := range p.Rows {
		s.row[i] = 1 / toNearOne(r.Coef, s.col)
	}
	s.cost = s.typicalCost(p)
	s.size = s.typicalLimit(p)
	s.scaleEmptyRows(p)
	return s
}

// logarithms are to base two, row by row and then the cost; −Inf for zero.
func logarithms(p Problem) []float64 {
	logs := make([]float64, 0, (len(p.Rows)+1)*len(p.Cost))
	add := func(coef []float64) {
		for _, a := range coef {
			logs = append(logs, math.Log2(math.Abs(a)))
		}
	}
	for _, r := range p.Rows {
		add(r.Coef)
	}
	add(p.Cost)
	return logs
}

// addRow takes the best scale of one row for the present columns and adds what is left to the columns' sums.
func addRow(logs, col, sum, count []float64) {
	mean, entries := 0.0, 0.0
	for j, l := range logs {
		if !math.IsInf(l, -1) {
			mean += l + col[j]
			entries++
		}
	}
	mean /= max(entries, 1)
	for j, l := range logs {
		if !math.IsInf(l, -1) {
			sum[j] += l - mean
			count[j]++
		}
	}
}

// typicalCost is the power of two nearest to the greatest scaled cost, of variables and of excess.
func (s scaling) typicalCost(p Problem) float64 {
	most := 0.0
	for j, c := range p.Cost {
		most = max(most, math.Abs(c)*s.col[j])
	}
	for i, r := range p.Rows {
		most = max(most, r.Soft/s.row[i])
	}
	if most == 0 {
		return 1
	}
	return powerOfTwo(math.Log2(most))
}

// toNearOne is the power of two nearest to the greatest scaled coefficient, 1 if there is none.
func toNearOne(coef, col []float64) float64 {
	var most float64
	for j, a := range coef {
		most = max(most, math.Abs(a)*col[j])
	}
	if most == 0 {
		return 1
	}
	return powerOfTwo(math.Log2(most))
}

// scaleEmptyRows brings the limits of rows without coefficients near 1, so that even the smallest contradiction counts.
func (s scaling) scaleEmptyRows(p Problem) {
	for i, r := range p.Rows {
		empty := true
		for _, a := range r.Coef {
			empty = empty && a == 0
		}
		if !empty {
			continue
		}
		least := math.Inf(1)
		for _, v := range []float64{math.Abs(r.Lo), math.Abs(r.Hi)} {
			if v > 0 {
				least = min(least, v)
			}
		}
		if !math.IsInf(least, 1) {
			s.row[i] = powerOfTwo(math.Log2(s.size) - math.Log2(least))
		}
	}
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
	return powerOfTwo(sum / float64(count))
}

// powerOfTwo is 2^e for the whole number nearest to e, kept where products of scales cannot overflow.
func powerOfTwo(e float64) float64 { return math.Exp2(math.Round(min(max(e, -80), 80))) }

func ones(n int) []float64 {
	v := make([]float64, n)
	for i := range v {
		v[i] = 1
	}
	return v
}
