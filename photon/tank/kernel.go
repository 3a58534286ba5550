package tank

import (
	"math"
	"slices"

	"dayloom/photon/emitter"
	"dayloom/photon/ray"
)

// kernel is the light of a level line along x on one grid row, seen through one pair
// of mirrors, per µmol/s and metre of it: at the distance D = x − s along the row from
// a piece at s it is K(D), and its running integral from 0 to D is tabulated at even
// knots. A whole line from a to b is then the integral's difference between x − a and
// x − b, whatever its length.
type kernel struct {
	step   float64
	far    float64     // of |D|: no line on its row is farther
	lo, hi float64     // of |D|: beyond them front or back lets no ray in
	below  [2]float64  // the integral from 0 to lo, to either side
	side   [2][]stride // for D from 0 up and from 0 down; the same when K is even
}

// stride is the running integral and, times the step, K at a knot: a cubic between.
type stride struct{ sum, slope float64 }

// strides are how many knots of a kernel a spacing of samples comes to. The cubic's
// error falls with the fourth power of the step, the samples' with the second.
const strides = 8

// fewest places of a row are worth a kernel.
const fewest = 16

// level tells whether an emitter is a line whose light on a row is a kernel's.
func level(e emitter.Emitter) bool {
	return e.Kind == emitter.Line && e.Rise == 0 && e.From[1] == e.To[1]
}

// kernel tabulates K over distances up to far for pieces at y, for a row of mirrors mx;
// with lo at hi where no ray comes in.
func (v *view) kernel(t *table, y float64, r *row, far float64) (k kernel) {
	dy, w := r.y-y, window{whole: [2]float64{0, math.Inf(1)}}
	if v.depth > 0 { // at the surface a ray enters at the place itself
		w = v.rims(y, 0, edge, -edge, r)
	}
	k.step, k.far, k.lo, k.hi = v.step, far, w.whole[0], math.Min(w.whole[1], far)
	onRim := r.my.cell < 0 && y < edge || r.my.cell > 0 && y > v.box.Width-edge
	if onRim || w.most < 0 || k.lo >= k.hi {
		k.lo = k.hi
		return k
	}
	k.side[0] = v.strides(t, r, dy, k.step, k.hi)
	k.side[1] = k.side[0]
	if t.light == nil {
		k.side[1] = v.strides(t, r, dy, -k.step, k.hi)
	}
	if k.lo > 0 {
		k.below = [2]float64{cubic(k.side[0], k.lo/k.step), cubic(k.side[1], k.lo/k.step)}
	}
	return k
}

// strides integrates K outward with the cubic through four knots,
//
//	∫ K over a step = step (−K₋₁ + 13 K₀ + 13 K₁ − K₂) / 24 .
func (v *view) strides(t *table, r *row, dy, step, far float64) []stride {
	n := int(far/math.Abs(step)) + 2
	out := make([]stride, n)
	size := math.Abs(step)
	at := func(i float64) float64 { return size * v.piece(t, r, i*step, dy) }
	before, here, next := at(-1), at(1e-9), at(1) // straight below a lamp has no direction of its own
	sum := 0.0
	for i := range out {
		after := at(float64(i + 2))
		out[i] = stride{sum: sum, slope: here}
		sum += (13*(here+next) - before - after) / 24
		before, here, next = here, next, after
	}
	return out
}

// piece is K at (dx, dy) but for the rim.
func (v *view) piece(t *table, r *row, dx, dy float64) float64 {
	u := dx*dx + dy*dy + t.c
	i := t.index(u)
	e := r.mx.fixed * r.my.fixed
	var perR float64
	if t.light == nil || r.mx.glass > 0 || r.my.glass > 0 {
		perR = t.path[i].sinPerR.at(u)
	}
	e *= v.thrown(r.mx.glass, dx, dy, perR) * v.thrown(r.my.glass, dy, dx, perR)
	if t.light != nil {
		return e * t.light[i].at(u)
	}
	return e * t.path[i].spread.at(u) * v.quick(emitter.Vec{dx * perR, dy * perR, -t.path[i].cosAir.at(u)})
}

