package balance

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/balance/lp"
)

// holding lists what has a price in a programme, dearest first.
func (k *solver) holding(r lp.Result) []hold {
	var out []hold
	at := map[hold]int{} // of kind and index
	add := func(kind holdKind, i int, price float64) {
		if price <= priced {
			return
		}
		j, there := at[hold{kind, i, 0}]
		if !there {
			j = len(out)
			at[hold{kind, i, 0}] = j
			out = append(out, hold{kind, i, 0})
		}
		out[j].price += price
	}
	for i, y := range r.RowDual {
		switch of := k.rows[i]; of.kind {
		case cutRow:
			add(atLimit, k.program.cuts[of.index].key, -y)
		case wishRow:
			add(tooLow, of.index, y)
			add(tooHigh, of.index, -y)
		}
	}
	for j := range k.n {
		add(atUpper, j, -r.BoundDual[j])
		add(atLower, j, r.BoundDual[j])
	}
	slices.SortStableFunc(out, func(a, b hold) int { return cmp.Compare(b.price, a.price) })
	return out
}

const (
	hair   = 1e-5 // of its range: a variable so near a bound may be put onto it
	unseen = 5e-8 // what that may cost a form beyond what ranks left it
)

// tidy puts variables that are a hair from a bound, through the room left to settled ranks, onto it
// where no rank notices.
func (k *solver) tidy() {
	for j, v := range k.x {
		for _, end := range [2]float64{k.lower[j], k.upper[j]} {
			if v == end || math.Abs(v-end) > hair*(k.upper[j]-k.lower[j]) {
				continue
			}
			next := slices.Clone(k.x)
			if next[j] = end; k.keeps(next) {
				k.x = next
			}
		}
	}
}

func (k *solver) keeps(x []float64) bool {
	for i := range k.forms {
		f := &k.forms[i]
		if v := f.at(x); v < f.lo-unseen || v > f.hi+unseen {
			return false
		}
	}
	for _, c := range k.limits(x) {
		if dot(c.coef, x) > c.hi+zero {
			return false
		}
	}
	return true
}
