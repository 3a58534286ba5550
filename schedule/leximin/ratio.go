package leximin

import "math"

const (
	maxRatios = 40   // steps of Dinkelbach's method; it needs a handful
	nearRatio = 1e-9 // of a ratio: nearer than this counts as reached
)

// ratios is rank 3: the least v by which all ranges must be widened to hold.
func (w *work) ratios(res *Result, x []float64) []float64 {
	v, bound := w.outside(x), 0.0
	for range maxRatios {
		if v <= nearRatio {
			break
		}
		w.ranges(x, v, 1)
		w.only(-1, 1)
		r, err := w.solve()
		if err != nil {
			bound = 0 // unproved; x stands
			break
		}
		bound = max(0, v+min(w.bound(r, false), 0))
		next := w.outside(r.X[:w.n])
		if next >= v-nearRatio {
			break
		}
		x, v = w.x(r), next
	}
	w.ranges(x, v*(1+holdRel)+holdAbs, 0)
	res.Ratio = Stage{v, bound}
	return x
}

func (w *work) outside(x []float64) (v float64) {
	for _, r := range w.Ratios {
		v = max(v, r.outside(x))
	}
	return v
}

// ranges writes the ratios' rows for ranges widened by v and, with share 1, by the level's variable:
// Num·x − (Lo − v) Den·x ≥ −w·D, scaled by D, the denominator at the last x.
func (w *work) ranges(x []float64, v, share float64) {
	for k, q := range w.Ratios {
		size := dot(q.Den, x) + q.Den0
		lo, hi := &w.prog.Rows[w.ratioRow+2*k], &w.prog.Rows[w.ratioRow+2*k+1]
		if size <= 0 {
			continue // dark there: no share to speak of
		}
		for j := range w.n {
			lo.Coef[j] = w.seen(j, (q.Num[j]-(q.Lo-v)*q.Den[j])/size)
			hi.Coef[j] = w.seen(j, (q.Num[j]-(q.Hi+v)*q.Den[j])/size)
		}
		lo.Coef[w.level], hi.Coef[w.level] = share, -share
		lo.Lo, hi.Hi = -(q.Num0-(q.Lo-v)*q.Den0)/size, -(q.Num0-(q.Hi+v)*q.Den0)/size
		if q.Lo <= 0 {
			lo.Lo = math.Inf(-1)
		}
		if q.Hi >= 1 {
			hi.Hi = math.Inf(1)
		}
	}
}
