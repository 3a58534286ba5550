package lowering

import "math"

// bound is a departure that no table with so many points can do without, whatever its
// dose: as many moves are too few to get through the tube at any less. The moves are
// counted as if they needed neither the grid nor to meet, which needs no search: each is
// led as far as one can be.
func (g *grid) bound(points int) float64 {
	enough := func(departure float64) bool {
		g.tube(departure, 0)
		at := max(g.night, 0)
		pieces, end := 0, at+g.n
		for at <= end && pieces <= points+1 {
			at = g.passes(at, end)
			pieces++
		}
		return at > end && pieces <= points+1
	}
	if enough(level(0)) {
		return 0
	}
	low, high := 0, levelOf(1)
	for high > low+1 {
		if mid := (low + high) / 2; enough(level(mid)) {
			high = mid
		} else {
			low = mid
		}
	}
	return level(low)
}

// passes is the first sample after i that one move through sample i, which need not begin
// on a rung there, cannot go through inside the tube; end + 1 when it passes them all.
func (g *grid) passes(i, end int) int {
	if g.limits.Hold {
		low, high := g.pl[i], g.pu[i]
		for k := i + 1; k <= end; k++ {
			low, high = max(low, g.cl[k], g.pl[k]), min(high, g.cu[k], g.pu[k])
			if first, last, dark := g.rungs.inside(low, high); first > last && !dark {
				return k
			}
		}
		return end + 1
	}
	// the steepest and the least steep line through all intervals so far (O'Rourke 1981,
	// Commun. ACM 24, 574): each goes through one of their ends
	type line struct {
		t, c, slope float64
		rest        int // the sample that it rests on: no later line rests on an earlier one
	}
	var up, down line
	for k := i + 1; k <= end; k++ {
		t, low, high := g.t[k], g.cl[k], g.cu[k]
		if g.cl[i] > g.cu[i] || low > high {
			return k
		}
		if k > i+1 && (up.c+up.slope*(t-up.t) < low || down.c+down.slope*(t-down.t) > high) {
			return k
		}
		if k == i+1 || up.c+up.slope*(t-up.t) > high {
			up = line{t, high, math.Inf(1), max(up.rest, i)}
			for m := up.rest; m < k; m++ {
				if s := (high - g.cl[m]) / (t - g.t[m]); s <= up.slope {
					up.slope, up.rest = s, m
				}
			}
		}
		if k == i+1 || down.c+down.slope*(t-down.t) < low {
			down = line{t, low, math.Inf(-1), max(down.rest, i)}
			for m := down.rest; m < k; m++ {
				if s := (low - g.cu[m]) / (t - g.t[m]); s >= down.slope {
					down.slope, down.rest = s, m
				}
			}
		}
	}
	return end + 1
}

// turn is a stretch of the day in the tube in hand that no one line passes, the shortest
// of some: a ramp has a point in it. It is the whole day when there is none.
func (g *grid) turn() (from, to int) {
	from, to = 0, g.n-1
	for i := 0; i < g.n; i += max(1, g.n/64) {
		k := g.passes(i, i+to-from)
		if k < i+to-from {
			from, to = i, k
		}
		if i == 0 && k > to {
			break
		}
	}
	return from, to
}
