package lp

import "math"

// Tolerances on scaled numbers, which are near 1.
const (
	feasTol       = 1e-9  // violation of a limit, relative to 1 + its magnitude
	dualTol       = 1e-9  // multiplier of the wrong sign
	pivotTol      = 1e-9  // smallest pivot, relative to the greatest candidate
	rankTol       = 1e-11 // smallest pivot when factorising
	refactorEvery = 40    // pivots between fresh factorisations
)

// hold says which limit of a constraint an active slot keeps.
type hold int8

const (
	atLo   hold = iota
	atHi        // at the upper limit
	atZero      // a free variable kept at zero until a pivot releases it
)

// simplex works on the scaled problem: least cost·x, lo ≤ (x, a·x) ≤ hi. Constraint k < n is
// the bound on variable k; constraint n+i is row i. The n active constraints B x = v fix the vertex x, and
// cost = Σ y_k B_k fixes the multipliers y. Only the n×n inverse of B is kept.
type simplex struct {
	n, m   int
	a      []float64 // m×n
	lo, hi []float64 // n+m
	norm   []float64 // n+m: Euclidean length of each gradient
	cost   []float64 // in force, maybe shifted
	given  []float64 // the true cost

	active []int  // slot → constraint
	at     []hold // slot → limit kept
	slot   []int  // constraint → slot or −1
	inv    []float64
	x, y   []float64
	alpha  []float64 // scratch: a gradient in terms of the active ones
	work   []float64 // scratch, n
	rates  []float64 // scratch, n+m
	rooms  []float64 // scratch, n+m

	cold   bool    // started from no basis
	shift  float64 // size of the next cost shift
	fresh  int     // pivots since the last factorisation
	pivots int
	limit  int

	farkasRow  int  // for Infeasible: the constraint in conflict with the active ones
	farkasHold hold // and its limit
	ray        []float64
}

func newSimplex(p Problem, s scaling) *simplex {
	n, m := len(p.Cost), len(p.Rows)
	t := &simplex{
		n: n, m: m, a: make([]float64, m*n),
		lo: make([]float64, n+m), hi: make([]float64, n+m), norm: ones(n + m),
		given: make([]float64, n), cost: make([]float64, n),
		active: make([]int, n), at: make([]hold, n), slot: make([]int, n+m),
		inv: make([]float64, n*n), x: make([]float64, n), y: make([]float64, n),
		alpha: make([]float64, n), work: make([]float64, n),
		rates: make([]float64, n+m), rooms: make([]float64, n+m),
		shift: 1e-6, limit: 2000 + 100*n,
	}
	for j, c := range p.Cost {
		t.given[j] = c * s.col[j] / s.cost
		if p.Maximize {
			t.given[j] = -t.given[j]
		}
		t.lo[j] = p.Lower[j] / (s.col[j] * s.size)
		t.hi[j] = p.Upper[j] / (s.col[j] * s.size)
	}
	for i, r := range p.Rows {
		row, sum := t.row(i), 0.0
		for j, v := range r.Coef {
			row[j] = s.row[i] * v * s.col[j]
			sum += row[j] * row[j]
		}
		if sum > 0 {
			t.norm[n+i] = math.Sqrt(sum)
		}
		t.lo[n+i] = r.Lo * s.row[i] / s.size
		t.hi[n+i] = r.Hi * s.row[i] / s.size
	}
	copy(t.cost, t.given)
	return t
}

func (t *simplex) row(i int) []float64 { return t.a[i*t.n : (i+1)*t.n] }

// start makes a basis active. Constraints that do not exist, or repeat, or depend on
// others are replaced by bounds of variables when it is factorised.
func (t *simplex) start(b Basis) {
	for k := range t.slot {
		t.slot[k] = -1
	}
	for k := range t.n {
		t.active[k] = -1
		if b.variables != t.n || b.active[k] >= t.n+t.m || t.slot[b.active[k]] >= 0 {
			continue
		}
		t.enter(k, b.active[k], b.at[k])
	}
	t.factorise()
}

