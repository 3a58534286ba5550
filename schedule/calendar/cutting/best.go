package cutting

import "math"

// Run is dates From to To, both inclusive, that play the day of date Day.
type Run struct{ From, To, Day int }

// Question is n dates to cut into at most Most runs.
type Question struct {
	N, Most int
	Dist    func(day, date int) float64        // departure of a date that plays another's day
	Apart   func(date int) bool                // no run may hold both this date and the one before it
	May     func(date, before, after int) bool // whether a run of the day after may begin on a date when that of the day before ended
	Before  int                                // the day that is played before the first date, to ask May of; -1: none
}

// Best is the cutting with the least greatest distance, and of those one with fewest runs; ok is false where none
// keeps to Apart and May.
func Best(q Question) (runs []Run, greatest float64, ok bool) {
	s := solve(q)
	n := s.fewest(s.least(q.Most))
	if n == 0 {
		return nil, 0, false
	}
	return s.runs(n), s.least(n), true
}

// solved is the best cuttings into each number of runs.
type solved struct {
	*table
	cost []float64 // by number of runs less one; +Inf: there is none
	last []int     // the day of its last run
}

func solve(q Question) solved {
	s := solved{table: newTable(q)}
	for k := range min(q.Most, q.N) {
		s.add(k)
		best, at := math.Inf(1), -1
		for r, v := range s.levels[k].end {
			if v < best*(1-1e-12) {
				best, at = v, r
			}
		}
		s.cost, s.last = append(s.cost, best), append(s.last, at)
	}
	return s
}

// least is the least greatest distance with at most so many runs.
func (s solved) least(most int) float64 {
	best := math.Inf(1)
	for _, v := range s.cost[:min(most, len(s.cost))] {
		best = min(best, v)
	}
	return best
}

// fewest is the least number of runs with no greater distance; 0: there is none.
func (s solved) fewest(greatest float64) int {
	for k, v := range s.cost {
		if v <= greatest*(1+1e-12) && !math.IsInf(v, 1) {
			return k + 1
		}
	}
	return 0
}

// runs are the best n.
func (s solved) runs(n int) (runs []Run) {
	for k, r, to := n-1, s.last[n-1], s.q.N-1; k >= 0; k-- {
		l := s.levels[k]
		runs = append([]Run{{l.from[r], to, r}}, runs...)
		to, r = l.from[r]-1, l.before[r]
	}
	return runs
}

// table holds, for each number of runs and each day r of the last one, the best beginning of that run.
type table struct {
	q      Question
	dist   [][]float64 // as Dist
	on     [][]float64 // by day: the greatest distance of the dates after it, up to each, that play it
	levels []level
}

// level is of one number of runs: by day of the last run the greatest distance up to that day, the date on which
// the run begins, the day of the run before it, and the greatest distance when the run goes on to the last date.
type level struct {
	start, end   []float64
	from, before []int
}

func newTable(q Question) *table {
	t := &table{q: q, dist: make([][]float64, q.N)}
	for r := range t.dist {
		t.dist[r] = make([]float64, q.N)
		for d := range t.dist[r] {
			t.dist[r][d] = q.Dist(r, d)
		}
		on := make([]float64, q.N)
		for d := r + 1; d < q.N; d++ {
			if on[d] = max(on[d-1], t.dist[r][d]); q.Apart(d) {
				on[d] = math.Inf(1)
			}
		}
		t.on = append(t.on, on)
	}
	return t
}

// add works out the best of k+1 runs from those of k.
func (t *table) add(k int) {
	n := t.q.N
	l := level{make([]float64, n), make([]float64, n), make([]int, n), make([]int, n)}
	for r := range n {
		l.start[r], l.from[r], l.before[r] = math.Inf(1), -1, -1
		for i, back := r, 0.0; i >= 0; i-- {
			if back = max(back, t.dist[r][i]); back >= l.start[r] {
				break // it only grows
			}
			if v, before := t.until(k-1, i, r, l.start[r]); max(v, back) < l.start[r] {
				l.start[r], l.from[r], l.before[r] = max(v, back), i, before
			}
			if t.q.Apart(i) {
				break
			}
		}
		l.end[r] = max(l.start[r], t.on[r][n-1])
	}
	t.levels = append(t.levels, l)
}

// until is the least greatest distance of the dates before i in so many runs plus one, after the last of which
// the day r may be played, and the day of that last one; more than bound need not be exact.
func (t *table) until(k, i, r int, bound float64) (float64, int) {
	if k < 0 {
		if i > 0 || t.q.Before >= 0 && !t.q.May(i, t.q.Before, r) {
			return math.Inf(1), -1
		}
		return 0, -1
	}
	best, at := bound, -1
	for s := i - 1; s >= 0; s-- {
		on := t.on[s][i-1]
		if math.IsInf(on, 1) {
			break
		}
		if v := max(t.levels[k].start[s], on); v < best && t.q.May(i, s, r) {
			best, at = v, s
		}
	}
	if at < 0 {
		return math.Inf(1), -1
	}
	return best, at
}
