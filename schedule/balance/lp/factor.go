package lp

import "math"

// factorise inverts the active gradients afresh, repairs a dependent set by the bounds of
// variables, and refines vertex and multipliers once against the rounding of the inverse.
func (t *simplex) factorise() {
	b := make([]float64, t.n*t.n)
	for {
		for k, c := range t.active {
			t.gradient(c, b[k*t.n:(k+1)*t.n])
		}
		if t.invert(b) {
			break
		}
	}
	t.fresh = 0
	t.vertex()
	t.multipliers()
	t.refine()
}

// gradient writes that of constraint c; the empty slot has none.
func (t *simplex) gradient(c int, to []float64) {
	switch {
	case c >= t.n:
		copy(to, t.row(c-t.n))
	default:
		clear(to)
		if c >= 0 {
			to[c] = 1
		}
	}
}

// invert does Gauss-Jordan elimination with row pivoting on b into inv. If b lacks rank it gives the
// slots without a pivot the bounds of the variables without one, which always completes a basis, and returns false.
func (t *simplex) invert(b []float64) bool {
	n := t.n
	right := make([]float64, n*n) // starts as the identity, ends as the inverse with rows in pivot order
	for k := range n {
		right[k*n+k] = 1
	}
	pivotRow := make([]int, n) // variable → slot
	used := make([]bool, n)
	whole := true
	for j := range n {
		p, most := -1, rankTol
		for k := range n {
			if v := math.Abs(b[k*n+j]); !used[k] && v > most {
				p, most = k, v
			}
		}
		pivotRow[j] = p
		if p < 0 {
			whole = false
			continue
		}
		used[p] = true
		f := 1 / b[p*n+j]
		scale(f, b[p*n:(p+1)*n])
		scale(f, right[p*n:(p+1)*n])
		for k := range n {
			if g := b[k*n+j]; k != p && g != 0 {
				axpy(-g, b[p*n:(p+1)*n], b[k*n:(k+1)*n])
				axpy(-g, right[p*n:(p+1)*n], right[k*n:(k+1)*n])
			}
		}
	}
	if !whole {
		t.repair(pivotRow, used)
		return false
	}
	for j, p := range pivotRow {
		copy(t.inv[j*n:(j+1)*n], right[p*n:(p+1)*n])
	}
	return true
}

func (t *simplex) repair(pivotRow []int, used []bool) {
	k := 0
	for j, p := range pivotRow {
		if p >= 0 {
			continue
		}
		for used[k] {
			k++
		}
		t.enter(k, j, t.nearHold(j))
		used[k] = true
	}
}

// nearHold prefers the limit that the cost pushes a variable to.
func (t *simplex) nearHold(c int) hold {
	noLo, noHi := math.IsInf(t.lo[c], -1), math.IsInf(t.hi[c], 1)
	switch {
	case noLo && noHi:
		return atValue
	case noLo, !noHi && t.given[c] < 0:
		return atHi
	}
	return atLo
}

// refine takes one step of iterative refinement (Wilkinson 1963) for B x = v and Bᵀ y = force.
func (t *simplex) refine() {
	b, r := make([]float64, t.n), make([]float64, t.n)
	s := append([]float64(nil), t.force...)
	for k, c := range t.active {
		t.gradient(c, b)
		r[k] = t.target(k) - dot(b, t.x)
		axpy(-t.y[k], b, s)
	}
	for j := range t.n {
		inv := t.inv[j*t.n : (j+1)*t.n]
		t.x[j] += dot(inv, r)
		axpy(s[j], inv, t.y)
	}
}

func scale(f float64, v []float64) {
	for i := range v {
		v[i] *= f
	}
}
