package tank

import (
	"math"

	"dayloom/photon/emitter"
	"dayloom/photon/ray"
)

// row is a run of places of one grid row seen through one pair of mirrors.
type row struct {
	mx, my  mirror
	x, step float64 // image of the first place, and the step to the next
	y       float64
	wide    [2]float64 // the most that a sample's entries spread to either side, see wide
	out     []float64  // the run's sums
}

// worth is how many rays a table costs at the least, about: fewer are sooner worked out
// one by one, as for each part of a line that is not level, which shares its table with
// no other.
const worth = 4000

// layer adds the view's light to the sums of one layer of a grid.
func (v *view) layer(g Grid, sum []float64) {
	if len(v.lines) == 0 && len(sum)*len(v.samples)*len(v.mx)*len(v.my) < worth {
		one := Grid{X0: g.X0, Dx: g.Dx, Nx: g.Nx, Y0: g.Y0, Dy: g.Dy, Ny: g.Ny, Depths: []float64{v.depth}}
		for i := range sum {
			sum[i] += v.at(one.Place(i))
		}
		return
	}
	x, y, _ := v.farthest(v.box)
	x, y = x+v.reach+5*v.step, y+v.reach
	t := v.table(x*x + y*y)
	for _, my := range v.my {
		for j := range g.Ny {
			r := row{my: my, y: my.off + my.sign*(g.Y0+float64(j)*g.Dy)}
			out := sum[j*g.Nx : (j+1)*g.Nx]
			for _, s := range v.lines {
				v.line(&t, s, &r, g, out)
			}
			var w window
			for i, s := range v.samples {
				r.wide[0], r.wide[1] = wide(s)
				if last := v.samples[max(i-1, 0)]; i == 0 || s.At[1] != last.At[1] || s.Span != last.Span {
					_, half := s.Half()
					w = v.window(&t, s.At[1], half, r.wide[1]+rimBand, &r)
				}
				if w.most < 0 {
					continue
				}
				lowX, highX := v.span(s.At[0], r.wide[0], v.box.Length)
				lowX, highX = math.Max(lowX, s.At[0]-w.most), math.Min(highX, s.At[0]+w.most)
				for _, mx := range v.mx {
					r.mx = mx
					if r.cut(g, out, lowX, highX) {
						v.add(&t, s, &r, w)
					}
				}
			}
		}
	}
}

// span is the range along one axis that light of a sample can come to: no
// farther than the reach outside the tank, and no farther than a ray near the
// vertical that enters at the rim.
func (v *view) span(at, half, length float64) (low, high float64) {
	near := v.nearest()
	low = at + math.Min(0, -at-half-edge)/near
	high = at + math.Max(0, length-at+half+edge)/near
	return math.Max(low-half, -v.reach-edge), math.Min(high+half, length+v.reach+edge)
}

// cut keeps the places of a grid row whose images lie between low and high.
func (r *row) cut(g Grid, out []float64, low, high float64) bool {
	r.x, r.step = r.mx.off+r.mx.sign*g.X0, r.mx.sign*g.Dx
	a, b := (low-r.x)/r.step, (high-r.x)/r.step
	if a > b {
		a, b = b, a
	}
	first, last := max(0, int(math.Ceil(a))), min(g.Nx-1, int(math.Floor(b)))
	if !(b >= 0 && a <= float64(g.Nx-1)) || first > last {
		return false
	}
	r.x += float64(first) * r.step
	r.out = out[first : last+1]
	return true
}

// add is the light of one sample along a row: the bare sum where every ray is sure to
// come in whole, and place by place where the window or the rim to the left or right
// leaves a doubt.
func (v *view) add(t *table, s emitter.Sample, r *row, w window) {
	if r.mx.cell != 0 || !v.inside(s, r) {
		v.mirrored(t, s, r)
		return
	}
	bare := direct
	if t.light == nil {
		bare = v.aimed
	}
	dx, n := r.x-s.At[0], len(r.out)
	from := 0
	upTo := func(edge float64, sum func(*table, emitter.Sample, *row)) {
		to := n // the first place at or beyond the edge
		if at := math.Ceil((edge - dx) / r.step); at < float64(n) {
			to = max(int(at), from)
		}
		if to > from {
			part := *r
			part.x, part.out = r.x+float64(from)*r.step, r.out[from:to]
			sum(t, s, &part)
		}
		from = to
	}
	w0, w1 := w.whole[0], w.whole[1]
	if w0 >= w1 {
		v.mirrored(t, s, r)
		return
	}
	upTo(-w1, v.mirrored)
	if w0 > 0 {
		upTo(-w0, bare)
		upTo(w0, v.mirrored)
	}
	upTo(w1, bare)
	upTo(math.Inf(1), v.mirrored)
}

// inside tells whether every direct ray of the row enters between left and right: both
// ends of the row and the whole part lie over the tank, so all between does.
func (v *view) inside(s emitter.Sample, r *row) bool {
	half, _ := s.Half()
	end := r.x + float64(len(r.out)-1)*r.step
	return within(s.At[0], half, v.box.Length) && within(r.x, 0, v.box.Length) && within(end, 0, v.box.Length)
}

