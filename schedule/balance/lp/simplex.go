package lp

import "math"

// Tolerances on scaled numbers, which are near 1.
const (
	feasTol       = 1e-9  // violation of a limit, relative to 1 + its magnitude
	dualTol       = 1e-9  // multiplier outside what its limit can give
	pivotTol      = 1e-9  // smallest pivot, relative to the greatest candidate
	rankTol       = 1e-11 // smallest pivot when factorising
	refactorEvery = 40    // pivots between fresh factorisations
)

// hold says where an active constraint is kept.
type hold int8

const (
	atLo    hold = iota
	atHi         // at the upper limit
	atValue      // at a value of its own until a pivot releases it: no limit holds it there
)

// side says where a constraint that is not kept at a limit lies.
type side int8

const (
	below   side = -1 // its lower limit
	between side = 0
	above   side = 1
)

// simplex works on the scaled problem: least cost·x + Σ soft·(excess over limits), lo ≤ (x, a·x) ≤ hi. Constraint k < n
// is the bound on variable k; constraint n+i is row i. The n active constraints B x = v fix the vertex x, and
// force = Σ y_k B_k fixes the multipliers y. Only the n×n inverse of B is kept.
type simplex struct {
	n, m   int
	a      []float64 // m×n
	lo, hi []float64 // n+m
	soft   []float64 // n+m: price of each unit of excess; +Inf: none is allowed
	norm   []float64 // n+m: Euclidean length of each gradient
	given  []float64 // the cost
	force  []float64 // the cost with the gradients of all excesses there are now

	active []int     // slot → constraint
	at     []hold    // slot → limit kept
	held   []float64 // slot → value kept, for atValue
	slot   []int     // constraint → slot or −1
	sides  []side    // of each constraint that no limit keeps
	value  []float64 // n+m: of each constraint at x
	inv    []float64
	x, y   []float64
	alpha  []float64 // scratch: a gradient in terms of the active ones
	work   []float64 // scratch, n
	rates  []float64 // scratch, n+m
	stops  []stop    // scratch

	seeking bool // a feasible vertex: excess over hard limits is all that costs
	fresh   int  // pivots since the last factorisation
	pivots  int
	limit   int
	ray     []float64
}

func newSimplex(p Problem, s scaling) *simplex {
	n, m := len(p.Cost), len(p.Rows)
	t := &simplex{
		n: n, m: m, a: make([]float64, m*n),
		lo: make([]float64, n+m), hi: make([]float64, n+m), norm: ones(n + m), soft: make([]float64, n+m),
		given: make([]float64, n), force: make([]float64, n),
		active: make([]int, n), at: make([]hold, n), held: make([]float64, n), slot: make([]int, n+m),
		sides: make([]side, n+m), value: make([]float64, n+m),
		inv: make([]float64, n*n), x: make([]float64, n), y: make([]float64, n),
		alpha: make([]float64, n), work: make([]float64, n), rates: make([]float64, n+m),
		limit: 2000 + 100*n,
	}
	for j, c := range p.Cost {
		t.given[j] = c * s.col[j] / s.cost
		if p.Maximize {
			t.given[j] = -t.given[j]
		}
		t.lo[j] = p.Lower[j] / (s.col[j] * s.size)
		t.hi[j] = p.Upper[j] / (s.col[j] * s.size)
		t.soft[j] = math.Inf(1)
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
		if t.soft[n+i] = math.Inf(1); r.Soft > 0 {
			t.soft[n+i] = r.Soft / (s.row[i] * s.cost)
		}
	}
	return t
}

func (t *simplex) row(i int) []float64 { return t.a[i*t.n : (i+1)*t.n] }

// start makes a basis active at the vertex that it was left at. Constraints that do not exist, or repeat, or
// depend on others are replaced by bounds of variables when it is factorised.
func (t *simplex) start(b Basis, s scaling) {
	for k := range t.slot {
		t.slot[k] = -1
	}
	known := b.variables == t.n
	if known {
		for j := range t.x {
			t.x[j] = b.x[j] / (s.col[j] * s.size)
		}
	}
	for k := range t.n {
		t.active[k] = -1
		if known && b.active[k] < t.n+t.m && t.slot[b.active[k]] < 0 {
			t.keep(k, b.active[k])
		}
	}
	t.factorise()
}

