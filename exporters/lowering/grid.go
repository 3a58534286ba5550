package lowering

import (
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// grid is the day as the search sees it: samples of the target, at some of which
// a point may stand. The ring is laid out twice, so that a walk over midnight
// is a walk to the right; n is the samples of one day.
type grid struct {
	asked  target
	rungs  *ladder
	limits Limits
	apart  float64 // s: between stations
	near   int     // levels to which the least departure is closed in on

	n       int
	t       []float64 // 2n times, the second half a day later
	before  []band    // n: lights that are right just before
	after   []band    // n: and just after
	bottom  []bool    // n: the command is the bottom of the range
	night   int       // the middle of the longest dark part; -1: there is none
	station []bool    // 2n: a point may stand here

	cl, cu []float64 // 2n: commands within the departure in hand, just before
	pl, pu []float64 // 2n: and just after
	nodes  []nodes   // 2n: rungs of each station within the departure in hand

	open   []uint64 // 2n: rungs that a move may go to: those not reached by the search in hand
	parent []int32  // 2n × 64
	queue  []int32
}

// Samples between breaks of the target where it is not level, a minute apart or more;
// further ones are added where a solution is found to depart by more between samples
// than at them.
const samples = 48

// small is a time step, in s, from which on every time is tried as it is.
const small = 1800

// newGrid is the day with points at multiples of a spacing, and at all times of the
// controller next to breaks of the target.
func newGrid(a target, r *ladder, l Limits, spacing float64, near int) *grid {
	g := &grid{asked: a, rungs: r, limits: l, apart: spacing, near: near}
	var out []float64
	for i := 0; float64(i)*spacing < curve.Day-1e-6; i++ {
		if t := float64(i) * spacing; g.exact() || a.worthwhile(t, spacing) {
			out = append(out, t)
		}
	}
	for _, b := range a.breaks {
		out = append(out, g.next(b, 2, l.TimeStep)...)
	}
	g.begin(out)
	return g
}

// closer is the grid about some points: a finer spacing apart, as far from them as one
// step of this grid.
func (g *grid) closer(points []port.Point, spacing float64) *grid {
	f := &grid{asked: g.asked, rungs: g.rungs, limits: g.limits, apart: spacing, near: 1}
	var out []float64
	for _, p := range points {
		out = append(out, f.next(p.Time, math.Ceil(g.apart/spacing), spacing)...)
	}
	for _, b := range g.asked.breaks {
		out = append(out, f.next(b, 2, g.limits.TimeStep)...)
	}
	f.begin(out)
	return f
}

// next is the times about another, so many steps to either side.
func (g *grid) next(t, steps, step float64) (out []float64) {
	for k := -steps; k <= steps; k++ {
		if s := (math.Round(t/step) + k) * step; s >= 0 && s < curve.Day-1e-6 {
			out = append(out, s)
		}
	}
	return out
}

// begin lays out the day for stations at some times.
func (g *grid) begin(stations []float64) {
	if g.rungs.cliff && !g.limits.Hold { // a lamp is switched in one time step
		for _, t := range stations {
			if t += g.limits.TimeStep; t < curve.Day-1e-6 {
				stations = append(stations, t)
			}
		}
	}
	a := g.asked
	more := []float64{g.limits.TimeStep / 2} // where a held track has no point
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		if a.level(from, to) {
			continue
		}
		n := min(samples, int(math.Ceil((to-from)/60)))
		for k := 1; k < n; k++ {
			more = append(more, from+(to-from)*float64(k)/float64(n))
		}
	}
	for _, t := range a.breaks {
		more = append(more, wrap(t))
	}
	for _, d := range a.dark {
		more = append(more, wrap((d.from+d.to)/2))
	}
	for _, j := range a.jumps {
		more = append(more, j.From, wrap(j.From+j.Length))
	}
	g.lay(tidy(stations), more)
}

// lay sets up the arrays for stations and further samples.
func (g *grid) lay(stations, more []float64) {
	ts := slices.Clone(stations)
	for _, t := range more {
		// a sample within a millisecond of a station would be the station again
		i, _ := slices.BinarySearch(stations, t)
		if (i == len(stations) || stations[i]-t > 1e-3) && (i == 0 || t-stations[i-1] > 1e-3) {
			ts = append(ts, t)
		}
	}
	slices.Sort(ts)
	ts = slices.CompactFunc(ts, func(a, b float64) bool { return math.Abs(b-a) < 1e-3 })
	n := len(ts)
	g.n, g.t = n, make([]float64, 2*n)
	g.before, g.after, g.bottom = make([]band, n), make([]band, n), make([]bool, n)
	g.station = make([]bool, 2*n)
	for i, t := range ts {
		g.t[i], g.t[n+i] = t, t+curve.Day
		before, after := g.asked.bands(t)
		if !g.limits.Hold { // a ramp does not jump
			before = band{max(before.lo, after.lo), min(before.hi, after.hi)}
			after = before
		}
		g.before[i], g.after[i], g.bottom[i] = before, after, g.asked.bottom(t)
		_, at := slices.BinarySearch(stations, t)
		g.station[i], g.station[n+i] = at, at
	}
	g.night = -1
	if longest, ok := g.asked.longest(); ok {
		i, _ := slices.BinarySearch(ts, wrap((longest.from+longest.to)/2)-2e-3)
		g.night = i % n
	}
	g.cl, g.cu = make([]float64, 2*n), make([]float64, 2*n)
	g.pl, g.pu = make([]float64, 2*n), make([]float64, 2*n)
	g.nodes, g.open = make([]nodes, 2*n), make([]uint64, 2*n)
	g.parent = make([]int32, 2*n*64)
}

