package tank

import (
	"math"
	"sort"

	"dayloom/photon/emitter"
)

// window is what a sample's row of places looks like along x, by the distance
// |dx| [m] between lamp and place: beyond most, or when most is negative, no ray
// comes in over the rim in front and at the back; between whole[0] and whole[1]
// every one does, and front and back throw it back whole.
type window struct {
	most  float64
	whole [2]float64 // empty when whole[0] ≥ whole[1]
}

// window works out the window of a row. With the distance the ray's share in air
// rises and sin θa / r falls, so each bound on them is a bound on the distance.
func (v *view) window(t *table, s emitter.Sample, r *row) window {
	_, half := s.Half()
	_, wide := wide(s)
	dy := r.y - s.At[1]
	base := dy*dy + t.c
	w := window{most: math.Inf(1), whole: [2]float64{0, math.Inf(1)}}
	if r.my.cell == 0 && within(s.At[1], half, v.box.Width) && within(r.y, 0, v.box.Width) {
		return w
	}
	if dy == 0 {
		return window{most: w.most}
	}
	// Shares in air at which the ray enters at the one side and at the other.
	lo, hi := -s.At[1]/dy, (v.box.Width-s.At[1])/dy
	if dy < 0 {
		lo, hi = hi, lo
	}
	slack := (wide + rimBand) / math.Abs(dy)
	if lo-slack > 1 || hi+slack < 0 {
		return window{most: -1}
	}
	far := func(u float64) float64 { return math.Sqrt(math.Max(0, u-base)) }
	if hi+slack < 1 {
		u := t.airAt(hi + slack)
		if u < base {
			return window{most: -1}
		}
		w.most = far(u)
	}
	if lo+slack > 0 {
		w.whole[0] = far(t.airAt(lo + slack))
	}
	if hi-slack < 1 {
		w.whole[1] = far(t.airAt(hi - slack))
	}
	if r.my.glass > 0 {
		w.whole[0] = math.Max(w.whole[0], far(t.sinPerRAt((v.total-totalBand)/math.Abs(dy))))
	}
	return w
}

// airAt is where the share in air reaches a value: u of the table, 0 when it is
// above everywhere, without end when it stays below.
func (t *table) airAt(share float64) float64 {
	i := sort.Search(len(t.path), func(i int) bool { return t.path[i].air.at(t.u(i+1)) > share })
	switch {
	case i == len(t.path):
		return math.Inf(1)
	case i == 0 && t.path[0].air.at(t.u(0)) > share:
		return 0
	}
	return (share - t.path[i].air.a) / t.path[i].air.b
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