// keep puts constraint c into slot k where x has it, or as near as its limits allow.
func (t *simplex) keep(k, c int) {
	v := t.at0(c)
	soft := !math.IsInf(t.soft[c], 1)
	switch {
	case math.Abs(v-t.lo[c]) <= 10*feasTol*(1+math.Abs(v)), v < t.lo[c] && !soft:
		t.enter(k, c, atLo)
	case math.Abs(v-t.hi[c]) <= 10*feasTol*(1+math.Abs(v)), v > t.hi[c] && !soft:
		t.enter(k, c, atHi)
	default:
		t.enter(k, c, atValue)
		t.held[k] = v
	}
}

// at0 is the value of constraint c at x, worked out afresh.
func (t *simplex) at0(c int) float64 {
	if c < t.n {
		return t.x[c]
	}
	return dot(t.row(c-t.n), t.x)
}

// enter puts constraint c into slot k at limit h.
func (t *simplex) enter(k, c int, h hold) {
	if old := t.active[k]; old >= 0 {
		t.slot[old] = -1
	}
	t.active[k], t.at[k], t.held[k], t.slot[c] = c, h, 0, k
}

// target is the value that slot k keeps its constraint at.
func (t *simplex) target(k int) float64 {
	switch t.at[k] {
	case atLo:
		return t.lo[t.active[k]]
	case atHi:
		return t.hi[t.active[k]]
	}
	return t.held[k]
}

// price is what a unit of excess of constraint c costs in this phase.
func (t *simplex) price(c int) float64 {
	if !t.seeking {
		return t.soft[c]
	}
	if math.IsInf(t.soft[c], 1) {
		return 1 / t.norm[c]
	}
	return 0
}

// wrong is by how much the cost falls for each unit that the constraint of slot k moves away to the side
// dir, +1 or −1; not above zero where staying is best.
func (t *simplex) wrong(k int) (fall, dir float64) {
	c, y := t.active[k], t.y[k]
	up, down := -y, y // what moving up, moving down wins when it costs nothing by itself
	if t.at[k] != atValue {
		price := t.price(c)
		if t.at[k] == atHi || t.lo[c] == t.hi[c] {
			up -= price
		}
		if t.at[k] == atLo || t.lo[c] == t.hi[c] {
			down -= price
		}
	}
	if up >= down {
		return up, 1
	}
	return down, -1
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
	t.fresh++
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
	for j, c := range t.force {
		axpy(c, t.inv[j*t.n:(j+1)*t.n], t.y)
	}
}

// counts tells whether c's side is its own: it is not kept at a limit.
func (t *simplex) counts(c int) bool { return t.slot[c] < 0 || t.at[t.slot[c]] == atValue }

// look finds every constraint's value and side afresh, and from them the cost in force. On a limit the side
// that a constraint came from stands, since the multipliers rest on it.
func (t *simplex) look() {
	copy(t.force, t.given)
	if t.seeking {
		clear(t.force)
	}
	for c := range t.value {
		t.value[c] = t.at0(c)
		if off := t.outside(c); off != between || t.price(c) == 0 || math.IsInf(t.price(c), 1) ||
			(t.sides[c] == below && t.value[c] > t.lo[c]+room(t.lo[c])) || (t.sides[c] == above && t.value[c] < t.hi[c]-room(t.hi[c])) {
			t.sides[c] = off
		}
		if t.counts(c) {
			t.push(c, float64(t.sides[c]))
		}
	}
	t.multipliers()
}

// room is the tolerance of a limit.
func room(limit float64) float64 { return feasTol * (1 + math.Abs(limit)) }

// outside is the side on which constraint c breaks a limit by more than the tolerance.
func (t *simplex) outside(c int) side {
	switch v := t.value[c]; {
	case v < t.lo[c]-room(t.lo[c]):
		return below
	case v > t.hi[c]+room(t.hi[c]):
		return above
	}
	return between
}

// push adds times the price of c's excess to the cost in force; hard limits have none that could be added.
func (t *simplex) push(c int, times float64) {
	price := t.price(c)
	switch {
	case times == 0 || price == 0 || math.IsInf(price, 1):
	case c < t.n:
		t.force[c] += times * price
	default:
		axpy(times*price, t.row(c-t.n), t.force)
	}
}

// broken tells whether a hard limit is.
func (t *simplex) broken() bool {
	for c := range t.value {
		if math.IsInf(t.soft[c], 1) && t.counts(c) && t.outside(c) != between {
			return true
		}
	}
	return false
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