// thrown is what glass leaves of a ray that it meets so many times and that spans
// across towards it and along beside it; near the critical angle of the exact ray.
func (v *view) thrown(times int, across, along, perR float64) float64 {
	nCos := perR * math.Abs(across)
	if times == 0 || nCos < v.total-totalBand {
		return 1
	}
	if nCos < v.total+totalBand {
		nCos = math.Abs(across) * ray.To(v.Height, v.depth, math.Hypot(across, along), v.index).SinPerR
	}
	return power(ray.InnerReflectance(v.index, nCos/v.index), times)
}

// to is the integral of K from 0 to D, of what comes in over front and back.
func (k *kernel) to(d float64) float64 {
	if d < 0 {
		return k.below[1] - cubic(k.side[1], min(max(-d, k.lo), k.hi)/k.step)
	}
	return cubic(k.side[0], min(max(d, k.lo), k.hi)/k.step) - k.below[0]
}

func cubic(knots []stride, at float64) float64 {
	i := int(at)
	f := at - float64(i)
	p, q := knots[i], knots[i+1]
	rise := q.sum - p.sum
	return p.sum + f*(p.slope+f*(3*rise-2*p.slope-q.slope+f*(p.slope+q.slope-2*rise)))
}

// line adds the light of a level line, given as one sample, to a grid row.
func (v *view) line(t *table, s emitter.Sample, r *row, g Grid, out []float64) {
	half := math.Abs(s.Span[0][0])
	a, b := s.At[0]-half, s.At[0]+half
	length := v.box.Length
	lowA, highA := v.span(a, 0, length)
	lowB, highB := v.span(b, 0, length)
	low, high := math.Min(lowA, lowB), math.Max(highA, highB)
	flux := s.Share / (b - a)
	if v.depth == 0 {
		if low, high = -edge, length+edge; r.my.cell != 0 || !within(r.y, 0, v.box.Width) {
			return
		}
	}
	var alike []kernel // one for every mirror that throws back as it does
	for n, mx := range v.mx {
		alike = append(alike, kernel{})
		if r.mx = mx; v.depth == 0 && mx.cell != 0 || !r.cut(g, out, low, high) {
			continue
		}
		first, last := r.x, r.x+float64(len(r.out)-1)*r.step
		if first > last {
			first, last = last, first
		}
		far := v.step * math.Ceil(math.Max(math.Abs(last-a), math.Abs(b-first))/v.step)
		k := &alike[n]
		if i := slices.IndexFunc(v.mx[:n], func(m mirror) bool { return m.fixed == mx.fixed && m.glass == mx.glass }); i >= 0 && alike[i].far >= far {
			*k = alike[i]
		} else {
			*k = v.kernel(t, s.At[1], r, far)
		}
		if k.lo >= k.hi {
			continue
		}
		base := (r.y-s.At[1])*(r.y-s.At[1]) + t.c
		for i := range r.out {
			x := r.x + float64(i)*r.step
			from, to := x-b, x-a
			if v.depth > 0 && (x > length || b > length) {
				from = math.Max(from, t.under(x-length, base))
			}
			if v.depth > 0 && (x < 0 || a < 0) {
				to = math.Min(to, t.under(x, base))
			}
			if from < to {
				r.out[i] += flux * (k.to(to) - k.to(from))
			}
		}
	}
}

// under is the distance D along the row of which the given length [m] lies under
// water: (1 − air) D, without end when there is none. That rises with D and ever
// less, so Newton's method climbs to it from the left.
func (t *table) under(length, base float64) float64 {
	want, d := math.Abs(length), 0.0
	for i := range 30 {
		u := d*d + base
		k := t.index(u)
		if k >= len(t.path) {
			d = math.Inf(1)
			break
		}
		air := t.path[k].air.at(u)
		slope := 1 - air - d*d*t.path[k].rise.at(u)
		if slope <= 0 {
			if want > 0 {
				d = math.Inf(1)
			}
			break
		}
		step := (want - (1-air)*d) / slope
		d += step
		if i > 0 && step < 1e-7 {
			break
		}
	}
	return math.Copysign(d, length)
}
