package lp

import "math"

// stallSteps is how many steps without progress are taken before ties are broken.
const stallSteps = 8

// dual runs the dual simplex method (Lemke, Naval Res. Logist. Q. 1 (1954) 36-47) from multipliers
// that the cost in force makes feasible, until the vertex is feasible: every step takes in the most violated
// constraint, by distance, and lets go the one whose multiplier first reaches zero.
func (t *simplex) dual() Status {
	for stalled := 0; t.pivots < t.limit; {
		c, h := t.mostViolated()
		if c < 0 {
			return Optimal
		}
		t.express(c)
		k, step := t.leaving(h)
		if k < 0 {
			if t.fresh > 0 {
				t.factorise()
				continue
			}
			t.farkasRow, t.farkasHold = c, h
			return Infeasible
		}
		t.pivot(k, c, h)
		if stalled++; step > dualTol {
			stalled = 0
		}
		if stalled > stallSteps {
			t.shift = min(t.shift*4, 1)
			t.shiftCost()
			stalled = 0
		}
	}
	return Stalled
}

// mostViolated finds the constraint that the vertex is farthest outside of, or −1.
func (t *simplex) mostViolated() (int, hold) {
	best, side, worst := -1, atLo, 0.0
	consider := func(c int, v float64) {
		if t.slot[c] >= 0 {
			return
		}
		if d, h := t.violation(c, v); d > worst*t.norm[c] {
			best, side, worst = c, h, d/t.norm[c]
		}
	}
	for j, v := range t.x {
		consider(j, v)
	}
	for i := range t.m {
		consider(t.n+i, dot(t.row(i), t.x))
	}
	return best, side
}

// leaving is the dual ratio test in two passes (Harris, Math. Programming 5 (1973) 1-28): the
// step that keeps all multipliers within tolerance, then the largest pivot within that step.
func (t *simplex) leaving(h hold) (int, float64) {
	sign := 1.0
	if h == atHi {
		sign = -1
	}
	most := 0.0
	for _, v := range t.alpha {
		most = max(most, math.Abs(v))
	}
	blocks := func(k int) (rate, room float64) {
		rate = sign * t.alpha[k]
		switch {
		case math.Abs(rate) <= pivotTol*max(most, 1) || t.lo[t.active[k]] == t.hi[t.active[k]]:
			return 0, 0
		case t.at[k] == atZero:
			return math.Abs(rate), 0
		case t.at[k] == atLo:
			return max(rate, 0), max(t.y[k], 0)
		}
		return max(-rate, 0), max(-t.y[k], 0)
	}
	longest := math.Inf(1)
	for k := range t.n {
		if rate, room := blocks(k); rate > 0 {
			longest = min(longest, (room+dualTol)/rate)
		}
	}
	best, pivot, step := -1, 0.0, 0.0
	for k := range t.n {
		if rate, room := blocks(k); rate > pivot && room/rate <= longest {
			best, pivot, step = k, rate, room/rate
		}
	}
	return best, step
}

// shiftCost changes the cost in force so that every multiplier has a sign its limit can give and
// none is near zero, which both makes any basis a start for the dual method and keeps it from
// cycling. The primal method undoes it. The amounts differ from slot to slot but never from run to run.
func (t *simplex) shiftCost() {
	for k, c := range t.active {
		sign := 1.0
		switch {
		case t.lo[c] == t.hi[c]:
			continue
		case t.at[k] == atZero:
			sign = 0
		case t.at[k] == atHi:
			sign = -1
		}
		if sign*t.y[k] >= t.shift && sign != 0 {
			continue
		}
		t.y[k] = sign * (max(sign*t.y[k], 0) + t.shift*(1+scatter(c)))
	}
	g := make([]float64, t.n)
	clear(t.cost)
	for k, c := range t.active {
		t.gradient(c, g)
		axpy(t.y[k], g, t.cost)
	}
}

// seekDualStart looks for a basis with multipliers of the right sign, so that the dual method can work on the
// true cost: it minimises the cost over the directions that stay within all limits for ever, in a box of ±1 (Koberstein & Suhl,
// Comput. Optim. Appl. 37 (2007) 49-65). Whatever it ends with is only a start.
func (t *simplex) seekDualStart() {
	lo, hi := t.lo, t.hi
	t.lo, t.hi = make([]float64, t.n+t.m), make([]float64, t.n+t.m)
	for c := range lo {
		open := 1.0
		if c >= t.n {
			open = math.Inf(1)
		}
		if math.IsInf(lo[c], -1) {
			t.lo[c] = -open
		}
		if math.IsInf(hi[c], 1) {
			t.hi[c] = open
		}
	}
	t.holdBySign()
	t.vertex()
	t.shiftCost()
	t.dual()
	t.lo, t.hi = lo, hi
	t.holdBySign()
	t.vertex()
}

// holdBySign puts every active constraint at the limit that its multiplier leans on, if there is one.
func (t *simplex) holdBySign() {
	for k, c := range t.active {
		h := atLo
		if t.y[k] < 0 {
			h = atHi
		}
		t.enter(k, c, h)
	}
}

// scatter spreads constraint numbers over 0..1 by the golden ratio (Knuth, TAOCP vol. 3, 6.4).
func scatter(c int) float64 {
	_, f := math.Modf(float64(c+1) * 0.6180339887498949)
	return f
}
