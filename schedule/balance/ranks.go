package balance

import (
	"errors"
	"fmt"
	"math"

	"dayloom/schedule/balance/lp"
)

// inside is kept free at the ends of tolerances and shares.
const inside = 1e-7

// depth is how far a system is taken through its ranks.
type depth int

const (
	quick  depth = iota // until it is known whether the plan is met
	firmly              // targets and shares
	whole
)

// result is the answer of one system, rank by rank.
type result struct {
	x      []float64
	stages []Stage
	key    []float64 // what ranks reached, in order: of two answers the one with the smaller is better
	holds  []hold    // what has a price in the first rank that is not met in full
	way    string    // of that rank: what its value is
	cuts   int
	pivots int
	bound  float64 // below which no answer's sum of excesses lies
	like   *likeness
	met    bool // targets, least DLI and shares; known for a quick one only
	firm   int  // parts of the key that are about targets and shares
	depth  depth
}

// hold is one thing that keeps a rank from being better. Price is what a unit of it would gain.
type hold struct {
	kind  holdKind
	index int // of the variable, the limit or the form
	price float64
}

type holdKind int

const (
	atLower holdKind = iota // a variable
	atUpper
	atLimit
	tooLow // a form is below its wish
	tooHigh
)

// solver takes a system through its ranks.
type solver struct {
	*system
	*program
	res     result
	likeRes lp.Result // of the last programme of the likeness
}

// solve settles ranks. An error means that the limits cannot all be kept.
func (s *system) solve(d depth) (result, error) {
	k := &solver{system: s, res: result{depth: d}}
	k.program = newProgram(s.ctx, s.lower, s.upper, s.wanted(), s.broken)
	if d == quick {
		k.enough = k.spare() * float64(len(s.places)+1)
	}
	switch err := k.targets(); {
	case errors.Is(err, errBeyond):
		k.res.x = s.lower
		return k.res, nil
	case err != nil:
		return k.res, err
	}
	k.enough = math.Inf(1)
	k.res.x = k.x
	if d == quick && (!s.met(k.x) || len(k.forms) == len(k.places)) {
		k.res.met = s.met(k.x)
		return k.res, nil
	}
	k.calm()
	k.shares()
	k.res.x, k.res.firm = k.x, len(k.res.key)
	if d < whole {
		k.res.met = s.met(k.x) && k.res.key[len(k.res.key)-2] <= zero
		return k.res, nil
	}
	k.likeness()
	k.prefer()
	if !k.closest() {
		k.departures()
	}
	k.power()
	k.tidy()
	k.res.x, k.res.cuts, k.res.pivots = k.x, len(k.program.cuts), k.pivots
	return k.res, nil
}

// What ranks 2 and 3 are about.
const (
	outsideTolerance = "target outside its tolerance"
	outsideRange     = "share or colour outside its range, of the light at full output"
)

// targets is rank 2: every target within its tolerance.
func (k *solver) targets() error {
	wishes := k.tolerances(1)
	err := k.excess(2, outsideTolerance, wishes)
	k.res.bound = k.res.stages[0].Dual
	return err
}

// calm leaves the ranks of wishes a part of the tolerances alone.
func (k *solver) calm() {
	if k.p.Balance.Spend < 1 {
		_ = k.excess(2, fmt.Sprintf("target outside %g %% of its tolerance", 100*k.p.Balance.Spend), k.tolerances(k.p.Balance.Spend))
	}
}

func (k *solver) shares() {
	if len(k.forms) == len(k.places) {
		return
	}
	wishes := map[int]wish{}
	for i := len(k.places); i < len(k.forms); i++ {
		wishes[i] = wish{0, math.Inf(1), k.spare()}
	}
	_ = k.excess(3, outsideRange, wishes)
}

// tolerances are the wishes of all places that are asked for, with a part of their tolerance.
func (k *solver) tolerances(part float64) map[int]wish {
	out := map[int]wish{}
	for i, pl := range k.places {
		if t := pl.target; t.asked() {
			w := t.wish(part)
			w.room = min(k.spare(), (w.hi-w.lo)/4)
			out[i] = w
		}
	}
	return out
}

// wish is the range of DLI over the target. A least DLI above the most that is allowed leaves the middle of both.
func (t Target) wish(part float64) wish {
	w := wish{lo: max(1-part*t.Within, t.DLIMin/t.DLI), hi: min(1+part*t.Within, t.DLIMax/t.DLI)}
	if w.lo > w.hi {
		w.lo, w.hi = (w.lo+w.hi)/2, (w.lo+w.hi)/2
	}
	return w
}

