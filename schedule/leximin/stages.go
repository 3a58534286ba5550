package leximin

import (
	"fmt"
	"math"

	"dayloom/schedule/lp"
)

const (
	zero      = 1e-9 // a departure below this is none
	holdRel   = 1e-7 // room left to what is settled: relative,
	holdAbs   = 1e-8 // and absolute
	tightDual = 1e-7 // a multiplier above this proves its inequality tight
	hair      = 1e-5 // of its range: a variable so near a bound may be put onto it
	unseen    = 2e-7 // what that may cost a departure or a ratio beyond its bound
	unfelt    = 1e-9 // of a target or limit: a variable that can do no more to it does nothing
	maxRounds = 400  // of cutting planes in one stage
)

// work is the linear programme that all stages share; stages change its numbers, never its
// rows, so that each starts from the last one's basis. Rows: two for each aim (not above, not below),
// two for each ratio, two for each variable when change counts, then the cuts.
type work struct {
	Problem
	n, level, change int // variables; index of the level's variable; index of the first change, or -1
	prog             lp.Problem
	ratioRow, cutRow int
	cuts             []Cut
	basis            lp.Basis
	settled          []float64 // of each aim; negative: open
	fresh            bool      // nothing is settled yet
	pivots           int
}

func newWork(p Problem) *work {
	w := &work{Problem: p, n: len(p.Lower), level: len(p.Lower), change: -1}
	w.prog.Lower = append(append([]float64(nil), p.Lower...), 0)
	w.prog.Upper = append(append([]float64(nil), p.Upper...), w.most())
	if p.From != nil {
		w.change = len(w.prog.Lower)
		for j := range w.n {
			w.prog.Lower = append(w.prog.Lower, 0)
			w.prog.Upper = append(w.prog.Upper, math.Abs(p.From[j])+math.Abs(p.Lower[j])+math.Abs(p.Upper[j]))
		}
	}
	w.prog.Cost = make([]float64, len(w.prog.Lower))
	for _, a := range p.Aims {
		for _, sign := range [2]float64{-1, 1} {
			r := w.row()
			for j, v := range a.Coef {
				r.Coef[j] = w.seen(j, v/a.unit())
			}
			r.Coef[w.level] = sign
		}
		w.settled = append(w.settled, -1)
	}
	w.ratioRow = len(w.prog.Rows)
	for range 2 * len(p.Ratios) {
		w.row()
	}
	if p.From != nil {
		for j := range w.n {
			for _, sign := range [2]float64{-1, 1} {
				r := w.row()
				r.Coef[j], r.Coef[w.change+j] = 1, sign
			}
		}
	}
	w.cutRow = len(w.prog.Rows)
	return w
}

// row appends a row that demands nothing yet.
func (w *work) row() *lp.Row {
	w.prog.Rows = append(w.prog.Rows, lp.Row{Coef: make([]float64, len(w.prog.Lower)), Lo: math.Inf(-1), Hi: math.Inf(1)})
	return &w.prog.Rows[len(w.prog.Rows)-1]
}

// seen drops coefficients that move a row, whose scale is 1, by no more than rounding does: they
// would only spoil the scaling of the programme.
func (w *work) seen(j int, v float64) float64 {
	if math.Abs(v)*max(math.Abs(w.Problem.Lower[j]), math.Abs(w.Problem.Upper[j])) < unfelt {
		return 0
	}
	return v
}

// most is more than any departure can be, which keeps the level's variable bounded.
func (w *work) most() float64 {
	most := 1.0
	for _, a := range w.Aims {
		top := math.Abs(a.Const - a.Target)
		for j, v := range a.Coef {
			top += math.Abs(v) * max(math.Abs(w.Lower[j]), math.Abs(w.Upper[j]))
		}
		most = max(most, top/a.unit())
	}
	return 2 * most
}