// add puts further samples in.
func (g *grid) add(more []float64) {
	var stations []float64
	for k, t := range more { // what is at a sample, but for a hair, happens next to it
		i, _ := slices.BinarySearch(g.t[:g.n], t)
		for _, i := range []int{max(i-1, 0), i} {
			if near := g.t[i]; math.Abs(t-near) < 2e-3 {
				more[k] = near + math.Copysign(2e-3, t-near)
			}
		}
	}
	for i, t := range g.t[:g.n] {
		if g.station[i] {
			stations = append(stations, t)
		} else {
			more = append(more, t)
		}
	}
	g.lay(stations, more)
}

// darkBit stands for rung 0 where it is dark; the other 63 for the rungs of a
// station in order.
const darkBit = 63

// nodes are the rungs at which a point may stand at one station.
type nodes struct {
	full         uint64 // the bits in use
	base, stride int    // bit b is the rung base + b·stride
}

func (x nodes) rung(bit int) int {
	if bit == darkBit {
		return 0
	}
	return x.base + bit*x.stride
}

// tube sets the commands that keep within a departure, and the rungs between
// them: at most most at a station, every stride-th when there are more.
func (g *grid) tube(departure float64, most int) {
	n := g.n
	for i := range n {
		switch {
		case g.bottom[i]: // whatever it costs
			g.cl[i], g.cu[i] = g.rungs.foot-1e-7*g.rungs.step, g.rungs.foot+1e-7*g.rungs.step
			g.pl[i], g.pu[i] = g.cl[i], g.cu[i]
		case i > 0 && g.before[i] == g.before[i-1] && g.after[i] == g.after[i-1] && !g.bottom[i-1]:
			g.cl[i], g.cu[i], g.pl[i], g.pu[i] = g.cl[i-1], g.cu[i-1], g.pl[i-1], g.pu[i-1]
		default:
			g.cl[i], g.cu[i] = g.rungs.span(g.before[i].lo-departure, g.before[i].hi+departure)
			g.pl[i], g.pu[i] = g.cl[i], g.cu[i]
			if g.after[i] != g.before[i] {
				g.pl[i], g.pu[i] = g.rungs.span(g.after[i].lo-departure, g.after[i].hi+departure)
			}
		}
		g.cl[n+i], g.cu[n+i], g.pl[n+i], g.pu[n+i] = g.cl[i], g.cu[i], g.pl[i], g.pu[i]
		if g.station[i] && most > 0 {
			g.nodes[i] = g.between(g.pl[i], g.pu[i], most)
			g.nodes[n+i] = g.nodes[i]
		}
	}
}

// leaves says whether a command may stand from a sample on.
func (g *grid) leaves(i int, command float64) bool {
	return g.pl[i] <= command && command <= g.pu[i]
}

// between is the rungs with commands in an interval.
func (g *grid) between(low, high float64, most int) nodes {
	x := nodes{stride: 1}
	first, last, dark := g.rungs.inside(low, high)
	if dark {
		x.full = 1 << darkBit
	}
	if last < first {
		return x
	}
	if count := last - first + 1; count > most {
		x.stride = (count + most - 1) / most
		first = (first + x.stride - 1) / x.stride * x.stride
	}
	if last < first {
		return x
	}
	x.base = first
	x.full |= ones((last-first)/x.stride + 1)
	return x
}

func ones(n int) uint64 { return 1<<min(n, darkBit) - 1 }

// vertex is a point on the grid: a sample, which may be of the second day, and a rung.
type vertex struct{ i, rung int }

// points are the vertices in the order of the day.
func (g *grid) points(vs []vertex) []port.Point {
	var out []port.Point
	for _, v := range vs {
		out = append(out, port.Point{Time: g.t[v.i%g.n], Command: g.rungs.command(v.rung)})
	}
	slices.SortFunc(out, func(a, b port.Point) int {
		if a.Time < b.Time {
			return -1
		}
		return 1
	})
	return out
}
