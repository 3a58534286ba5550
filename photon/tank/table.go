package tank

import (
	"math"

	"dayloom/photon/emitter"
	"dayloom/photon/ray"
)

// table holds what a ray needs, by its horizontal distance r, for one lamp
// group at one depth. Between knots everything is linear in u = r² + c with c
// near (h + d/n)², the variable in which the light falls as a power. The knots
// are spread evenly over each octave of u, so that the bits of the number u are
// the index: no root, no division.
type table struct {
	c     float64 // added to r² [m²]
	shift uint
	first uint64
	light []line // flux density per µmol/s of an axial lamp aimed straight down, [1/m²]
	path  []paths
}

// line is a + b u.
type line struct{ a, b float64 }

func (l line) at(u float64) float64 { return l.a + l.b*u }

// paths are the other columns.
type paths struct {
	air     line // share of r above the water
	rise    line // how fast that share grows, dair/dr / r [1/m²]
	sinPerR line // sin θa / r [1/m]
	cosAir  line
	spread  line // flux density per unit intensity, with surface and water losses [1/m²]
}

const (
	coarseBits = 6  // 64 knots an octave at first
	fineBits   = 13 // and 8192 at most
	// Knots are doubled until no chord's middle was off by more than this
	// share before the last doubling, which quarters it; or this share of the
	// greatest value, where light is all but none.
	chord    = 6e-4
	chordLow = 1e-7
	// Directions are kept closer, for the rim and the critical angle are sharp.
	chordPath = 1e-4
)

// knot is the exact ray at one knot.
type knot struct{ light, spread, air, rise, sinPerR, cosAir float64 }

// fast tells whether the lamp's light depends on distance alone.
func (l *lamp) fast() bool { return l.Light.Axial() && l.PointsDown() }

func (v *view) knot(r2 float64, fast bool) knot {
	p := ray.To(v.Height, v.depth, math.Sqrt(math.Max(r2, 0)), v.index)
	k := knot{
		spread: p.Spread * ray.Transmittance(v.index, p.CosAir) * v.water.at(p.Length),
		air:    p.AirShare, rise: p.AirRise, sinPerR: p.SinPerR, cosAir: p.CosAir,
	}
	if fast {
		sin := math.Sqrt(math.Max(0, 1-p.CosAir*p.CosAir))
		k.light = k.spread * v.toward(emitter.Vec{sin, 0, -p.CosAir})
	}
	return k
}

// table tabulates the view out to the squared distance r2 [m²].
func (v *view) table(r2 float64) table {
	h := v.Height + v.depth/v.index
	fast := v.fast()
	// c is cut to the coarsest knot, so that u = c stays a knot in all.
	t := table{c: math.Float64frombits(math.Float64bits(h*h) >> (52 - coarseBits) << (52 - coarseBits))}
	var knots []knot
	for bits := uint(coarseBits); ; bits++ {
		t.shift = 52 - bits
		t.first = math.Float64bits(t.c) >> t.shift
		n := int(math.Float64bits(t.c+r2)>>t.shift-t.first) + 2
		next := make([]knot, n)
		for i := range next {
			if i%2 == 0 && i/2 < len(knots) {
				next[i] = knots[i/2]
			} else {
				next[i] = v.knot(t.u(i)-t.c, fast)
			}
		}
		settled := knots != nil && straight(next)
		knots = next
		if settled || bits == fineBits {
			break
		}
	}
	t.fill(knots, fast)
	return t
}

// u is the value at a knot.
func (t *table) u(i int) float64 { return math.Float64frombits((t.first + uint64(i)) << t.shift) }

// straight tells whether every odd knot lies on the chord of its neighbours.
func straight(k []knot) bool {
	var light, spread float64
	for _, k := range k {
		light, spread = math.Max(light, k.light), math.Max(spread, k.spread)
	}
	off := func(a, m, b, share, low float64) bool {
		return math.Abs((a+b)/2-m) > share*m+low
	}
	for i := 1; i+1 < len(k); i += 2 {
		a, m, b := k[i-1], k[i], k[i+1]
		if off(a.light, m.light, b.light, chord, chordLow*light) || off(a.spread, m.spread, b.spread, chord, chordLow*spread) ||
			off(a.air, m.air, b.air, chordPath, 0) || off(a.sinPerR, m.sinPerR, b.sinPerR, chordPath, 0) ||
			off(a.cosAir, m.cosAir, b.cosAir, 0, chordPath) {
			return false
		}
	}
	return true
}

func (t *table) fill(k []knot, fast bool) {
	t.path = make([]paths, len(k)-1)
	if fast {
		t.light = make([]line, len(k)-1)
	}
	for i := range t.path {
		u0, u1 := t.u(i), t.u(i+1)
		join := func(y0, y1 float64) line {
			b := (y1 - y0) / (u1 - u0)
			return line{a: y0 - b*u0, b: b}
		}
		p, q := k[i], k[i+1]
		t.path[i] = paths{
			air: join(p.air, q.air), rise: join(p.rise, q.rise), sinPerR: join(p.sinPerR, q.sinPerR),
			cosAir: join(p.cosAir, q.cosAir), spread: join(p.spread, q.spread),
		}
		if fast {
			t.light[i] = join(p.light, q.light)
		}
	}
}

// index is the cell of u; u must lie between c and c + r2 of the making.
func (t *table) index(u float64) int { return int(math.Float64bits(u)>>t.shift - t.first) }