// aims writes the aims' rows: open ones against the level, settled ones against theirs.
func (w *work) aims() {
	for i, a := range w.Aims {
		mid, share, room := (a.Target-a.Const)/a.unit(), 1.0, 0.0
		if w.settled[i] >= 0 {
			share, room = 0, w.settled[i]
		}
		above, below := &w.prog.Rows[2*i], &w.prog.Rows[2*i+1]
		above.Coef[w.level], above.Hi = -share, mid+room
		below.Coef[w.level], below.Lo = share, mid-room
	}
}

// only makes the cost that of the level's variable within lo..hi.
func (w *work) only(lo, hi float64) {
	clear(w.prog.Cost)
	w.prog.Cost[w.level] = 1
	w.prog.Lower[w.level], w.prog.Upper[w.level] = lo, hi
}

// solve finds the stage's optimum. What was settled may leave so little room that float64 cannot tell
// it from none; it then gets a little more, twice at most.
func (w *work) solve() (lp.Result, error) {
	r, err := w.once()
	for _, more := range [2]float64{1e-7, 3e-7} {
		if err == nil || w.fresh {
			break
		}
		for i := range w.settled {
			if w.settled[i] >= 0 {
				w.settled[i] += more
			}
		}
		w.aims()
		r, err = w.once()
	}
	return r, err
}

// once takes in limits until the stage's optimum breaks none.
func (w *work) once() (lp.Result, error) {
	for range maxRounds {
		r, err := lp.SolveFrom(w.prog, w.basis)
		w.pivots += r.Iterations
		if err == nil && r.Status != lp.Optimal {
			r, err = lp.Solve(w.prog)
			w.pivots += r.Iterations
		}
		switch {
		case err != nil:
			return r, err
		case r.Status == lp.Stalled && r.X != nil && r.Certificate.PrimalResidual <= holdAbs:
			// A point all the same; what its multipliers prove is in the bound.
		case r.Status != lp.Optimal:
			return r, fmt.Errorf("the linear programme is %s", r.Status)
		}
		w.basis = r.Basis
		if !w.take(r.X[:w.n]) {
			return r, nil
		}
	}
	return lp.Result{}, fmt.Errorf("the limits were not met within %d rounds", maxRounds)
}

// take appends the limits that x breaks and tells whether there were any.
func (w *work) take(x []float64) bool {
	if w.Limits == nil {
		return false
	}
	taken := false
	for _, c := range w.Limits(x) {
		hi, least := c.Hi-c.Room, w.least(c)
		if hi < least && c.Hi >= least-2*zero {
			hi = least // constants fill the limit: nothing is left to keep free
		}
		if dot(c.Coef, x) <= hi+zero {
			continue // met as well as the solver can: only constants are left
		}
		r := w.row()
		for j, v := range c.Coef {
			r.Coef[j] = w.seen(j, v)
		}
		r.Hi = hi
		w.cuts = append(w.cuts, c)
		taken = true
	}
	return taken
}

// least is the smallest value of a cut's left side; room may not ask for less.
func (w *work) least(c Cut) float64 {
	v := 0.0
	for j, a := range c.Coef {
		v += support(a, w.Lower[j], w.Upper[j])
	}
	return v
}

// bound is the dual value of a stage; whole says with the limits as they were given, room put back.
func (w *work) bound(r lp.Result, whole bool) float64 {
	z := append([]float64(nil), w.prog.Cost...)
	b := 0.0
	for i, y := range r.RowDual {
		row := w.prog.Rows[i]
		if y == 0 || math.IsInf(support(y, row.Lo, row.Hi), 0) {
			continue
		}
		if whole && i >= w.cutRow {
			row.Hi = max(w.cuts[i-w.cutRow].Hi, row.Hi)
		}
		b += support(y, row.Lo, row.Hi)
		for j, a := range row.Coef {
			z[j] -= y * a
		}
	}
	for j, v := range z {
		b += support(v, w.prog.Lower[j], w.prog.Upper[j])
	}
	return b
}
