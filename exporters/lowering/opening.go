package lowering

import "math"

// few is the number of points at which a ramp may have none to spare for a level
// night.
const few = 3

// small is a time step, in s, whose day is so small that everything is tried.
const small = 1800

// small says that the grid is so small that every start is tried.
func (g *grid) small() bool { return g.spacing() >= small }

// spacing is the time between stations: the time step, or the multiple of it that
// is nearest to a minute (to half an hour for a ramp of very few points).
func (g *grid) spacing() float64 {
	step, nominal := g.limits.TimeStep, 60.0
	if !g.limits.Hold && g.limits.MaxPoints <= few {
		nominal = small
	}
	return max(1, math.Floor(nominal/step+1e-9)) * step
}

// cuts are where the ring is opened. A held track is level everywhere, so any
// one sample will do. A ramp is taken to be level in the middle of the longest
// dark part of the day, or of the longest level part when none is dark. When
// nothing is level, a point stands where the target is least. On a small grid a
// point is tried at every station as well.
func (g *grid) cuts() []cut {
	var out []cut
	if g.calm >= 0 || g.limits.Hold {
		out = append(out, cut{max(g.calm, 0), true})
	}
	if g.limits.Hold {
		return out
	}
	least := -1
	for i := range g.n {
		if !g.station[i] {
			continue
		}
		if g.small() {
			out = append(out, cut{i, false})
		}
		if least < 0 || g.hi[i] < g.hi[least] {
			least = i
		}
	}
	if len(out) == 0 {
		out = append(out, cut{least, false})
	}
	return out
}

// calm is the middle of the longest part of the target that is level, dark parts
// before others; -1 when no part is level.
func (g *grid) calmest() int {
	at, longest, dark := -1, 0.0, false
	for i := range g.n {
		if i > 0 && g.flat(i-1) {
			continue // not where a level part begins
		}
		k := i
		for k < i+g.n && g.flat(k%g.n) {
			k++
		}
		length := g.t[min(k, 2*g.n-1)] - g.t[i]
		isDark := g.hi[i] == 0
		if length > 0 && (isDark && !dark || isDark == dark && length > longest) {
			longest, dark = length, isDark
			at = g.middle(i, k)
		}
	}
	return at
}

// middle is the station nearest to the middle between two samples, or the first
// sample when there is none. Stations stay when samples are added.
func (g *grid) middle(i, k int) int {
	k = min(k, 2*g.n-1)
	mid := (g.t[i] + g.t[k]) / 2
	at, best := i, math.Inf(1)
	for ; i <= k; i++ {
		if d := math.Abs(g.t[i] - mid); g.station[i] && d < best-1e-6 {
			at, best = i, d
		}
	}
	return at % g.n
}

// flat says that the target is level from one sample to the next.
func (g *grid) flat(i int) bool {
	k := (i + 1) % g.n
	return g.lo[i] == g.hi[i] && g.lo[k] == g.lo[i] && g.hi[k] == g.lo[i]
}

// rungsAt are the rungs tried at a cut: the lowest alone when the night is dark, or
// as dark as the port can be, else those within the tube, but no more than a few
// on a large grid.
func (g *grid) rungsAt(c cut) []int {
	x := g.nodesAt(c.at)
	if g.night() {
		if x.full>>darkBit == 1 {
			return []int{0}
		}
		return nil
	}
	if g.calm >= 0 && g.hi[g.calm] <= g.asked.floor && x.bit(0, false) == 0 {
		return []int{0}
	}
	var out []int
	for b := 0; b <= darkBit; b++ {
		if x.full>>b&1 == 1 {
			out = append(out, x.rung(b))
		}
	}
	if every := 1 + len(out)/(fewRungs+1); every > 1 && !g.small() {
		for k := 0; k*every < len(out); k++ {
			out[k] = out[k*every]
		}
		out = out[:(len(out)+every-1)/every]
	}
	return out
}

// night says that the calm middle of the day is dark, and can be.
func (g *grid) night() bool { return g.calm >= 0 && g.hi[g.calm] == 0 && g.rungs.dark }

// nodesAt is the rungs within the tube at a sample, station or not.
func (g *grid) nodesAt(i int) nodes { return g.between(g.cl[i], g.cu[i], g.most()) }
