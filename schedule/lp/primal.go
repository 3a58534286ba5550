package lp

import "math"

// primal runs the primal simplex method on the true cost from a feasible vertex: it lets go the active
// constraint whose edge falls most steeply and moves to the next constraint met. After stallSteps steps in
// place it goes over to Bland's rule (Math. Oper. Res. 2 (1977) 103-107), which cannot cycle.
func (t *simplex) primal() Status {
	copy(t.cost, t.given)
	t.multipliers()
	for stalled := 0; t.pivots < t.limit; {
		bland := stalled > stallSteps
		k := t.steepest(bland)
		if k < 0 {
			return Optimal
		}
		d := t.edge(k)
		c, h, step := t.firstMet(k, d, bland)
		if c < 0 {
			if t.fresh > 0 {
				t.factorise()
				continue
			}
			t.ray = d
			return Unbounded
		}
		if stalled++; step > feasTol {
			stalled = 0
		}
		if c == t.active[k] {
			t.at[k] = h
			t.pivots++
			t.vertex()
			continue
		}
		t.express(c)
		t.pivot(k, c, h)
	}
	return Stalled
}

// steepest finds the slot to let go: by Bland's rule the lowest constraint that helps, otherwise the
// one with the greatest fall of cost for each unit of way.
func (t *simplex) steepest(bland bool) int {
	best, most := -1, 0.0
	clear(t.work)
	for j := range t.n {
		for k, v := range t.inv[j*t.n : (j+1)*t.n] {
			t.work[k] += v * v
		}
	}
	for k, c := range t.active {
		w := t.wrong(k)
		if w <= dualTol {
			continue
		}
		if bland {
			if best < 0 || c < t.active[best] {
				best = k
			}
			continue
		}
		if s := w / math.Sqrt(t.work[k]); s > most {
			best, most = k, s
		}
	}
	return best
}

// edge is the way that leaves slot k's constraint to the side that lowers the cost.
func (t *simplex) edge(k int) []float64 {
	d := make([]float64, t.n)
	sign := 1.0
	if t.y[k] > 0 {
		sign = -1
	}
	for j := range d {
		d[j] = sign * t.inv[j*t.n+k]
	}
	return d
}

// firstMet is the primal ratio test along d, in two passes like the dual one; the constraint let go
// counts too, with its other limit. It returns −1 if nothing is ever met.
func (t *simplex) firstMet(k int, d []float64, bland bool) (int, hold, float64) {
	slack := feasTol
	if bland {
		slack = 0
	}
	small := pivotTol * math.Sqrt(dot(d, d))
	rates, rooms := t.rates, t.rooms
	longest := math.Inf(1)
	for c := range rates {
		rates[c], rooms[c] = t.room(c, d, small)
		if r := math.Abs(rates[c]); r > 0 {
			longest = min(longest, (rooms[c]+slack*(1+rooms[c]))/r)
		}
	}
	best, pivot, step := -1, 0.0, 0.0
	for c, rate := range rates {
		r := math.Abs(rate)
		if r == 0 || rooms[c]/r > longest || r <= pivot*t.norm[c] {
			continue
		}
		best, step = c, rooms[c]/r
		if bland {
			break
		}
		pivot = r / t.norm[c]
	}
	own := t.active[k]
	if across := t.hi[own] - t.lo[own]; !math.IsInf(across, 1) && across <= longest {
		return own, 1 - t.at[k], across
	}
	if best >= 0 && rates[best] > 0 {
		return best, atHi, step
	}
	return best, atLo, step
}

// room is how fast constraint c changes along d and how far it may; rate 0 says that it never blocks.
func (t *simplex) room(c int, d []float64, small float64) (rate, room float64) {
	if t.slot[c] >= 0 {
		return 0, 0
	}
	var v float64
	if c < t.n {
		rate, v = d[c], t.x[c]
	} else {
		row := t.row(c - t.n)
		rate, v = dot(row, d), dot(row, t.x)
	}
	switch limit := small * t.norm[c]; {
	case rate > limit && !math.IsInf(t.hi[c], 1):
		return rate, max(t.hi[c]-v, 0)
	case rate < -limit && !math.IsInf(t.lo[c], -1):
		return rate, max(v-t.lo[c], 0)
	}
	return 0, 0
}