// excess is a rank of wishes: the least sum of what is outside, then the least greatest of that.
func (k *solver) excess(rankNo int, what string, wishes map[int]wish) error {
	r := rank{wishes: wishes, paid: true}
	res, bound, err := k.program.solve(r)
	if err != nil {
		k.unproved(rankNo, "sum: "+what)
		k.unproved(rankNo, "greatest: "+what)
		return err
	}
	sum := k.sum(wishes)
	k.stage(rankNo, "sum: "+what, sum, bound)
	if sum > slack && k.res.holds == nil && (what == outsideTolerance || what == outsideRange) {
		k.res.holds, k.res.way = k.holding(res), what
	}
	left := k.settle(r, res)
	if len(left) == 0 {
		k.stage(rankNo, "greatest: "+what, 0, 0)
		return nil
	}
	_, bound, err = k.program.solve(rank{cost: map[int]float64{k.n + level: 1}, wishes: left})
	if err != nil {
		k.unproved(rankNo, "greatest: "+what)
		return nil
	}
	most := 0.0
	tight := 0.0
	for i, q := range left {
		most, tight = max(most, q.off(k.values[i])), max(tight, q.tight().off(k.values[i]))
	}
	k.stage(rankNo, "greatest: "+what, most, bound)
	most = tight
	for i, q := range left {
		q = q.tight()
		k.narrow(i, q.lo-most*(1+slackRel)-slack, q.hi+most*(1+slackRel)+slack)
	}
	return nil
}

func (k *solver) sum(wishes map[int]wish) (s float64) {
	for i := range k.forms { // in order, so that sums round alike
		if q, ok := wishes[i]; ok {
			s += q.off(k.values[i])
		}
	}
	return s
}

// settle makes a rank's sum stand for all later ranks: by complementary slackness every best answer keeps the forms whose excess
// has a multiplier short of its price inside their wishes, the others outside or at the edge, and the sum of what is outside
// where it is. It returns the wishes that are not met, one-sided.
func (k *solver) settle(r rank, res lp.Result) map[int]wish {
	left := map[int]wish{}
	outside, base, sum := make([]float64, k.n), 0.0, 0.0
	for i := range k.forms {
		q, ok := r.wishes[i]
		if !ok {
			continue
		}
		room := q.room
		q = q.tight()
		y, v := 0.0, k.values[i]
		if at := k.rowsOf[i][wishRow-rangeRow]; at > 0 {
			y = res.RowDual[at-1]
		}
		f := &k.forms[i]
		switch {
		case y > 1-priced:
			left[i] = wish{q.lo - room, math.Inf(1), room}
			sum += max(q.lo-v, 0)
			k.narrow(i, math.Inf(-1), q.lo+slack)
			base += q.lo - f.base
			add(outside, f.coef, -1)
		case y < priced-1:
			left[i] = wish{math.Inf(-1), q.hi + room, room}
			sum += max(v-q.hi, 0)
			k.narrow(i, q.hi-slack, math.Inf(1))
			base += f.base - q.hi
			add(outside, f.coef, 1)
		default:
			k.narrow(i, q.lo-slack, q.hi+slack)
		}
	}
	if len(left) > 0 {
		k.most(outside, sum*(1+slackRel)+slack-base, 1)
	}
	return left
}

// most appends a row of a rank's own: coef·x ≤ hi, in a unit of about size.
func (k *solver) most(coef []float64, hi, size float64) {
	row := k.row(rowOf{kind: ownRow}, coef)
	row.Hi = max(hi, dot(row.Coef[:k.n], k.x))
	for j := range row.Coef {
		row.Coef[j] /= size
	}
	row.Hi /= size
}

// narrow takes a form's range in, but never past where it is.
func (k *solver) narrow(i int, lo, hi float64) {
	f, v := &k.forms[i], k.values[i]
	f.lo, f.hi = max(f.lo, min(lo, v)), min(f.hi, max(hi, v))
}

func (k *solver) stage(rankNo int, what string, value, bound float64) {
	k.res.stages = append(k.res.stages, Stage{Rank: rankNo, What: what, Primal: value, Dual: min(max(bound, 0), value)})
	k.res.key = append(k.res.key, value)
}

// unproved notes a rank that float64 cannot solve, because what is settled leaves no room to speak of: the answer
// stays where it is, and nothing is proved.
func (k *solver) unproved(rankNo int, what string) {
	k.res.stages = append(k.res.stages, Stage{Rank: rankNo, What: what + " (not solved)"})
	k.res.key = append(k.res.key, 0)
}
