package lp

import (
	"cmp"
	"math"
	"slices"
)

const stallSteps = 8 // steps without progress before Bland's rule

// stop is a limit that the way along an edge reaches: how far off, and by how much the cost rises
// faster beyond it; +Inf for a hard limit, which ends the way.
type stop struct {
	c    int
	h    hold
	far  float64
	jump float64
}

// primal runs the primal simplex method: it lets go the active constraint whose edge falls most steeply
// and goes along it, past soft limits while the cost still falls beyond them. After stallSteps steps in place
// it goes over to Bland's rule (Math. Oper. Res. 2 (1977) 103-107).
func (t *simplex) primal() Status {
	t.look()
	for stalled := 0; t.pivots < t.limit; {
		if t.seeking && !t.broken() {
			return Optimal
		}
		bland := stalled > stallSteps
		k, fall, dir := t.steepest(bland)
		if k < 0 {
			return Optimal
		}
		d := t.edge(k, dir)
		at, ok := t.reach(k, d, dir, fall, bland)
		if !ok {
			if t.fresh > 0 {
				t.refresh()
				continue
			}
			t.ray = d
			return Unbounded
		}
		if stalled++; t.stops[at].far > feasTol {
			stalled = 0
		}
		t.step(k, d, dir, at)
	}
	return Stalled
}

func (t *simplex) refresh() {
	t.factorise()
	t.look()
}

// steepest finds the slot to let go and to which side: by Bland's rule the lowest constraint that helps,
// otherwise the one with the greatest fall of cost for each unit of way.
func (t *simplex) steepest(bland bool) (best int, fall, dir float64) {
	best = -1
	most := 0.0
	clear(t.work)
	for j := range t.n {
		for k, v := range t.inv[j*t.n : (j+1)*t.n] {
			t.work[k] += v * v
		}
	}
	for k, c := range t.active {
		w, to := t.wrong(k)
		if w <= dualTol {
			continue
		}
		if bland {
			if best < 0 || c < t.active[best] {
				best, fall, dir = k, w, to
			}
			continue
		}
		if s := w / math.Sqrt(t.work[k]); s > most {
			best, most, fall, dir = k, s, w, to
		}
	}
	return best, fall, dir
}

// edge is the way on which slot k's constraint alone moves, a unit to the side dir.
func (t *simplex) edge(k int, dir float64) []float64 {
	d := make([]float64, t.n)
	for j := range d {
		d[j] = dir * t.inv[j*t.n+k]
	}
	return d
}

// reach lists the stops on the way d in order and finds the one to end at: the first behind which the cost no
// longer falls, of those about as near the one with the largest pivot (Harris, Math. Programming 5 (1973) 1-28).
func (t *simplex) reach(k int, d []float64, dir, fall float64, bland bool) (at int, ok bool) {
	t.survey(k, d, dir)
	slack := feasTol
	if bland {
		slack = 0
	}
	longest := math.Inf(1)
	for _, s := range t.stops {
		if math.IsInf(s.jump, 1) {
			longest = min(longest, s.far+slack*(1+t.magnitude(s))/math.Abs(t.rates[s.c]))
		}
	}
	t.stops = slices.DeleteFunc(t.stops, func(s stop) bool { return s.far > longest })
	slices.SortFunc(t.stops, func(a, b stop) int { return cmp.Or(cmp.Compare(a.far, b.far), cmp.Compare(a.c, b.c)) })
	at = -1
	for i, s := range t.stops {
		if fall -= s.jump; fall > dualTol {
			continue
		}
		if !math.IsInf(s.jump, 1) {
			longest = min(longest, s.far+slack*(1+t.magnitude(s))/math.Abs(t.rates[s.c]))
		}
		at = i
		break
	}
	if at < 0 || bland {
		return at, at >= 0
	}
	for i := at + 1; i < len(t.stops) && t.stops[i].far <= longest; i++ {
		if t.pivotOf(i) > t.pivotOf(at) {
			at = i
		}
	}
	return at, true
}

