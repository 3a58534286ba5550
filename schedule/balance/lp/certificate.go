package lp

import "math"

// noise is what rounding may leave where terms cancel, relative to their size.
const noise = 1e-11

// judge computes Value, BoundDual and the certificate from X and RowDual on the problem's own numbers.
func (r *Result) judge(p Problem, t *simplex) {
	sense := 1.0
	if p.Maximize {
		sense = -1
	}
	r.Value = dot(p.Cost, r.X) + sense*excess(p, r.X)
	c := Certificate{PrimalResidual: primalResidual(p, r.X)}
	bound := 0.0
	z, size := append([]float64(nil), p.Cost...), make([]float64, len(p.Cost))
	for j, v := range z {
		size[j] = math.Abs(v)
	}
	for i, y := range r.RowDual {
		if y == 0 {
			continue
		}
		v, _ := support(sense*y, p.Rows[i].Lo, p.Rows[i].Hi)
		bound += v
		for j, a := range p.Rows[i].Coef {
			z[j] -= y * a
			size[j] += math.Abs(y * a)
		}
	}
	for j, v := range z {
		if t.slot[j] < 0 && math.Abs(v) <= noise*size[j] {
			v = 0
		}
		r.BoundDual[j] = v
		least, open := support(sense*v, p.Lower[j], p.Upper[j])
		bound += least
		if open {
			c.DualResidual = max(c.DualResidual, math.Abs(v)/(1+size[j]))
		}
	}
	c.Bound = sense * bound
	c.Gap = math.Abs(r.Value-c.Bound) / (1 + math.Abs(r.Value))
	r.Certificate = c
}

// support is the least value of y·v over lo ≤ v ≤ hi; open says that there is none, and counts it zero.
func support(y, lo, hi float64) (least float64, open bool) {
	limit := lo
	if y < 0 {
		limit = hi
	}
	if y == 0 || math.IsInf(limit, 0) {
		return 0, y != 0
	}
	return y * limit, false
}

// excess is what the soft rows cost at x.
func excess(p Problem, x []float64) (sum float64) {
	for _, row := range p.Rows {
		if row.Soft > 0 {
			v := dot(row.Coef, x)
			sum += row.Soft * max(row.Lo-v, v-row.Hi, 0)
		}
	}
	return sum
}

// primalResidual looks at hard rows only; X keeps the bounds exactly.
func primalResidual(p Problem, x []float64) float64 {
	var worst float64
	for _, row := range p.Rows {
		if row.Soft > 0 {
			continue
		}
		v, size := 0.0, 1.0
		for j, a := range row.Coef {
			v += a * x[j]
			size += math.Abs(a * x[j])
		}
		worst = max(worst, (row.Lo-v)/size, (v-row.Hi)/size)
	}
	return worst
}

// proveInfeasible weighs what the rows demand of Σ w·(Coef·x) against the most that the bounds allow
// (Farkas' lemma: Schrijver 1986, Theory of Linear and Integer Programming, section 7.3).
func proveInfeasible(p Problem, w []float64) Certificate {
	var c Certificate
	demand, size := 0.0, 0.0
	for i, row := range p.Rows {
		v, _ := support(w[i], row.Lo, row.Hi)
		demand += v
		size += math.Abs(v)
	}
	allow := 0.0
	g, sizes := make([]float64, len(p.Cost)), make([]float64, len(p.Cost))
	for i, v := range w {
		if v == 0 {
			continue
		}
		for j, a := range p.Rows[i].Coef {
			g[j] += v * a
			sizes[j] += math.Abs(v * a)
		}
	}
	for j, v := range g {
		least, open := support(-v, p.Lower[j], p.Upper[j])
		allow -= least
		size += math.Abs(least)
		if open && math.Abs(v) > noise*sizes[j] {
			c.DualResidual = max(c.DualResidual, math.Abs(v)/sizes[j])
		}
	}
	if margin := demand - allow; margin > noise*size {
		c.Gap = margin / size
	}
	return c
}

// provesUnbounded tells whether d stays within all rows and bounds for ever and improves the cost.
func provesUnbounded(p Problem, d []float64) bool {
	for j, v := range d {
		if (v < 0 && !math.IsInf(p.Lower[j], -1)) || (v > 0 && !math.IsInf(p.Upper[j], 1)) {
			return false
		}
	}
	rise := 0.0
	for _, row := range p.Rows {
		v, size := terms(row.Coef, d)
		if row.Soft > 0 {
			if (v < 0 && !math.IsInf(row.Lo, -1)) || (v > 0 && !math.IsInf(row.Hi, 1)) {
				rise += row.Soft * math.Abs(v)
			}
			continue
		}
		if (v < -accept*size && !math.IsInf(row.Lo, -1)) || (v > accept*size && !math.IsInf(row.Hi, 1)) {
			return false
		}
	}
	v, size := terms(p.Cost, d)
	if p.Maximize {
		v = -v
	}
	return v+rise < -noise*(size+rise)
}

// terms is a·d and the sum of the magnitudes in it.
func terms(a, d []float64) (v, size float64) {
	for j, c := range a {
		v += c * d[j]
		size += math.Abs(c * d[j])
	}
	return v, size
}