func within(at, half, length float64) bool { return at-half >= -edge && at+half <= length+edge }

// direct is the bare sum: most of the light of most grids.
func direct(t *table, s emitter.Sample, r *row) {
	dx := r.x - s.At[0]
	dy := r.y - s.At[1]
	base := dy*dy + t.c
	light, first, shift, step := t.light, t.first, t.shift&63, r.step
	flux := s.Share * r.mx.fixed * r.my.fixed
	for i := range r.out {
		x := dx + float64(i)*step
		u := x*x + base
		l := light[math.Float64bits(u)>>shift-first]
		r.out[i] += flux * (l.a + l.b*u)
	}
}

// aimed is the bare sum where light depends on direction.
func (v *view) aimed(t *table, s emitter.Sample, r *row) {
	dx, dy := r.x-s.At[0], r.y-s.At[1]
	base := dy*dy + t.c
	flux := s.Share * r.mx.fixed * r.my.fixed
	for i := range r.out {
		x := dx + float64(i)*r.step
		u := x*x + base
		p := &t.path[t.index(u)]
		perR := p.sinPerR.at(u)
		r.out[i] += flux * p.spread.at(u) * v.quick(emitter.Vec{x * perR, dy * perR, -p.cosAir.at(u)})
	}
}

// How close a table may come to a sharp change before the exact ray decides:
// to the rim [m] for a lamp without extent, and to the cosine of total
// reflection.
const (
	rimBand   = 2e-4
	totalBand = 1e-3
)

// mirrored is the sum by way of walls, from a lamp beside the tank, or from one
// whose light depends on direction.
func (v *view) mirrored(t *table, s emitter.Sample, r *row) {
	dx, dy := r.x-s.At[0], r.y-s.At[1]
	base := dy*dy + t.c
	flux := s.Share * r.mx.fixed * r.my.fixed
	for i := range r.out {
		x := dx + float64(i)*r.step
		u := x*x + base
		k := t.index(u)
		p := &t.path[k]
		air := p.air.at(u)
		part, sure := v.part(s, r, x, dy, air, p.rise.at(u))
		if part == 0 && sure {
			continue
		}
		perR := p.sinPerR.at(u)
		glass := 1.0
		if sure && r.mx.glass > 0 {
			glass, sure = v.glass(perR*math.Abs(x), r.mx.glass)
		}
		if sure && r.my.glass > 0 {
			var second float64
			second, sure = v.glass(perR*math.Abs(dy), r.my.glass)
			glass *= second
		}
		switch {
		case !sure:
			r.out[i] += v.through(s, r.mx, r.my, x+s.At[0], r.y)
		case t.light != nil:
			r.out[i] += flux * part * glass * t.light[k].at(u)
		default:
			dir := emitter.Vec{x * perR, dy * perR, -p.cosAir.at(u)}
			r.out[i] += flux * part * glass * p.spread.at(u) * v.quick(dir)
		}
	}
}

// glass is what is left after so many meetings with glass at nCos, the index
// times the cosine of incidence; unsure next to the critical angle, where the
// reflectance is too steep for a table.
func (v *view) glass(nCos float64, times int) (left float64, sure bool) {
	switch past := nCos - v.total; {
	case past < -totalBand:
		return 1, true
	case past < totalBand:
		return 0, false
	}
	return power(ray.InnerReflectance(v.index, nCos/v.index), times), true
}

// part is mirror.enters for both axes from the table's air share; unsure where
// a sharp rim is too close to call.
func (v *view) part(s emitter.Sample, r *row, dx, dy, air, rise float64) (part float64, sure bool) {
	x, y := s.At[0]+air*dx, s.At[1]+air*dy
	if part, sure = v.clear(x, y, r.wide[0], r.wide[1]); sure {
		return part, true
	}
	hx, hy := spread(s, dx, dy, air, rise)
	length, width := v.box.Length, v.box.Width
	if part, sure = v.clear(x, y, hx, hy); sure {
		return part, true
	}
	switch {
	case soft(x, hx, length) && soft(y, hy, width):
		return r.mx.enters(x, v.over(r.mx, s, 0, dx, hx), length) * r.my.enters(y, v.over(r.my, s, 1, dy, hy), width), true
	}
	return 0, false
}

// clear is 1 or 0 for entries that are all inside the rim or all outside; else unsure.
func (v *view) clear(x, y, hx, hy float64) (part float64, sure bool) {
	length, width := v.box.Length, v.box.Width
	hx, hy = hx+rimBand, hy+rimBand
	if x > hx && x < length-hx && y > hy && y < width-hy {
		return 1, true
	}
	return 0, x < -hx || x > length+hx || y < -hy || y > width+hy
}

// soft tells whether an entry is clear of the rim, or so spread out across it
// that a small error of place changes little.
func soft(at, half, length float64) bool {
	return half > 25*rimBand || at > rimBand && at < length-rimBand
}
