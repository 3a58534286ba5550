package lp

import "math"

const (
	accept    = 1e-7 // greatest relative residual and gap of an answer that counts as proven
	maxRounds = 12   // of dual then primal
)

// Basis remembers which constraints were active at the end of a solve.
// It stays good when rows are appended or any number in the problem changes.
type Basis struct {
	variables int
	active    []int
	at        []hold
}

// Solve solves p. The error says what makes p no linear programme: wrong lengths, NaN, a lower limit above
// its upper limit. How the solve ended is in the result's Status.
func Solve(p Problem) (Result, error) { return SolveFrom(p, Basis{}) }

// SolveFrom solves p from the basis of an earlier result, which saves most of the work after rows were
// appended (cutting planes) or numbers moved a little. A basis that does not fit is not used.
func SolveFrom(p Problem, b Basis) (Result, error) {
	p, err := p.check()
	if err != nil {
		return Result{}, err
	}
	s := equilibrate(p)
	t := newSimplex(p, s)
	t.cold = b.variables != t.n
	t.start(b)
	return report(p, s, t, t.run()), nil
}

// run alternates the dual method, on a cost shifted to suit it, and the primal method on the true cost.
// One round is the rule; more follow only where rounding undid what the other method had reached.
func (t *simplex) run() Status {
	if !t.settledDual() && (t.cold || !t.settledPrimal()) {
		t.seekDualStart()
	}
	for range maxRounds {
		if c, _ := t.mostViolated(); c >= 0 {
			t.shiftCost()
			if s := t.dual(); s != Optimal {
				return s
			}
		}
		if s := t.primal(); s != Optimal {
			return s
		}
		t.factorise()
		if t.settledPrimal() && t.settledDual() {
			return Optimal
		}
	}
	return Stalled
}

// settledPrimal tells whether the vertex is feasible, settledDual whether the multipliers are.
func (t *simplex) settledPrimal() bool {
	c, _ := t.mostViolated()
	return c < 0
}

func (t *simplex) settledDual() bool {
	for k := range t.active {
		if t.wrong(k) > dualTol {
			return false
		}
	}
	return true
}

// report turns the end of the run back into the caller's units, and believes it only if its certificate holds.
func report(p Problem, s scaling, t *simplex, end Status) Result {
	r := Result{
		Status: end, Iterations: t.pivots,
		Basis: Basis{
			variables: t.n,
			active:    append([]int(nil), t.active...),
			at:        append([]hold(nil), t.at...),
		},
	}
	if end == Infeasible {
		r.Farkas = t.conflict(s)
		r.Certificate = proveInfeasible(p, r.Farkas)
		if r.Certificate.Gap > 0 && r.Certificate.DualResidual <= accept {
			return r
		}
		r.Farkas, r.Certificate = nil, Certificate{}
	}
	copy(t.cost, t.given)
	t.factorise()
	r.X, r.RowDual, r.BoundDual = t.point(p, s), t.rowDuals(p, s), make([]float64, t.n)
	r.judge(p, t)
	if end == Unbounded && r.Certificate.PrimalResidual <= accept {
		r.Ray = t.direction(s)
		if provesUnbounded(p, r.Ray) {
			r.RowDual, r.BoundDual = nil, nil
			r.Certificate = Certificate{PrimalResidual: r.Certificate.PrimalResidual}
			return r
		}
		r.Ray = nil
	}
	r.Status = Optimal
	if c := r.Certificate; c.PrimalResidual > accept || c.DualResidual > accept || c.Gap > accept {
		r.Status = Stalled
	}
	return r
}

// point is the vertex in the caller's units: exactly on the bounds it keeps, never beyond any bound.
func (t *simplex) point(p Problem, s scaling) []float64 {
	x := make([]float64, t.n)
	for j := range x {
		x[j] = t.x[j] * s.col[j] * s.size
		if k := t.slot[j]; k >= 0 && t.at[k] == atLo {
			x[j] = p.Lower[j]
		} else if k >= 0 && t.at[k] == atHi {
			x[j] = p.Upper[j]
		}
		x[j] = min(max(x[j], p.Lower[j]), p.Upper[j])
	}
	return x
}

// rowDuals drops signs that the row's limits cannot give: they are within the tolerance.
func (t *simplex) rowDuals(p Problem, s scaling) []float64 {
	y := make([]float64, t.m)
	for k, c := range t.active {
		if i := c - t.n; i >= 0 && t.wrong(k) <= 0 {
			y[i] = t.y[k] * s.cost * s.row[i]
			if p.Maximize {
				y[i] = -y[i]
			}
		}
	}
	return y
}

// conflict gives the rows' multipliers of the last dual step: the violated constraint and the
// active ones that it leans on.
func (t *simplex) conflict(s scaling) []float64 {
	w := make([]float64, t.m)
	t.express(t.farkasRow)
	sign, most := 1.0, 1.0
	if t.farkasHold == atHi {
		sign = -1
	}
	for _, v := range t.alpha {
		most = max(most, math.Abs(v))
	}
	set := func(c int, v float64) {
		if c >= t.n {
			w[c-t.n] = v * s.row[c-t.n]
		}
	}
	set(t.farkasRow, sign)
	for k, c := range t.active {
		v := -sign * t.alpha[k]
		open := t.at[k] == atZero || (t.lo[c] < t.hi[c] && (v > 0) != (t.at[k] == atLo))
		if !open && math.Abs(v) > noise*most {
			set(c, v)
		}
	}
	normalise(w)
	return w
}

// direction is the ray in the caller's units, without what is rounding alone.
func (t *simplex) direction(s scaling) []float64 {
	d := make([]float64, t.n)
	length := math.Sqrt(dot(t.ray, t.ray))
	for j, v := range t.ray {
		if math.Abs(v) > noise*length {
			d[j] = v * s.col[j]
		}
	}
	normalise(d)
	return d
}

// normalise makes the greatest magnitude 1.
func normalise(v []float64) {
	var most float64
	for _, x := range v {
		most = max(most, math.Abs(x))
	}
	if most > 0 {
		for i := range v {
			v[i] /= most
		}
	}
}