// enter puts constraint c into slot k at limit h, or at the limit that exists.
func (t *simplex) enter(k, c int, h hold) {
	if (h == atLo && math.IsInf(t.lo[c], -1)) || (h == atHi && math.IsInf(t.hi[c], 1)) || h == atZero {
		h = t.nearHold(c)
	}
	if old := t.active[k]; old >= 0 {
		t.slot[old] = -1
	}
	t.active[k], t.at[k], t.slot[c] = c, h, k
}

// nearHold prefers the limit that the cost pushes a variable to.
func (t *simplex) nearHold(c int) hold {
	noLo, noHi := math.IsInf(t.lo[c], -1), math.IsInf(t.hi[c], 1)
	switch {
	case noLo && noHi:
		return atZero
	case noLo, !noHi && c < t.n && t.given[c] < 0:
		return atHi
	}
	return atLo
}

// target is the value that slot k keeps its constraint at.
func (t *simplex) target(k int) float64 {
	switch t.at[k] {
	case atLo:
		return t.lo[t.active[k]]
	case atHi:
		return t.hi[t.active[k]]
	}
	return 0
}

// wrong is by how much multiplier k has a sign that its limit cannot give.
func (t *simplex) wrong(k int) float64 {
	if t.lo[t.active[k]] == t.hi[t.active[k]] {
		return 0
	}
	switch t.at[k] {
	case atLo:
		return -t.y[k]
	case atHi:
		return t.y[k]
	}
	return math.Abs(t.y[k])
}

// violation is how far constraint c with value v lies outside, beyond tolerance, and on which side.
func (t *simplex) violation(c int, v float64) (float64, hold) {
	if d := t.lo[c] - v; d > feasTol*(1+math.Abs(t.lo[c])) {
		return d, atLo
	}
	if d := v - t.hi[c]; d > feasTol*(1+math.Abs(t.hi[c])) {
		return d, atHi
	}
	return 0, atLo
}

// express writes the gradient of constraint c as Σ alpha_k B_k.
func (t *simplex) express(c int) {
	if c < t.n {
		copy(t.alpha, t.inv[c*t.n:(c+1)*t.n])
		return
	}
	clear(t.alpha)
	for j, v := range t.row(c - t.n) {
		axpy(v, t.inv[j*t.n:(j+1)*t.n], t.alpha)
	}
}

// pivot replaces the constraint of slot k by c; alpha must express c.
func (t *simplex) pivot(k, c int, h hold) {
	p := t.alpha[k]
	for j := range t.n {
		row := t.inv[j*t.n : (j+1)*t.n]
		f := row[k] / p
		if f == 0 {
			continue
		}
		axpy(-f, t.alpha, row)
		row[k] = f
	}
	t.enter(k, c, h)
	t.pivots++
	if t.fresh++; t.fresh >= refactorEvery {
		t.factorise()
		return
	}
	t.vertex()
	t.multipliers()
}

// vertex computes x from the active constraints.
func (t *simplex) vertex() {
	for k := range t.n {
		t.work[k] = t.target(k)
	}
	for j := range t.n {
		t.x[j] = dot(t.inv[j*t.n:(j+1)*t.n], t.work)
	}
}

// multipliers computes y from the cost in force.
func (t *simplex) multipliers() {
	clear(t.y)
	for j, c := range t.cost {
		axpy(c, t.inv[j*t.n:(j+1)*t.n], t.y)
	}
}

func dot(a, b []float64) float64 {
	b = b[:len(a)]
	var s0, s1 float64
	i := 0
	for ; i+1 < len(a); i += 2 {
		s0 += a[i] * b[i]
		s1 += a[i+1] * b[i+1]
	}
	if i < len(a) {
		s0 += a[i] * b[i]
	}
	return s0 + s1
}

func axpy(f float64, x, y []float64) {
	if f == 0 {
		return
	}
	y = y[:len(x)]
	for i, v := range x {
		y[i] += f * v
	}
}