func (t *simplex) pivotOf(i int) float64 {
	c := t.stops[i].c
	return math.Abs(t.rates[c]) / t.norm[c]
}

func (t *simplex) magnitude(s stop) float64 {
	if s.h == atLo {
		return math.Abs(t.lo[s.c])
	}
	return math.Abs(t.hi[s.c])
}

// survey fills in rates and stops.
func (t *simplex) survey(k int, d []float64, dir float64) {
	small := pivotTol * math.Sqrt(dot(d, d))
	t.stops = t.stops[:0]
	for c := range t.rates {
		t.rates[c] = 0
		if math.IsInf(t.lo[c], -1) && math.IsInf(t.hi[c], 1) && t.slot[c] < 0 {
			continue
		}
		if t.slot[c] >= 0 {
			if t.slot[c] == k {
				t.rates[c] = dir
				t.own(c, k, dir)
			}
			continue
		}
		rate := 0.0
		if c < t.n {
			rate = d[c]
		} else {
			rate = dot(t.row(c-t.n), d)
		}
		if math.Abs(rate) > small*t.norm[c] {
			t.rates[c] = rate
			t.meet(c, rate, t.sides[c])
		}
	}
}

// own adds the stops of the constraint let go itself.
func (t *simplex) own(c, k int, dir float64) {
	switch h := t.at[k]; {
	case h == atValue:
		t.meet(c, dir, t.sides[c])
	case t.lo[c] == t.hi[c]:
	case h == atLo && dir > 0:
		t.add(c, dir, atHi)
	case h == atHi && dir < 0:
		t.add(c, dir, atLo)
	}
}

// meet adds the limits that constraint c meets when it changes at a rate.
func (t *simplex) meet(c int, rate float64, s side) {
	switch {
	case rate > 0 && s == below:
		t.add(c, rate, atLo)
		t.add(c, rate, atHi)
	case rate > 0 && s == between:
		t.add(c, rate, atHi)
	case rate < 0 && s == above:
		t.add(c, rate, atHi)
		t.add(c, rate, atLo)
	case rate < 0 && s == between:
		t.add(c, rate, atLo)
	}
}

func (t *simplex) add(c int, rate float64, h hold) {
	limit := t.lo[c]
	if h == atHi {
		limit = t.hi[c]
	}
	if price := t.price(c); price > 0 && !math.IsInf(limit, 0) {
		t.stops = append(t.stops, stop{c, h, max((limit-t.value[c])/rate, 0), price * math.Abs(rate)})
	}
}

// step goes to a stop: what it passes changes sides, and the stop's constraint takes slot k.
func (t *simplex) step(k int, d []float64, dir float64, at int) {
	end, left := t.stops[at], t.active[k]
	if t.at[k] != atValue { // it goes free: inside its limits, or straight to excess
		t.sides[left] = between
		if t.lo[left] == t.hi[left] || (t.at[k] == atLo) == (dir < 0) {
			t.sides[left] = side(dir)
			t.push(left, dir)
		}
	}
	for _, s := range t.stops[:at] {
		t.pass(s)
	}
	t.pivots++
	if end.c == left {
		if t.at[k] == atValue {
			t.push(left, -float64(t.sides[left]))
		}
		t.at[k] = end.h
	} else {
		t.push(end.c, -float64(t.sides[end.c]))
		t.express(end.c)
		t.pivot(k, end.c, end.h)
	}
	for c, rate := range t.rates {
		t.value[c] += end.far * rate
	}
	if t.fresh >= refactorEvery {
		t.refresh()
		return
	}
	t.vertex()
	t.multipliers()
}

// pass moves a constraint over a limit; a hard one is only touched, within the tolerance.
func (t *simplex) pass(s stop) {
	if math.IsInf(s.jump, 1) {
		return
	}
	way := above
	if t.rates[s.c] < 0 {
		way = below
	}
	t.sides[s.c] += way
	t.push(s.c, float64(way))
}
