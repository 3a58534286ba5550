package balance

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/balance/lp"
)

const (
	zero      = 1e-9 // of a form or limit: broken by less counts as kept
	slack     = 1e-8 // of a form: room that a settled rank leaves to the next
	slackRel  = 1e-7 // of a settled value: the same
	priced    = 1e-7 // a multiplier above this has a price
	unfelt    = 1e-9 // of a form: a variable that can do no more to it does nothing
	mostTurns = 400  // of taking in rows in one programme
	firstRows = 50   // taken in at a time; twice as many each turn
)

// form is a linear function of the variables whose unit makes 1 of it matter: a place's DLI over its
// target, or how far a band's share lies inside its range.
type form struct {
	coef   []float64
	base   float64
	lo, hi float64 // what earlier ranks left it
}

func (f *form) at(x []float64) float64 { return f.base + dot(f.coef, x) }

// wish is a range that a rank would have a form in. The solver aims for a little more than the edge, so that rounding
// never decides a verdict.
type wish struct{ lo, hi, room float64 }

// off is by how much a value lies outside.
func (w wish) off(v float64) float64 { return max(w.lo-v, v-w.hi, 0) }

// tight is what the solver aims for.
func (w wish) tight() wish { return wish{w.lo + w.room, w.hi - w.room, 0} }

// Extra columns of every programme, behind the variables.
const (
	level   = iota // the greatest excess
	highest        // of the levels of auto channels
	lowest         // of them
	middle         // of them
	extras
)

// rowOf says what a row of the programme stands for.
type rowOf struct {
	kind  rowKind
	index int     // of the cut or form
	room  float64 // by which the row asks more than the limit itself
}

type rowKind int

const (
	cutRow    rowKind = iota
	rangeRow          // a form within what earlier ranks left it
	wishRow           // a form within its wish, or at a price
	lowRow            // a form below its wish by no more than the level
	highRow           // a form above it by no more
	ownRow            // of a rank by itself
	formKinds = 4     // kinds that a form may have a row of
)

// program is the linear programme that all ranks share. Only rows that some answer has broken are in it: an
// answer that keeps all others, and multipliers that are zero for them, prove the whole (row generation).
type program struct {
	ctx    context.Context
	n      int
	lp     lp.Problem
	rows   []rowOf
	forms  []form
	rowsOf [][formKinds]int // of each form: index of its row + 1
	limits func(x []float64) []cut
	cuts   []cut
	basis  lp.Basis
	pivots int
	enough float64   // a bound above it needs no answer
	x      []float64 // the last answer
	values []float64 // of the forms there
}

func newProgram(ctx context.Context, lower, upper []float64, forms []form, limits func([]float64) []cut) *program {
	n := len(lower)
	w := &program{ctx: ctx, n: n, forms: forms, rowsOf: make([][formKinds]int, len(forms)), limits: limits, values: make([]float64, len(forms)), enough: math.Inf(1)}
	w.lp.Cost = make([]float64, n+extras)
	w.lp.Lower = append(slices.Clone(lower), 0, 0, 0, 0)
	w.lp.Upper = append(slices.Clone(upper), 0, 1, 1, 1)
	most := 1.0
	for i := range forms {
		f := &forms[i]
		high, low := f.base, f.base
		for j, v := range f.coef {
			if math.Abs(v)*max(math.Abs(lower[j]), math.Abs(upper[j])) < unfelt {
				f.coef[j] = 0 // rounding alone; it would only spoil the scaling
			}
			high += max(v*lower[j], v*upper[j])
			low += min(v*lower[j], v*upper[j])
		}
		most = max(most, math.Abs(high), math.Abs(low))
	}
	w.lp.Upper[n+level] = 2*most + 2
	return w
}

// row appends a row that demands nothing yet.
func (w *program) row(of rowOf, coef []float64) *lp.Row {
	c := make([]float64, w.n+extras)
	copy(c, coef)
	w.lp.Rows = append(w.lp.Rows, lp.Row{Coef: c, Lo: math.Inf(-1), Hi: math.Inf(1)})
	w.rows = append(w.rows, of)
	return &w.lp.Rows[len(w.lp.Rows)-1]
}

// rank is one linear programme: a cost of the columns, and wishes of forms that are either paid for by their
// excess or kept within the level.
type rank struct {
	cost   map[int]float64
	wishes map[int]wish // by form
	paid   bool         // their excess is the cost; else the level bounds it
}

var errBeyond = errors.New("the bound is beyond what is of use")

