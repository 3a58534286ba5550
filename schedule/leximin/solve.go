package leximin

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/lp"
)

// Solve settles all ranks. An error means that the limits cannot all be met, or that the
// numbers are beyond float64.
func Solve(p Problem) (Result, error) {
	w := newWork(p)
	res := Result{LevelOf: make([]int, len(p.Aims))}
	x, err := w.levels(&res)
	if err != nil {
		return res, err
	}
	x = w.last(&res, w.ratios(&res, x))
	res.X, res.Cuts, res.Pivots = w.tidy(res, x), len(w.cuts), w.pivots
	for i, d := range p.Departures(res.X) {
		res.Gap = max(res.Gap, d-res.Levels[res.LevelOf[i]].Bound)
	}
	return res, nil
}

// tidy puts variables that are a hair from a bound, through the room left to settled ranks, onto it
// where no rank notices.
func (w *work) tidy(res Result, x []float64) []float64 {
	for j, v := range x {
		for _, end := range [2]float64{w.Lower[j], w.Upper[j]} {
			if v == end || math.Abs(v-end) > hair*(w.Upper[j]-w.Lower[j]) {
				continue
			}
			next := append([]float64(nil), x...)
			if next[j] = end; w.keeps(res, next) {
				x = next
			}
		}
	}
	return x
}

func (w *work) keeps(res Result, x []float64) bool {
	for i, a := range w.Aims {
		if a.Departure(x) > res.Levels[res.LevelOf[i]].Bound+unseen {
			return false
		}
	}
	if w.Limits != nil {
		for _, c := range w.Limits(x) {
			if dot(c.Coef, x) > c.Hi+zero {
				return false
			}
		}
	}
	return w.outside(x) <= res.Ratio.Value+unseen
}

// levels is rank 2. Without aims one stage still finds an x within the limits.
func (w *work) levels(res *Result) ([]float64, error) {
	var x []float64
	for left := len(w.Aims); ; {
		w.aims()
		w.fresh = x == nil
		w.only(0, w.prog.Upper[w.level])
		r, err := w.solve()
		if err != nil {
			if x != nil {
				w.leave(res, x)
				return x, nil
			}
			return nil, err
		}
		x = w.x(r)
		l := Level{Stage: Stage{r.Value, w.bound(r, len(res.Levels) == 0)}}
		if r.Value > zero {
			l.Holds = w.holds(r)
		}
		l.Aims = w.settle(r)
		for _, i := range l.Aims {
			res.LevelOf[i] = len(res.Levels)
			w.settled[i] = r.Value*(1+holdRel) + holdAbs
		}
		res.Levels = append(res.Levels, l)
		if left -= len(l.Aims); left <= 0 {
			w.aims()
			return x, nil
		}
	}
}

// leave settles what is open where it is, with no proof: the bound is zero.
func (w *work) leave(res *Result, x []float64) {
	l := Level{}
	for i, s := range w.settled {
		if s < 0 {
			d := w.Aims[i].Departure(x)
			w.settled[i], res.LevelOf[i] = d*(1+holdRel)+holdAbs, len(res.Levels)
			l.Aims, l.Value = append(l.Aims, i), max(l.Value, d)
		}
	}
	res.Levels = append(res.Levels, l)
	w.aims()
}

func (w *work) x(r lp.Result) []float64 { return append([]float64(nil), r.X[:w.n]...) }

// settle lists the open aims that cannot be better than the level: all when it is zero.
func (w *work) settle(r lp.Result) []int {
	var out []int
	best, most := -1, 0.0
	for i, s := range w.settled {
		if s >= 0 {
			continue
		}
		y := math.Abs(r.RowDual[2*i]) + math.Abs(r.RowDual[2*i+1])
		if r.Value <= zero || y > tightDual {
			out = append(out, i)
		}
		if best < 0 || y > most {
			best, most = i, y
		}
	}
	if len(out) == 0 && best >= 0 {
		out = []int{best}
	}
	return out
}

// holds lists what has a price in the stage, dearest first.
func (w *work) holds(r lp.Result) []Hold {
	var out []Hold
	add := func(k Kind, i int, price float64) {
		if price <= tightDual {
			return
		}
		for j := range out {
			if out[j].Kind == k && out[j].Index == i {
				out[j].Price += price
				return
			}
		}
		out = append(out, Hold{k, i, price})
	}
	for i := range w.Aims {
		add(TooHigh, i, -r.RowDual[2*i])
		add(TooLow, i, r.RowDual[2*i+1])
	}
	for i, c := range w.cuts {
		add(AtCut, c.Key, -r.RowDual[w.cutRow+i])
	}
	for j := range w.n {
		add(AtUpper, j, -r.BoundDual[j])
		add(AtLower, j, r.BoundDual[j])
	}
	slices.SortStableFunc(out, func(a, b Hold) int { return cmp.Compare(b.Price, a.Price) })
	return out
}

// last is rank 4.
func (w *work) last(res *Result, x []float64) []float64 {
	w.only(0, 0)
	w.prog.Cost[w.level] = 0
	copy(w.prog.Cost, w.Cost)
	if w.change >= 0 {
		clear(w.prog.Cost[:w.n])
		for j := range w.n {
			up, down := w.ratioRow+2*len(w.Ratios)+2*j, w.ratioRow+2*len(w.Ratios)+2*j+1
			w.prog.Rows[up].Hi, w.prog.Rows[down].Lo = w.From[j], w.From[j]
			w.prog.Cost[w.change+j] = 1
		}
	}
	r, err := w.solve()
	if err != nil {
		res.Last.Value = dot(w.Cost, x) // unproved; x stands
		return x
	}
	res.Last = Stage{r.Value, w.bound(r, false)}
	return w.x(r)
}
