package lowering

import "math"

// finest is the departure below which no better points are looked for: a
// ten-thousandth of full light.
const finest = 1e-4

// tight is the relative width to which the least departure is closed in on.
const tight = 5e-3

// mostRounds bounds how often samples are added; nearly always two rounds do.
const mostRounds = 100

// rough is how many levels the least departure is closed in on to where a closer grid
// follows, and passes how often one is laid about the points found.
const (
	rough  = 5
	passes = 4
)

// Rungs tried at a station, and places at which the ring is opened.
const (
	allRungs  = 62
	fineRungs = 24
	fewRungs  = 10
	fewStarts = 8
)

// solution is a way round the day, how far it departs at the samples at most, and a
// departure that none does without.
type solution struct {
	vertices         []vertex
	departure, lower float64
}

// best is the least departure with at most most points, and among the ways that
// keep within it one with the fewest points. Samples at which a way is found to
// depart by more than it should are added until it holds at all times.
func (g *grid) best(most, from int) (got solution, rung int) {
	for round := 0; ; round++ {
		got, from = g.bracket(most, from)
		worse := g.peaks(got.vertices, got.departure*(1+tight))
		if len(worse) == 0 || round == mostRounds {
			return got, from
		}
		g.add(worse)
	}
}

// level is the n-th departure that is tried: so that what is found does not depend on
// where the search for it began, all are of one row.
func level(n int) float64 { return finest * math.Pow(1+tight, float64(n)) }

// levelOf is the first of them that is no less than a departure.
func levelOf(departure float64) int {
	return max(0, int(math.Ceil(math.Log(departure/finest)/math.Log(1+tight)-1e-9)))
}

// likely is a departure from which on a way is looked for: the bound, or what a level part
// is off the nearest rung. It is no bound, since ramps may do better.
func (a target) likely(r *ladder, bound float64) float64 {
	for i := 1; i < len(a.breaks); i++ {
		y := a.At(a.breaks[i-1])
		if !a.level(a.breaks[i-1], a.breaks[i]) || y <= a.floor {
			continue
		}
		c, _ := r.response.Command(y)
		n := min(int((c-r.foot)/r.step), r.top-1)
		bound = max(bound, min(math.Abs(y-r.light(max(n, 0))), math.Abs(y-r.light(n+1))))
	}
	return max(bound, finest)
}

// bracket is the least level with a way, looked for from a guess on.
func (g *grid) bracket(most, guess int) (got solution, at int) {
	low, high := -1, guess // none at low, at high there is one
	for by := 8; ; by *= 2 {
		if got = g.within(level(high), most); got.vertices != nil {
			break
		}
		low, high = high, high+by
	}
	for by := g.near; low < 0 && high > 0; by *= 2 {
		try := max(high-by, 0)
		next := g.within(level(try), most)
		if next.vertices == nil {
			low = try
			break
		}
		got, high = next, try
	}
	for high > low+g.near {
		try := (low + high) / 2
		if next := g.within(level(try), most); next.vertices != nil {
			got, high = next, try
		} else {
			low = try
		}
	}
	return got, high
}

// within is the fewest points within a departure over all starts.
func (g *grid) within(departure float64, most int) solution {
	g.tube(departure, g.most())
	var got []vertex
	for _, s := range g.starts(fewStarts) {
		if vs := g.fewest(s, most); vs != nil {
			got, most = vs, len(vs)-1
		}
	}
	return solution{vertices: got, departure: departure}
}

// most is the rungs tried at a station.
func (g *grid) most() int {
	switch {
	case g.limits.TimeStep >= small:
		return allRungs
	case g.apart > g.limits.TimeStep && g.apart > 60:
		return fewRungs
	}
	return fineRungs
}

// peaks are times at which a way departs by more than a limit.
func (g *grid) peaks(vs []vertex, limit float64) []float64 {
	tr, err := g.asked.played(g.points(vs), g.limits)
	if err != nil {
		return nil
	}
	return g.asked.norm.Above(g.asked, tr, limit)
}
