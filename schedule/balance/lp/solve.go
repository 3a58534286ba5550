package lp

import "math"

const (
	accept    = 1e-7 // greatest relative residual and gap of an answer that counts as proven
	maxRounds = 12   // of seeking a vertex and then the best one
)

// Basis remembers the vertex at the end of a solve and which constraints were active there.
// It stays good when rows are appended or any number in the problem changes.
type Basis struct {
	variables int
	active    []int
	x         []float64
}

// Solve solves p. The error says what makes p no linear programme: wrong lengths, NaN, a lower limit above
// its upper limit. How the solve ended is in the result's Status.
func Solve(p Problem) (Result, error) { return SolveFrom(p, Basis{}) }

// SolveFrom solves p from where an earlier solve ended, which saves most of the work after rows were
// appended (cutting planes) or the cost changed. A basis that does not fit is not used.
func SolveFrom(p Problem, b Basis) (Result, error) {
	p, err := p.check()
	if err != nil {
		return Result{}, err
	}
	s := equilibrate(p)
	t := newSimplex(p, s)
	t.start(b, s)
	return report(p, s, t, t.run()), nil
}

// run seeks a vertex within all hard limits, then the best. One round is the rule; more follow only where rounding
// undid what was reached.
func (t *simplex) run() Status {
	for range maxRounds {
		t.seeking = false
		if t.look(); t.broken() {
			t.seeking = true
			if s := t.primal(); s != Optimal {
				return Stalled
			}
			if t.refresh(); t.broken() {
				if t.settled() {
					return Infeasible
				}
				continue
			}
			t.seeking = false
		}
		if s := t.primal(); s != Optimal {
			return s
		}
		if t.refresh(); !t.broken() && t.settled() {
			return Optimal
		}
	}
	return Stalled
}

// settled tells whether no edge falls.
func (t *simplex) settled() bool {
	for k := range t.active {
		if w, _ := t.wrong(k); w > dualTol {
			return false
		}
	}
	return true
}

// report turns the end of the run back into the caller's units, and believes it only if its certificate holds.
func report(p Problem, s scaling, t *simplex, end Status) Result {
	r := Result{Status: end, Iterations: t.pivots}
	if end == Infeasible {
		r.Farkas = t.conflict(s)
		r.Certificate = proveInfeasible(p, r.Farkas)
		if r.Certificate.Gap > 0 && r.Certificate.DualResidual <= accept {
			r.Basis = t.basis(t.point(p, s))
			return r
		}
		r.Farkas, r.Certificate = nil, Certificate{}
	}
	t.seeking = false
	t.refresh()
	r.X, r.RowDual, r.BoundDual = t.point(p, s), t.rowDuals(p, s), make([]float64, t.n)
	r.Basis = t.basis(r.X)
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

func (t *simplex) basis(x []float64) Basis {
	return Basis{variables: t.n, active: append([]int(nil), t.active...), x: append([]float64(nil), x...)}
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

// rowDuals are the multipliers of the rows kept at a limit, as far as that limit can give them, and the prices of excess.
func (t *simplex) rowDuals(p Problem, s scaling) []float64 {
	y := make([]float64, t.m)
	for i := range y {
		c := t.n + i
		v := 0.0
		if k := t.slot[c]; k >= 0 && t.at[k] != atValue {
			most, least := t.soft[c], -t.soft[c]
			if t.lo[c] < t.hi[c] && t.at[k] == atLo {
				least = 0
			} else if t.lo[c] < t.hi[c] {
				most = 0
			}
			v = min(max(t.y[k], least), most)
		} else if t.sides[c] != between && !math.IsInf(t.soft[c], 1) {
			v = -float64(t.sides[c]) * t.soft[c]
		}
		y[i] = v * s.cost * s.row[i]
		if p.Maximize {
			y[i] = -y[i]
		}
	}
	return y
}

// conflict gives the rows' multipliers at the vertex of least excess: what is broken leans on what is kept.
func (t *simplex) conflict(s scaling) []float64 {
	w := make([]float64, t.m)
	most := 0.0
	for i := range w {
		c := t.n + i
		if k := t.slot[c]; k >= 0 && t.at[k] != atValue {
			w[i] = t.y[k]
			open := t.lo[c] < t.hi[c] && (w[i] > 0) != (t.at[k] == atLo)
			if open || !math.IsInf(t.soft[c], 1) {
				w[i] = 0
			}
		} else if math.IsInf(t.soft[c], 1) {
			w[i] = -float64(t.sides[c]) / t.norm[c]
		}
		most = max(most, math.Abs(w[i]))
	}
	for i := range w {
		if math.Abs(w[i]) <= noise*most {
			w[i] = 0
		}
		w[i] *= s.row[i]
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
