package balance

import (
	"math"

	"dayloom/schedule/plan"
)

// prefer is rank 4: the plan's wish for what freedom is left.
func (k *solver) prefer() {
	switch k.wished() {
	case plan.LeastPower:
		k.energy(4)
	case plan.LeastChange:
		k.change()
	case plan.Closest:
		k.departures()
	default:
		k.even()
	}
}

func (k *solver) closest() bool { return k.wished() == plan.Closest }

// wished is what rank 4 is about; least change needs levels to start from.
func (s *system) wished() plan.Prefer {
	if w := s.p.Balance.Prefer; w != plan.LeastChange || s.o.From != nil {
		return w
	}
	return plan.Even
}

// even makes the levels of auto channels as near to each other as may be: first the highest to the lowest, then all
// to their middle.
func (k *solver) even() {
	peaks := k.peaks()
	const what = "difference of levels"
	if len(peaks) < 2 {
		k.stage(4, "greatest: "+what, 0, 0)
		k.stage(4, "sum: "+what, 0, 0)
		return
	}
	for _, j := range peaks {
		k.own(map[int]float64{k.n + highest: 1, j: -1}, 0, math.Inf(1), 0)
		k.own(map[int]float64{k.n + lowest: -1, j: 1}, 0, math.Inf(1), 0)
	}
	_, bound, err := k.program.solve(rank{cost: map[int]float64{k.n + highest: 1, k.n + lowest: -1}})
	if err != nil {
		k.unproved(4, "greatest: "+what)
		k.unproved(4, "sum: "+what)
		return
	}
	least, most := math.Inf(1), math.Inf(-1)
	for _, j := range peaks {
		least, most = min(least, k.x[j]), max(most, k.x[j])
	}
	k.stage(4, "greatest: "+what, most-least, bound)
	k.own(map[int]float64{k.n + highest: 1, k.n + lowest: -1}, math.Inf(-1), (most-least)*(1+slackRel)+slack, 0)
	var rows []pull
	for _, j := range peaks {
		rows = append(rows, pull{j, k.own(map[int]float64{j: 1, k.n + middle: -1}, 0, 0, 1), 0})
	}
	k.pulls("sum: "+what, rows, func(x []float64, m float64, j int) float64 { return x[j] - m })
}

// change makes the sum of the changes of levels from the plan's least, then the greatest.
func (k *solver) change() {
	var rows []pull
	for _, j := range k.peaks() {
		from := k.o.From[k.vars[j].channel]
		rows = append(rows, pull{j, k.own(map[int]float64{j: 1}, from, from, 1), from})
	}
	const what = "change of a level"
	k.pulls("sum: "+what, rows, func(x []float64, _ float64, j int) float64 { return x[j] - k.o.From[k.vars[j].channel] })
	for _, p := range rows {
		k.own(map[int]float64{p.variable: 1, k.n + level: 1}, p.to, math.Inf(1), 0)
		k.own(map[int]float64{p.variable: 1, k.n + level: -1}, math.Inf(-1), p.to, 0)
	}
	_, bound, err := k.program.solve(rank{cost: map[int]float64{k.n + level: 1}})
	most := 0.0
	for _, p := range rows {
		most = max(most, math.Abs(k.x[p.variable]-p.to))
	}
	if err != nil {
		k.unproved(4, "greatest: "+what)
	} else {
		k.stage(4, "greatest: "+what, most, bound)
	}
	for i := len(k.lp.Rows) - 2*len(rows); i < len(k.lp.Rows); i++ { // they stand, without the level
		row := &k.lp.Rows[i]
		row.Coef[k.n+level] = 0
		row.Lo -= most*(1+slackRel) + slack
		row.Hi += most*(1+slackRel) + slack
	}
}

// pull is a soft row that draws a variable to a value.
type pull struct {
	variable, row int
	to            float64
}

// pulls solves for the least sum of pulls, and holds it.
func (k *solver) pulls(what string, rows []pull, off func(x []float64, middle float64, j int) float64) {
	res, bound, err := k.program.solve(rank{})
	if err != nil {
		k.unproved(4, what)
		for _, p := range rows {
			k.lp.Rows[p.row].Soft, k.lp.Rows[p.row].Lo, k.lp.Rows[p.row].Hi = 0, math.Inf(-1), math.Inf(1)
		}
		return
	}
	sum, total := 0.0, k.row(rowOf{kind: ownRow}, nil)
	for _, p := range rows {
		row := &k.lp.Rows[p.row]
		v := off(k.x, res.X[k.n+middle], p.variable)
		sum += math.Abs(v)
		y := res.RowDual[p.row]
		at := row.Lo
		row.Soft = 0
		switch { // as in settle
		case y > 1-priced:
			row.Lo, row.Hi = math.Inf(-1), at+slack
			add(total.Coef, row.Coef, -1)
		case y < priced-1:
			row.Lo, row.Hi = at-slack, math.Inf(1)
			add(total.Coef, row.Coef, 1)
		default:
			row.Lo, row.Hi = at-slack-math.Abs(v), at+slack+math.Abs(v)
		}
	}
	total.Hi = dot(total.Coef, res.X) + sum*slackRel + slack
	k.stage(4, what, sum, bound)
}

// own appends a row of the rank's own and returns its index.
func (k *solver) own(coef map[int]float64, lo, hi, soft float64) int {
	row := k.row(rowOf{kind: ownRow}, nil)
	for j, v := range coef {
		row.Coef[j] = v
	}
	row.Lo, row.Hi, row.Soft = lo, hi, soft
	return len(k.lp.Rows) - 1
}

// peaks are the variables that are levels of channels.
func (s *system) peaks() (out []int) {
	for j, v := range s.vars {
		if !v.switched {
			out = append(out, j)
		}
	}
	return out
}

// departures is rank 5: the greatest of |DLI/target − 1|, then their sum.
func (k *solver) departures() {
	wishes := map[int]wish{}
	for i, pl := range k.places {
		if pl.target.asked() {
			wishes[i] = wish{lo: 1, hi: 1}
		}
	}
	const what = "departure from target"
	_, bound, err := k.program.solve(rank{cost: map[int]float64{k.n + level: 1}, wishes: wishes})
	if err != nil {
		k.unproved(5, "greatest: "+what)
	} else {
		most := 0.0
		for i, q := range wishes {
			most = max(most, q.off(k.values[i]))
		}
		k.stage(5, "greatest: "+what, most, bound)
		for i := range wishes {
			k.narrow(i, 1-most*(1+slackRel)-slack, 1+most*(1+slackRel)+slack)
		}
	}
	r := rank{wishes: wishes, paid: true}
	res, bound, err := k.program.solve(r)
	if err != nil {
		k.unproved(5, "sum: "+what)
		return
	}
	k.stage(5, "sum: "+what, k.sum(wishes), bound)
	k.settle(r, res)
}
