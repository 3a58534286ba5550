package balance

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/day/mix"
)

const (
	likeGap    = 1e-6 // of a share: at which the bisection ends
	infeasible = 1e-9 // of the light at full output: what a proof must come to
	likeRows   = 8    // taken in at a time
)

// likeness is the greatest departure of photon shares that was reached, and what keeps it from being less.
type likeness struct {
	least float64 // nothing comes under it
	holds []hold
	tight []step // with a price
	dlis  []int  // places whose settled range has one
}

// step is one step of the spectrum at one place, over or under the wish.
type step struct {
	place, bin int
	over       bool
	in, all    form // photons of the step and of 400-700 nm, over the latter at full output
	row        int  // of the programme; −1: none yet
}

// steps are all steps of all places of the wish, over and under.
func (s *system) steps() (out []step) {
	w := s.p.Balance.Spectrum
	for i, pl := range s.places {
		full := s.full(i, par)
		if !slices.Contains(w.Zones, pl.zone) || full <= 0 {
			continue
		}
		all := s.light(i, func(c mix.Channel) float64 { return par(c) / full })
		for bin := range mix.Bins {
			in := s.light(i, func(c mix.Channel) float64 { return c.Bins[bin] / full })
			out = append(out, step{i, bin, true, in, all, -1}, step{i, bin, false, in, all, -1})
		}
	}
	return out
}

func par(c mix.Channel) (sum float64) {
	for _, v := range c.Bins {
		sum += v
	}
	return sum
}

// most is the form that is at most 0 where the step's share is no farther from the wish than eps.
func (q step) most(wish *[mix.Bins]float64, eps float64) form {
	if q.over {
		return combine(q.in, 1, q.all, -wish[q.bin]-eps)
	}
	return combine(q.in, -1, q.all, wish[q.bin]-eps)
}

// off is how far the share is from the wish on the step's own side.
func (q step) off(wish *[mix.Bins]float64, x []float64) float64 {
	all := q.all.at(x)
	if all <= 0 {
		return 0
	}
	away := q.in.at(x)/all - wish[q.bin]
	if q.over {
		return away
	}
	return -away
}

// likeness is the end of rank 3: the least greatest departure of photon shares from the wish, by bisection. For one
// departure the rows are linear, and the programme proves whether they can be met (quasi-convex optimisation: Boyd and
// Vandenberghe 2004, Convex Optimization, section 4.2.5).
func (k *solver) likeness() {
	if k.like == nil || k.mute {
		return
	}
	const what = "greatest: departure of photon shares from the spectrum wished for"
	steps := k.steps()
	best := slices.Clone(k.x)
	most, out := worstStep(steps, k.like, best), &likeness{}
	for most-out.least > likeGap/2 && len(steps) > 0 {
		eps := (most + out.least) / 2
		x, bound, err := k.within(steps, eps)
		switch {
		case err == nil && bound > infeasible:
			out.least = eps
			k.price(out, steps)
			continue
		case err == nil && x != nil:
			if reached := worstStep(steps, k.like, x); reached < most {
				best, most = x, reached
				continue
			}
		}
		break // what float64 leaves is not decided
	}
	for _, q := range steps {
		if q.row >= 0 {
			row := &k.lp.Rows[q.row]
			row.Lo, row.Hi = math.Inf(-1), math.Inf(1)
		}
	}
	k.program.x = best
	for i := range k.forms {
		k.values[i] = k.forms[i].at(best)
	}
	k.stage(3, what, most, out.least)
	k.res.like = out
	k.keep(steps, most*(1+slackRel)+slack)
}

func worstStep(steps []step, wish *[mix.Bins]float64, x []float64) (worst float64) {
	for _, q := range steps {
		worst = max(worst, q.off(wish, x))
	}
	return worst
}

// within looks for levels whose shares are all within eps of the wish. bound > 0 proves that there are none; x is nil where
// none were found.
func (k *solver) within(steps []step, eps float64) (x []float64, bound float64, err error) {
	for i := range steps {
		if steps[i].row >= 0 {
			k.write(steps[i], eps)
		}
	}
	for range mostTurns {
		res, bound, err := k.program.solve(rank{cost: map[int]float64{k.n + level: 1}})
		if err != nil {
			return nil, 0, err
		}
		k.likeRes = res
		if !k.more(steps, eps, res.X[k.n+level]) {
			if res.X[k.n+level] > slack {
				return nil, bound, nil
			}
			return slices.Clone(k.x), bound, nil
		}
	}
	return nil, 0, fmt.Errorf("the steps were not met within %d rounds", mostTurns)
}

