package tank

import (
	"math"
	"sort"
)

// window is what a sample's row of places looks like along x, by the distance
// |dx| [m] between lamp and place: beyond most, or when most is negative, no ray
// comes in over the rim in front and at the back; between whole[0] and whole[1]
// every one does, and front and back throw it back whole.
type window struct {
	most  float64
	whole [2]float64 // empty when whole[0] ≥ whole[1]
}

// window works out the window of a row for entries of a sample that spread to half
// its part's extent at least and to slack at most.
func (v *view) window(t *table, y, half, slack float64, r *row) window {
	w := v.rims(y, half, slack, slack, r)
	if dy := math.Abs(r.y - y); r.my.glass > 0 && dy > 0 && w.most >= 0 {
		u := t.sinPerRAt((v.total - totalBand) / dy)
		w.whole[0] = math.Max(w.whole[0], beside(u-t.c, dy))
	}
	return w
}

// rims is the window but for glass: a ray may come in that enters no farther than out
// beyond front or back, and does that enters at least in within them. With the distance the ray's share in air rises, so
// each bound on where it enters is a bound on the distance.
func (v *view) rims(y, half, out, in float64, r *row) window {
	dy, width := r.y-y, v.box.Width
	w := window{most: math.Inf(1), whole: [2]float64{0, math.Inf(1)}}
	if r.my.cell == 0 && within(y, half, width) && within(r.y, 0, width) {
		return w
	}
	if dy == 0 {
		return window{most: w.most}
	}
	// Shares in air at which the ray enters at the one side and at the other.
	lo, hi := -y/dy, (width-y)/dy
	if dy < 0 {
		lo, hi = hi, lo
	}
	out, in = out/math.Abs(dy), in/math.Abs(dy)
	if lo-out > 1 || hi+out < 0 {
		return window{most: -1}
	}
	if hi+out < 1 {
		r2 := v.airborne(hi + out)
		if r2 < dy*dy {
			return window{most: -1}
		}
		w.most = beside(r2, dy)
	}
	if lo+in > 0 {
		w.whole[0] = beside(v.airborne(lo+in), dy)
	}
	if hi-in < 1 {
		w.whole[1] = beside(v.airborne(hi-in), dy)
	}
	return w
}

// beside is |dx| of a point dy away whose squared distance is r2.
func beside(r2, dy float64) float64 { return math.Sqrt(math.Max(0, r2-dy*dy)) }

// airborne is the squared distance [m²] of the place whose ray has the given share of
// it in air: 0 when it is more everywhere, without end when it is less. Snell's law
// solved for q = tan θw / tan θa = h (1 − share) / (d share).
func (v *view) airborne(share float64) float64 {
	h, d, n := v.Height, v.depth, v.index
	q := h * (1 - share) / (d * share)
	switch {
	case share >= 1:
		return math.Inf(1)
	case share <= 0 || d == 0 || q*n >= 1:
		return 0
	case n == 1:
		return math.Inf(1)
	}
	way := h/q + d
	return (1 - q*q*n*n) / (n*n - 1) * way * way
}

// sinPerRAt is where sin θa / r has fallen to a value: 0 when it is below
// everywhere, without end when it stays above.
func (t *table) sinPerRAt(value float64) float64 {
	i := sort.Search(len(t.path), func(i int) bool { return t.path[i].sinPerR.at(t.u(i+1)) < value })
	switch {
	case i == len(t.path):
		return math.Inf(1)
	case i == 0 && t.path[0].sinPerR.at(t.u(0)) < value:
		return 0
	}
	return (value - t.path[i].sinPerR.a) / t.path[i].sinPerR.b
}
