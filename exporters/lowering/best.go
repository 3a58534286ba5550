package lowering

import (
	"math"
	"slices"
)

// finest is the departure below which no better points are looked for: a
// ten-thousandth of full light.
const finest = 1e-4

// tight is the relative width to which the least departure is closed in on.
const tight = 1e-3

// mostRounds bounds how often samples are added; nearly always two rounds do.
const mostRounds = 30

// Rungs tried at a station: all that there can be on a small grid, few while the
// departure is still being bracketed.
const (
	allRungs  = 62
	fineRungs = 24
	fewRungs  = 6
)

// solution is a way round the day and how far it departs at the samples.
type solution struct {
	vertices  []vertex
	departure float64
}

// best is the least departure with at most most points, and among the ways that
// keep within it one with the fewest points. Samples at which a way is found to
// depart by more than it should are added until it holds at all times.
func (g *grid) best(most int) solution {
	lower := 0.0
	var got solution
	for round := 0; ; round++ {
		got = g.bracket(most, lower)
		worse := g.peaks(got.vertices, max(got.departure*(1+tight), finest))
		if len(worse) == 0 || round == mostRounds {
			return got
		}
		lower = got.departure * (1 - 2*tight) // more samples never make it less
		g.add(worse)
	}
}

// bracket closes in on the least departure, first with few rungs at each station,
// which is quick while tubes are wide. lower is known to be too little.
func (g *grid) bracket(most int, lower float64) solution {
	cuts := g.cuts()
	if g.coarse = !g.small(); !g.coarse {
		return g.careful(cuts, most, g.squeeze(cuts, most, lower, g.first(cuts, most), tight))
	}
	got := g.squeeze(cuts, most, lower, g.first(cuts, most), 0.1)
	g.coarse = false
	low := lower
	for got.departure > max(lower, finest) { // more rungs may do with less
		try := max(got.departure*0.9, lower, finest)
		next := g.within(cuts, try, most, false)
		if next.vertices == nil {
			low = try
			break
		}
		got = next
	}
	return g.careful(cuts, most, g.squeeze(cuts, most, low, got, tight))
}

// first is a way within some departure or other.
func (g *grid) first(cuts []cut, most int) (got solution) {
	for high := g.bound(); high < 4; high *= 2 {
		if got = g.within(cuts, high, most, false); got.vertices != nil {
			break
		}
	}
	return got
}

// squeeze bisects between a departure that is too little and that of a way found,
// down to a relative width.
func (g *grid) squeeze(cuts []cut, most int, low float64, got solution, width float64) solution {
	for got.departure > max(low*(1+width), finest) {
		try := math.Sqrt(max(low, finest) * got.departure)
		if low > 0 && got.departure < 2*low {
			try = (low + got.departure) / 2
		}
		if next := g.within(cuts, try, most, false); next.vertices != nil {
			got = next
		} else {
			low = try
		}
		if low <= finest && got.departure < finest*(1+width) {
			break
		}
	}
	return got
}

// careful is a way as good whose moves keep their dose, if one is found.
func (g *grid) careful(cuts []cut, most int, got solution) solution {
	if next := g.within(cuts, got.departure*(1+1e-9), most, true); next.vertices != nil {
		got.vertices = next.vertices
	}
	return got
}

// bound is a departure that one point keeps to: half of the target's range and
// a rung.
func (g *grid) bound() float64 {
	return max((slices.Max(g.hi)-slices.Min(g.lo))/2*1.01, finest)
}

// within is the fewest points within a departure over all cuts, and how far they
// really depart at the samples.
func (g *grid) within(cuts []cut, departure float64, most int, care bool) solution {
	g.tube(departure, g.most())
	var got []vertex
	for _, c := range cuts {
		for _, rung := range g.rungsAt(c) {
			if vs := g.fewest(c, rung, most, care); vs != nil {
				got, most = vs, len(vs)-1
			}
		}
	}
	return solution{got, min(departure, g.worst(got))}
}

// most is the rungs tried at a station.
func (g *grid) most() int {
	switch {
	case g.limits.TimeStep >= small:
		return allRungs
	case g.coarse || g.small():
		return fewRungs
	}
	return fineRungs
}

// worst is the greatest departure of a way at the samples.
func (g *grid) worst(vs []vertex) float64 {
	if vs == nil {
		return math.Inf(1)
	}
	most := 0.0
	for k, v := range vs {
		g.along(v, vs[(k+1)%len(vs)], func(i int, command float64) bool {
			y := g.rungs.response.Fraction(command)
			most = max(most, g.lo[i%g.n]-y, y-g.hi[i%g.n])
			return true
		})
	}
	return most
}

// along visits the samples from one vertex up to the next, until told to stop.
func (g *grid) along(v, w vertex, visit func(i int, command float64) bool) {
	from, to := g.rungs.command(v.rung), g.rungs.command(w.rung)
	i, end := v.i%g.n, w.i%g.n
	if end <= i {
		end += g.n
	}
	if g.limits.Hold {
		to = from
	}
	slope := (to - from) / (g.t[end] - g.t[i])
	for k := i; k < end; k++ {
		if !visit(k, from+slope*(g.t[k]-g.t[i])) {
			return
		}
	}
	if g.limits.Hold { // what is held is right up to the next point
		visit(end, from)
	}
}

// peaks are times between samples at which a way departs by more than a limit.
func (g *grid) peaks(vs []vertex, limit float64) []float64 {
	tr, err := g.asked.played(g.points(vs), g.limits)
	if err != nil {
		return nil
	}
	return g.asked.above(tr, limit)
}