// solve finds the rank's best answer, taking in rows until none is broken. bound is what nothing within limits
// and earlier ranks can be better than.
func (w *program) solve(r rank) (res lp.Result, bound float64, err error) {
	w.begin(r)
	for turn, most := 0, firstRows; turn < mostTurns; turn, most = turn+1, min(2*most, 1<<20) {
		if w.ctx.Err() != nil {
			return res, 0, fmt.Errorf("there was no time left")
		}
		if res, err = lp.SolveFrom(w.lp, w.basis); err == nil && res.Status != lp.Optimal {
			w.pivots += res.Iterations
			res, err = lp.Solve(w.lp)
		}
		w.pivots += res.Iterations
		switch {
		case err != nil:
			return res, 0, err
		case res.Status == lp.Stalled && res.X != nil && res.Certificate.PrimalResidual <= slack:
			// A point all the same; what its multipliers prove is in the bound.
		case res.Status != lp.Optimal:
			return res, 0, fmt.Errorf("the linear programme is %s", res.Status)
		}
		if bound = w.bound(res); bound > w.enough {
			return res, bound, errBeyond
		}
		w.basis = res.Basis
		x := res.X[:w.n]
		for i := range w.forms {
			w.values[i] = w.forms[i].at(x)
		}
		if !w.take(r, x, res.X[w.n+level], most) {
			w.x = slices.Clone(x)
			return res, bound, nil
		}
	}
	return res, 0, fmt.Errorf("the limits were not met within %d rounds", mostTurns)
}

// begin writes the cost, and makes rows of forms stand for what they do in this rank.
func (w *program) begin(r rank) {
	clear(w.lp.Cost)
	for j, c := range r.cost {
		w.lp.Cost[j] = c
	}
	for i, of := range w.rows {
		if of.kind > cutRow && of.kind < ownRow {
			w.set(i, r)
		}
	}
}

// set writes the limits of a form's row.
func (w *program) set(i int, r rank) {
	of, row := w.rows[i], &w.lp.Rows[i]
	f := &w.forms[of.index]
	row.Lo, row.Hi, row.Soft = math.Inf(-1), math.Inf(1), 0
	q, asked := r.wishes[of.index]
	if of.kind != rangeRow {
		w.rows[i].room = q.room
	}
	q = q.tight()
	switch {
	case of.kind == rangeRow:
		row.Lo, row.Hi = f.lo-f.base, f.hi-f.base
	case !asked:
	case of.kind == wishRow && r.paid:
		row.Lo, row.Hi, row.Soft = q.lo-f.base, q.hi-f.base, 1
	case of.kind == lowRow && !r.paid:
		row.Lo = q.lo - f.base
	case of.kind == highRow && !r.paid:
		row.Hi = q.hi - f.base
	}
}

// broken is a row that an answer breaks.
type broken struct {
	kind rowKind
	form int
	by   float64
}

// take appends what the answer breaks, the worst first, and tells whether there was anything.
func (w *program) take(r rank, x []float64, t float64, most int) bool {
	var out []broken
	add := func(k rowKind, i int, by float64) {
		if by > zero && w.rowsOf[i][k-rangeRow] == 0 {
			out = append(out, broken{k, i, by})
		}
	}
	for i, v := range w.values {
		add(rangeRow, i, wish{lo: w.forms[i].lo, hi: w.forms[i].hi}.off(v))
		q, asked := r.wishes[i]
		q = q.tight()
		switch {
		case !asked:
		case r.paid:
			add(wishRow, i, q.off(v))
		default:
			add(lowRow, i, q.lo-v-t)
			add(highRow, i, v-q.hi-t)
		}
	}
	slices.SortStableFunc(out, func(a, b broken) int { return cmp.Compare(b.by, a.by) })
	for _, b := range out[:min(len(out), most)] {
		w.addForm(b, r)
	}
	return w.takeCuts(x) || len(out) > 0
}

func (w *program) addForm(b broken, r rank) {
	row := w.row(rowOf{kind: b.kind, index: b.form}, w.forms[b.form].coef)
	switch b.kind {
	case lowRow:
		row.Coef[w.n+level] = 1
	case highRow:
		row.Coef[w.n+level] = -1
	}
	w.rowsOf[b.form][b.kind-rangeRow] = len(w.rows)
	w.set(len(w.rows)-1, r)
}

// takeCuts appends the limits that x breaks.
func (w *program) takeCuts(x []float64) (taken bool) {
	for _, c := range w.limits(x) {
		hi, least := c.hi-c.room, w.least(c)
		if hi < least && c.hi >= least-2*zero {
			hi = least // constants fill the limit: nothing is left to keep free
		}
		if dot(c.coef, x) <= hi+zero {
			continue // kept as well as the solver can: only constants are left
		}
		row := w.row(rowOf{cutRow, len(w.cuts), max(c.hi-hi, 0)}, nil)
		for j, v := range c.coef {
			if math.Abs(v)*max(math.Abs(w.lp.Lower[j]), math.Abs(w.lp.Upper[j])) >= unfelt {
				row.Coef[j] = v
			}
		}
		row.Hi = hi
		w.cuts = append(w.cuts, c)
		taken = true
	}
	return taken
}

// least is the smallest value of a cut's left side; room may not ask for less.
func (w *program) least(c cut) (v float64) {
	for j, a := range c.coef {
		v += min(a*w.lp.Lower[j], a*w.lp.Upper[j])
	}
	return v
}

// bound is the dual value with limits as they are, without the room kept.
func (w *program) bound(r lp.Result) float64 {
	b := r.Certificate.Bound
	for i, y := range r.RowDual {
		b -= math.Abs(y) * w.rows[i].room
	}
	return b
}

func dot(a, b []float64) (s float64) {
	b = b[:len(a)]
	for i, v := range a {
		s += v * b[i]
	}
	return s
}
