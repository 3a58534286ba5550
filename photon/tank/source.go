package tank

import (
	"fmt"
	"math"
	"reflect"
	"sync"

	"dayloom/photon/emitter"
	"dayloom/photon/ray"
)

// Source is one channel: everything that shares a flux and a spectrum.
type Source struct {
	Emitters []emitter.Emitter
	Flux     float64 // photon flux at full output [µmol/s]
	Index    float64 // refractive index of the water for this light, 1 to 2
	// Transmit is the share of the photons left after a path in water [m]:
	// positive, at most 1, falling smoothly. nil means clear.
	Transmit func(path float64) float64
}

// Validate reports what is wrong with the source, or nil.
func (s Source) Validate() error {
	if !(s.Flux >= 0) || math.IsInf(s.Flux, 0) {
		return fmt.Errorf("source: flux %g µmol/s: it must be 0 or more", s.Flux)
	}
	if !(s.Index >= 1 && s.Index <= 2) {
		return fmt.Errorf("source: refractive index %g: it must be from 1 to 2; sea water has 1.34", s.Index)
	}
	for i, e := range s.Emitters {
		if err := e.Validate(); err != nil {
			return fmt.Errorf("source: emitter %d: %w", i+1, err)
		}
	}
	return nil
}

// lamp is a group of samples that differ only in where they are.
type lamp struct {
	emitter.Emitter // of the first; its height and light are those of all
	toward          func(emitter.Vec) float64
	quick           func(emitter.Vec) float64 // toward for a grid's rays
	samples         []emitter.Sample          // shares are fluxes here [µmol/s]
	lines           []emitter.Sample          // whole level lines along x
	step            float64                   // between the knots of their kernels [m]
}

// lamps samples the emitters and groups those of like height, aim and light. With
// whole, level lines along x stay whole, for kernels with knots as the spacing asks.
func (s Source) lamps(spacing float64, whole bool) []*lamp {
	var out []*lamp
	for _, e := range s.Emitters {
		line := whole && level(e)
		samples := e.Samples(spacing)
		if line {
			samples = e.Samples(0)
		}
		toward, quick := e.Toward(), sync.OnceValue(e.Quick)
		var group *lamp
		for _, p := range samples {
			p.Share *= s.Flux
			if e.Height = p.At[2]; group == nil || group.Height != e.Height {
				group = like(out, e)
			}
			if group == nil {
				group = &lamp{Emitter: e, toward: toward, quick: toward, step: spacing / strides}
				if whole && !group.fast() {
					group.quick = quick()
				}
				out = append(out, group)
			}
			if line {
				group.lines = append(group.lines, p)
			} else {
				group.samples = append(group.samples, p)
			}
		}
	}
	return out
}

// like is the group that an emitter belongs to, nil if there is none yet. The parts
// of a line that is not level have each their own.
func like(groups []*lamp, e emitter.Emitter) *lamp {
	if e.Rise != 0 {
		return nil
	}
	for _, g := range groups {
		if alike(g.Emitter, e) {
			return g
		}
	}
	return nil
}

// farthest is the greatest distance along x and along y [m] from a sample to a
// side of the tank, with the most that the rays of a part spread to either side.
func (l *lamp) farthest(b Box) (x, y, half float64) {
	for _, s := range l.samples {
		hx, hy := s.Half()
		x = math.Max(x, math.Max(math.Abs(s.At[0]), math.Abs(s.At[0]-b.Length))+hx)
		y = math.Max(y, math.Max(math.Abs(s.At[1]), math.Abs(s.At[1]-b.Width))+hy)
		hx, hy = wide(s)
		half = math.Max(half, math.Max(hx, hy))
	}
	for _, s := range l.lines { // each of its rays is reckoned by itself
		hx, _ := s.Half()
		x = math.Max(x, math.Max(math.Abs(s.At[0]), math.Abs(s.At[0]-b.Length))+hx)
		y = math.Max(y, math.Max(math.Abs(s.At[1]), math.Abs(s.At[1]-b.Width)))
	}
	return x, y, half
}

// view is how one lamp is seen at one depth: the images light can come to, how
// far they lie, and what the water takes on the way.
type view struct {
	*lamp
	box    Box
	depth  float64
	index  float64
	reach  float64 // how far outside the unfolded tank light can get [m]
	mx, my []mirror
	total  float64 // index times the cosine of incidence below which glass reflects all
	water  attenuation
}

func (b Box) view(l *lamp, s Source, depth float64) view {
	x, y, half := l.farthest(b)
	tan := ray.WaterTangent(l.Height, math.Hypot(x, y), s.Index)
	v := view{lamp: l, box: b, depth: depth, index: s.Index, reach: depth*tan + half, total: math.Sqrt(s.Index*s.Index - 1)}
	v.mx = mirrors(b.Length, v.reach, b.Left, b.Right)
	v.my = mirrors(b.Width, v.reach, b.Front, b.Back)
	v.water = attenuate(s.Transmit, depth, depth*math.Sqrt(1+tan*tan))
	return v
}

// cosine is that of the steepest angle from the vertical in water of a ray whose part
// in air spans no more than the distance [m].
func (v *view) cosine(distance float64) float64 {
	tan := ray.WaterTangent(v.Height, distance, v.index)
	return 1 / math.Sqrt(1+tan*tan)
}

