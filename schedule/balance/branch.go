package balance

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/curve"
	"dayloom/schedule/day"
	"dayloom/schedule/leximin"
	"dayloom/schedule/plan"
)

const (
	leastOn   = 60.0  // s: shorter is off
	fineHours = 0.004 // s: boxes of hours are not split further
	mostBoxes = 400   // looked at; what is left open then shows in the gap
	equal     = 2e-7  // keys nearer than this are equal
)

// box is a range of hours for every switched channel that has auto hours, as Plan.Channels.
type box struct {
	off    []bool
	lo, hi []float64 // s
	bound  []float64 // key that nothing in it can better, of the box it was split from
}

// hoursOf places h seconds: after on or before off where the plan gives one, else in the middle of
// the window.
func hoursOf(s plan.Switched, h float64) day.Hours {
	on := s.On
	switch w := s.Window; {
	case h <= 0:
		return day.Hours{}
	case s.AutoOn && s.AutoOff:
		on = w.From + (forward(w.From, w.To)-h)/2
	case s.AutoOn:
		on = s.Off - h
	}
	return day.Hours{On: forward(0, on), Off: forward(0, on+h)}
}

// longest is the most hours that fit, s.
func longest(s plan.Switched) float64 {
	h := forward(s.Window.From, s.Window.To)
	switch {
	case s.AutoOn && s.AutoOff:
	case s.AutoOn:
		h = forward(s.Window.From, s.Off)
	default:
		h = forward(s.On, s.Window.To)
	}
	return min(h, curve.Day-1)
}

// forward is the time from a to b, s.
func forward(a, b float64) float64 { return math.Mod(math.Mod(b-a, curve.Day)+curve.Day, curve.Day) }

// boxes is where the search starts: every switched channel off, if it may be, or on.
func (t *task) boxes() []box {
	n := len(t.p.Channels)
	out := []box{{off: make([]bool, n), lo: make([]float64, n), hi: make([]float64, n)}}
	for c, a := range t.autos {
		if !a.hours {
			continue
		}
		var next []box
		for _, b := range out {
			on := b.clone()
			// Within these ends light goes with the hours: a season's stretch neither uses them up nor fills the day.
			stretch := t.o.Change.Stretch
			on.hi[c] = min(longest(a.switched), curve.Day-stretch)
			on.lo[c] = min(max(a.switched.Window.AtLeast, leastOn, -stretch), on.hi[c])
			next = append(next, on)
			if a.switched.Window.AtLeast == 0 {
				b.off[c] = true
				next = append(next, b)
			}
		}
		out = next
	}
	return out
}

func (b box) clone() box {
	b.off = append([]bool(nil), b.off...)
	b.lo = append([]float64(nil), b.lo...)
	b.hi = append([]float64(nil), b.hi...)
	return b
}

// split halves the widest range; ok is false when all are narrow.
func (b box) split(bound []float64) (out [2]box, ok bool) {
	widest, width := -1, fineHours
	for c := range b.lo {
		if w := b.hi[c] - b.lo[c]; !b.off[c] && w > width {
			widest, width = c, w
		}
	}
	if widest < 0 {
		return out, false
	}
	out = [2]box{b.clone(), b.clone()}
	out[0].bound, out[1].bound = bound, bound
	mid := (b.lo[widest] + b.hi[widest]) / 2
	out[0].lo[widest], out[1].hi[widest] = mid, mid
	return out, true
}

// found is one box solved.
type found struct {
	sys *system
	res leximin.Result
	key []float64 // levels of all aims from the greatest down, the ratio's, the last rank's
}

// better compares keys rank by rank; nil is worst.
func better(a, b []float64) bool {
	if b == nil || a == nil {
		return a != nil
	}
	for i := range a {
		if d := a[i] - b[i]; math.Abs(d) > equal*(1+math.Abs(b[i])) {
			return d < 0
		}
	}
	return false
}

