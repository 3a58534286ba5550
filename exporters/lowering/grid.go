package lowering

import (
	"math"
	"slices"

	"dayloom/schedule/curve"
	"dayloom/schedule/port"
)

// grid is the day as the search sees it: samples of the target, at some of which
// a point may stand. The ring is laid out twice, so that a walk over midnight
// is a walk to the right; n is the samples of one day.
type grid struct {
	asked  target
	rungs  *ladder
	limits Limits

	n       int
	t       []float64 // 2n times, the second half a day later
	lo, hi  []float64 // n: lights that are right
	station []bool    // 2n: a point may stand here
	calm    int       // the middle of the longest level part, dark parts first; -1: none is level

	cl, cu []float64 // 2n: commands within the departure in hand
	nodes  []nodes   // 2n: rungs of each station within the departure in hand

	coarse bool // few rungs are tried

	area []float64 // 2n: ∫ target dt from sample 0 on, s; by trapezia, to prefer one way to another

	seen   []uint64 // 2n: rungs reached by the search in hand
	parent []int32  // 2n × 64
	queue  []int32

	care   bool      // of equally few points the best are looked for
	from   int       // the cut
	level  float64   // light at the cut
	count  int32     // number of the points now being reached
	depth  []int32   // 2n: points up to here, of a held track
	astray []float64 // 2n × 64: Σ |dose given − dose asked| of the moves up to here, s
}

// Samples between breaks of the target where it is not level; more are added
// where a solution is found to depart by more between samples than at them.
const samples = 96

func newGrid(a target, r *ladder, l Limits) *grid {
	g := &grid{asked: a, rungs: r, limits: l}
	stations := g.stations()
	var more []float64
	for i := 1; i < len(a.breaks); i++ {
		from, to := a.breaks[i-1], a.breaks[i]
		if a.level(from, to) {
			continue
		}
		for k := 1; k < samples; k++ {
			more = append(more, from+(to-from)*float64(k)/samples)
		}
	}
	for _, t := range a.breaks {
		more = append(more, wrap(t))
	}
	for _, j := range a.jumps {
		more = append(more, j.from, wrap(j.from+j.length))
	}
	g.lay(stations, more)
	return g
}

// stations are the times at which points may stand: the multiples of the time
// step, thinned to a minute, and all of them next to breaks of the target.
func (g *grid) stations() []float64 {
	step, coarse := g.limits.TimeStep, g.spacing()
	var out []float64
	for i := 0; float64(i)*coarse < curve.Day-1e-6; i++ {
		if t := float64(i) * coarse; g.asked.worthwhile(t, coarse) {
			out = append(out, t)
		}
	}
	if coarse > step {
		for _, b := range g.asked.breaks {
			for k := -2.0; k <= 2; k++ {
				if t := (math.Round(b/step) + k) * step; t >= 0 && t < curve.Day-1e-6 {
					out = append(out, t)
				}
			}
		}
	}
	return tidy(out)
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
	g.lo, g.hi = make([]float64, n), make([]float64, n)
	g.station = make([]bool, 2*n)
	for i, t := range ts {
		g.t[i], g.t[n+i] = t, t+curve.Day
		g.lo[i], g.hi[i] = g.asked.band(t)
		_, at := slices.BinarySearch(stations, t)
		g.station[i], g.station[n+i] = at, at
	}
	g.cl, g.cu = make([]float64, 2*n), make([]float64, 2*n)
	g.nodes, g.seen = make([]nodes, 2*n), make([]uint64, 2*n)
	g.parent, g.depth, g.astray = make([]int32, 2*n*64), make([]int32, 2*n), make([]float64, 2*n*64)
	g.area = make([]float64, 2*n)
	for i := 1; i < 2*n; i++ {
		a, b := (i-1)%n, i%n
		g.area[i] = g.area[i-1] + (g.t[i]-g.t[i-1])*(g.lo[a]+g.hi[a]+g.lo[b]+g.hi[b])/4
	}
	g.calm = g.calmest()
}

// add puts further samples in.
func (g *grid) add(more []float64) {
	var stations []float64
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

// bit is the bit of a rung, or -1.
func (x nodes) bit(rung int, dark bool) int {
	b := darkBit
	if rung > 0 || !dark {
		if rung < x.base || (rung-x.base)%x.stride != 0 {
			return -1
		}
		if b = (rung - x.base) / x.stride; b >= darkBit {
			return -1
		}
	}
	if x.full>>b&1 == 0 {
		return -1
	}
	return b
}

// tube sets the commands that keep within a departure, and the rungs between
// them: at most most at a station, every stride-th when there are more.
func (g *grid) tube(departure float64, most int) {
	n := g.n
	for i := range n {
		g.cl[i], g.cu[i] = g.rungs.span(g.lo[i]-departure, g.hi[i]+departure)
		if g.rungs.dark && g.hi[i] == 0 && (g.limits.Hold || i == g.calm) {
			g.cu[i] = min(g.cu[i], max(g.rungs.foot, g.rungs.edge-g.rungs.below())) // dark, whatever it costs
		}
		g.cl[n+i], g.cu[n+i] = g.cl[i], g.cu[i]
		if g.station[i] {
			g.nodes[i] = g.between(g.cl[i], g.cu[i], most)
			g.nodes[n+i] = g.nodes[i]
		}
	}
}

// between is the rungs with commands in an interval.
func (g *grid) between(low, high float64, most int) nodes {
	r := g.rungs
	x := nodes{stride: 1}
	if r.dark && low <= r.foot && high >= r.foot {
		x.full = 1 << darkBit
	}
	first := max(r.lit, int(math.Ceil((low-r.foot)/r.step-1e-6)))
	last := min(r.top, int(math.Floor((high-r.foot)/r.step+1e-6)))
	if last < first {
		return x
	}
	if count := last - first + 1; count > most {
		x.stride = (count + most - 1) / most
		first = (first + x.stride - 1) / x.stride * x.stride
	}
	x.base = first
	x.full |= ones((last-first)/x.stride + 1)
	return x
}

func ones(n int) uint64 { return 1<<min(n, darkBit) - 1 }

// vertex is a point on the grid: a sample and a rung.
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