// nearest is the least share of a horizontal distance that lies above the
// water: that of a ray near the vertical.
func (v *view) nearest() float64 { return v.Height / (v.Height + v.depth/v.index) }

// through is the flux density [µmol m⁻² s⁻¹] that a sample sends to the image
// (x, y) of a place by the mirrors mx and my.
func (v *view) through(s emitter.Sample, mx, my mirror, x, y float64) float64 {
	e, path, walls := v.ray(s, mx, my, x, y)
	if e == 0 {
		return 0
	}
	return e * v.water.at(path) * walls
}

// ray is the whole model for one ray but for what the water takes: the flux density
// that enters [µmol m⁻² s⁻¹], its path in the water [m], and what the walls leave.
func (v *view) ray(s emitter.Sample, mx, my mirror, x, y float64) (e, path, walls float64) {
	dx, dy := x-s.At[0], y-s.At[1]
	near := v.nearest()
	wx, wy := wide(s)
	if misses(s.At[0]+near*dx, dx, wx, v.box.Length) || misses(s.At[1]+near*dy, dy, wy, v.box.Width) {
		return 0, 0, 0
	}
	p := ray.To(v.Height, v.depth, math.Sqrt(dx*dx+dy*dy), v.index)
	hx, hy := spread(s, dx, dy, p.AirShare, p.AirRise)
	part := mx.enters(s.At[0]+p.AirShare*dx, v.over(mx, s, 0, dx, hx), v.box.Length)
	if part == 0 {
		return 0, 0, 0
	}
	part *= my.enters(s.At[1]+p.AirShare*dy, v.over(my, s, 1, dy, hy), v.box.Width)
	if part == 0 {
		return 0, 0, 0
	}
	i := v.toward(emitter.Vec{dx * p.SinPerR, dy * p.SinPerR, -p.CosAir})
	if i == 0 {
		return 0, 0, 0
	}
	e = s.Share * part * i * p.Spread * ray.Transmittance(v.index, p.CosAir)
	return e, p.Length, v.reflected(mx, my, dx, dy, p.SinPerR/v.index)
}

// spread is how far the rays of a part enter to either side of the middle one, along x
// and y [m], for a place dx and dy away. An entry lies at the share air of the way; from
// one end of the part to the other both the way and, by rise, the share change:
//
//	d(s + air·(p − s)) = (1 − air) ds − (p − s) rise (p − s)·ds .
func spread(s emitter.Sample, dx, dy, air, rise float64) (hx, hy float64) {
	if s.Span == ([2][2]float64{}) {
		return 0, 0
	}
	for _, d := range s.Span {
		turn := rise * (dx*d[0] + dy*d[1])
		x, y := (1-air)*d[0]-dx*turn, (1-air)*d[1]-dy*turn
		hx, hy = hx+x*x, hy+y*y
	}
	return math.Sqrt(hx), math.Sqrt(hy)
}

// over is how far entries spread along an axis; not at all for a part that lies wholly
// over the tank and a place within it: no ray between them meets the rim.
func (v *view) over(m mirror, s emitter.Sample, axis int, step, spread float64) float64 {
	if spread == 0 || m.cell != 0 {
		return spread
	}
	half, other := s.Half()
	length := v.box.Length
	if axis == 1 {
		half, length = other, v.box.Width
	}
	if within(s.At[axis], half, length) && within(s.At[axis]+step, 0, length) {
		return 0
	}
	return spread
}

// wide is the most that spread can come to: air + r·dair/dr ≤ 1, so its second term is
// no more than the length of the part.
func wide(s emitter.Sample) (x, y float64) {
	if s.Span == ([2][2]float64{}) {
		return 0, 0
	}
	x, y = s.Half()
	long := math.Hypot(s.Span[0][0], s.Span[0][1]) + math.Hypot(s.Span[1][0], s.Span[1][1])
	return x + long, y + long
}

// misses tells, before the ray is known, that it enters past the far side: it
// goes at least to at, which is as far as a near-vertical ray would.
func misses(at, step, half, length float64) bool {
	if step > 0 {
		return at-half > length+edge
	}
	return at+half < -edge
}

// reflected is what the walls leave of a ray that spans dx and dy and whose
// sine from the vertical in water is perR times the distance.
func (v *view) reflected(mx, my mirror, dx, dy, perR float64) float64 {
	out := mx.fixed * my.fixed
	if mx.glass > 0 {
		out *= power(ray.InnerReflectance(v.index, perR*math.Abs(dx)), mx.glass)
	}
	if my.glass > 0 {
		out *= power(ray.InnerReflectance(v.index, perR*math.Abs(dy)), my.glass)
	}
	return out
}

func power(x float64, n int) float64 {
	out := x
	for ; n > 1; n-- {
		out *= x
	}
	return out
}

// alike tells whether two emitters differ at most in position, body and share.
func alike(a, b emitter.Emitter) bool {
	return a.Height == b.Height && b.Rise == 0 && a.Axis == b.Axis && a.Turn == b.Turn && same(a.Light, b.Light)
}

// same compares two distributions without tripping over one that holds a
// slice, for which Go's == has no answer.
func same(a, b emitter.Distribution) bool {
	return reflect.ValueOf(a).Comparable() && reflect.ValueOf(b).Comparable() && a == b
}