// solve is the answer of one box with the limits facing one end of it; nil when constants break a limit.
func (t *task) solve(b box, lit int) (*found, error) {
	s := t.system(b, lit)
	if len(s.brokenByConstants()) > 0 {
		return nil, nil
	}
	q := s.problem()
	if len(s.vars) == 0 {
		return s.fixed(q), nil
	}
	res, err := leximin.Solve(q)
	if err != nil {
		return nil, err
	}
	f := &found{sys: s, res: res}
	for _, l := range res.Levels {
		for range l.Aims {
			f.key = append(f.key, l.Value)
		}
	}
	f.key = append(f.key, res.Ratio.Value, res.Last.Value+s.steadyCost(q.From))
	return f, nil
}

// fixed is the answer when nothing is to be found: each departure is its own proof.
func (s *system) fixed(q leximin.Problem) *found {
	f := &found{sys: s, res: leximin.Result{X: []float64{}, LevelOf: make([]int, len(q.Aims))}}
	d := q.Departures(nil)
	order := make([]int, len(d))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return cmp.Compare(d[b], d[a]) })
	for level, i := range order {
		f.res.LevelOf[i] = level
		f.res.Levels = append(f.res.Levels, leximin.Level{Stage: leximin.Stage{Value: d[i], Bound: d[i]}, Aims: []int{i}})
		f.key = append(f.key, d[i])
	}
	f.key = append(f.key, 0, 0)
	return f
}

// steadyCost is the energy at variables zero, kWh, so that boxes compare; changes of peaks need none.
func (s *system) steadyCost(from []float64) float64 {
	if from != nil {
		return 0
	}
	least := s.leastPower()
	sum := 0.0
	for c, d := range s.dose0 {
		sum += s.power(c, least/100) * d / kWh
	}
	return sum
}

// search is the branch and bound over boxes of hours. It returns the best answer, nil if every box
// breaks a limit, and the greatest departure that nothing can better.
func (t *task) search() (best *found, bound float64, err error) {
	open := t.boxes()
	bound = math.Inf(1)
	for looked := 0; len(open) > 0; looked++ {
		at := 0
		for i := range open {
			if open[i].bound == nil || (open[at].bound != nil && better(open[i].bound, open[at].bound)) {
				at = i
				if open[i].bound == nil {
					break
				}
			}
		}
		b := open[at]
		open = append(open[:at], open[at+1:]...)
		if looked >= mostBoxes && b.bound != nil {
			bound = min(bound, b.bound[0])
			continue
		}
		more, least, err := t.look(b, &best)
		if err != nil {
			return nil, 0, err
		}
		bound = min(bound, least)
		open = append(open, more...)
	}
	if best != nil {
		bound = min(bound, best.res.Levels[0].Bound)
	}
	return best, bound, nil
}

// look solves a box, improves best, and returns what to look at next, or the bound of what is left as it is.
func (t *task) look(b box, best **found) (more []box, bound float64, err error) {
	bound = math.Inf(1)
	offer := func(f *found) {
		if f != nil && (*best == nil || better(f.key, (*best).key)) {
			*best = f
		}
	}
	if !t.hasHours(b) {
		f, err := t.solve(b, 1)
		offer(f)
		return nil, bound, err
	}
	hope, err := t.solve(b, 0)
	if err != nil || hope == nil {
		return nil, bound, err
	}
	bound = hope.res.Levels[0].Bound
	if *best != nil && !better(hope.key, (*best).key) {
		return nil, bound, nil
	}
	f, err := t.solve(b, 1)
	offer(f)
	if err != nil || (f != nil && !better(hope.key, f.key)) {
		return nil, bound, err
	}
	if parts, ok := b.split(hope.key); ok {
		return parts[:], math.Inf(1), nil
	}
	return nil, bound, nil
}

func (t *task) hasHours(b box) bool {
	for c, a := range t.autos {
		if a.hours && !b.off[c] {
			return true
		}
	}
	return false
}
