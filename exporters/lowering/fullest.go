package lowering

import "math"

// fullest is the held way through the tube in hand with the greatest dose, or
// with sign −1 the least, over at most most points; nil when there is none. Level
// by level of points it keeps, for each station, the best dose up to it; between
// two stations the brightest (or darkest) rung right all the way is held.
func (g *grid) fullest(c cut, rung, most int, sign float64) []vertex {
	f := held{grid: g, from: c.at, end: c.at + g.n, sign: sign}
	level := g.rungs.light(rung)
	home := f.end
	for home > f.from && g.holds(home-1, g.rungs.command(rung)) {
		home--
	}
	row := f.row()
	for i := f.from; i < f.end && g.holds(i, g.rungs.command(rung)); i++ {
		if g.station[i] {
			row[i-f.from] = stop{dose: sign * level * (g.t[i] - g.t[f.from]), before: -1}
		}
	}
	best, layer, at := math.Inf(-1), -1, -1
	for points := 1; points <= most; points++ {
		f.rows = append(f.rows, row)
		fuller := false
		for i := home; i < f.end; i++ {
			if total := row[i-f.from].dose + sign*level*(g.t[f.end]-g.t[i]); total > best+1e-9 {
				best, layer, at, fuller = total, points-1, i, true
			}
		}
		if layer >= 0 && !fuller && points > layer+3 {
			break // more points have stopped helping
		}
		row = f.next(row)
	}
	if layer < 0 {
		return nil
	}
	return f.trace(layer, at, rung)
}

// stop is the best dose of a way up to a station, and the station and rung before.
type stop struct {
	dose         float64
	before, rung int
}

type held struct {
	*grid
	from, end int
	sign      float64
	rows      [][]stop // by the number of points, from one
}

func (f held) row() []stop {
	row := make([]stop, f.n)
	for k := range row {
		row[k].dose = math.Inf(-1)
	}
	return row
}

// next is the best doses with one point more.
func (f held) next(row []stop) []stop {
	out := f.row()
	for i := f.from; i < f.end; i++ {
		start := row[i-f.from]
		if math.IsInf(start.dose, -1) {
			continue
		}
		low, high := f.cl[i], f.cu[i]
		for k := i + 1; k < f.end; k++ {
			low, high = max(low, f.cl[k]), min(high, f.cu[k])
			r, ok := f.rungs.extreme(low, high, f.sign)
			if !ok {
				break
			}
			if !f.station[k] {
				continue
			}
			dose := start.dose + f.sign*f.rungs.light(r)*(f.t[k]-f.t[i])
			if dose > out[k-f.from].dose {
				out[k-f.from] = stop{dose, i, r}
			}
		}
	}
	return out
}

func (f held) trace(layer, at, rung int) []vertex {
	vs := []vertex{{at % f.n, rung}}
	for ; layer > 0; layer-- {
		s := f.rows[layer][at-f.from]
		vs = append(vs, vertex{s.before % f.n, s.rung})
		at = s.before
	}
	return vs
}

// extreme is the highest rung, or with sign −1 the lowest, with a command in an
// interval.
func (r ladder) extreme(low, high, sign float64) (rung int, ok bool) {
	first := max(r.lit, int(math.Ceil((low-r.foot)/r.step-1e-6)))
	last := min(r.top, int(math.Floor((high-r.foot)/r.step+1e-6)))
	dark := r.dark && low <= r.foot && high >= r.foot
	switch {
	case last < first || dark && sign < 0:
		return 0, dark
	case sign > 0:
		return last, true
	}
	return first, true
}