// more takes in the steps that are broken most.
func (k *solver) more(steps []step, eps, level float64) bool {
	type broken struct {
		i  int
		by float64
	}
	var out []broken
	for i, q := range steps {
		f := q.most(k.like, eps)
		if by := f.at(k.x) - level; q.row < 0 && by > zero {
			out = append(out, broken{i, by})
		}
	}
	slices.SortStableFunc(out, func(a, b broken) int { return cmp.Compare(b.by, a.by) })
	for _, b := range out[:min(len(out), likeRows)] {
		k.row(rowOf{kind: ownRow}, nil)
		steps[b.i].row = len(k.lp.Rows) - 1
		k.write(steps[b.i], eps)
	}
	return len(out) > 0
}

// write makes a step's row stand for a departure.
func (k *solver) write(q step, eps float64) {
	f, row := q.most(k.like, eps), &k.lp.Rows[q.row]
	copy(row.Coef, f.coef)
	row.Coef[k.n+level] = -1
	row.Lo, row.Hi = math.Inf(-1), -f.base
}

// price notes what has a price where a departure can't be reached.
func (k *solver) price(out *likeness, steps []step) {
	out.holds, out.tight, out.dlis = k.holding(k.likeRes), nil, nil
	for _, q := range steps {
		if q.row >= 0 && math.Abs(k.likeRes.RowDual[q.row]) > priced {
			out.tight = append(out.tight, q)
		}
	}
	for i, of := range k.rows {
		if i < len(k.likeRes.RowDual) && of.kind == rangeRow && of.index < len(k.places) && math.Abs(k.likeRes.RowDual[i]) > priced {
			out.dlis = append(out.dlis, of.index)
		}
	}
}

// keep makes a departure stand for all later ranks, step by step as answers break it.
func (k *solver) keep(steps []step, eps float64) {
	before := k.program.limits
	k.program.limits = func(x []float64) []cut {
		cuts := before(x)
		for _, q := range steps {
			if f := q.most(k.like, eps); f.at(x) > zero {
				cuts = append(cuts, cut{coef: f.coef, hi: -f.base})
			}
		}
		return cuts
	}
}

// likened puts the likeness of the answer into words.
func (s *system) likened(res result, now *scene, a Answer) *Spectrum {
	w := s.p.Balance.Spectrum
	if w == nil {
		return nil
	}
	out := &Spectrum{Like: w.Like, DepthM: w.DepthM, Wish: map[string]float64{}, HeldBy: []string{}}
	for k, v := range s.like {
		out.Wish[binName(k)] = v
	}
	for _, q := range s.steps() {
		if off := q.off(s.like, res.x); off > out.Greatest {
			out.Greatest, out.Place, out.Band = off, s.places[q.place].name, binName(q.bin)
		}
	}
	if res.like == nil {
		return out
	}
	out.Bound = min(res.like.least, out.Greatest)
	out.Proven = out.Greatest-out.Bound <= likeGap
	words := words{s, res, now, a, s.doses(res.x)}
	for _, q := range res.like.tight {
		side := "under"
		if q.over {
			side = "over"
		}
		out.HeldBy = append(out.HeldBy, fmt.Sprintf("%s nm at %s is %.1f points %s the wish", binName(q.bin), s.places[q.place].name, 100*q.off(s.like, res.x), side))
	}
	for _, h := range res.like.holds {
		if h.kind == atLimit && h.index >= len(s.limits) || h.price < cheap*res.like.holds[0].price {
			continue
		}
		for _, c := range words.constraints(h) {
			out.HeldBy = append(out.HeldBy, c.Text)
		}
	}
	for _, i := range res.like.dlis {
		out.HeldBy = append(out.HeldBy, fmt.Sprintf("%s is at the end of what the wish may spend of its tolerance", s.places[i].name))
	}
	return out
}

func binName(k int) string {
	b := mix.Bin(k)
	return fmt.Sprintf("%g-%g", b.Lo, b.Hi)
}
