package emitter

import "math"

// Vec is a point or direction: x to the right, y to the back, z up [m].
type Vec [3]float64

func (v Vec) dot(w Vec) float64 { return v[0]*w[0] + v[1]*w[1] + v[2]*w[2] }

func (v Vec) cross(w Vec) Vec {
	return Vec{v[1]*w[2] - v[2]*w[1], v[2]*w[0] - v[0]*w[2], v[0]*w[1] - v[1]*w[0]}
}

func (v Vec) norm() float64 { return math.Hypot(math.Hypot(v[0], v[1]), v[2]) }

// combine is a v + b w.
func combine(a float64, v Vec, b float64, w Vec) Vec {
	return Vec{a*v[0] + b*w[0], a*v[1] + b*w[1], a*v[2] + b*w[2]}
}

var down = Vec{0, 0, -1}

// axis is the unit vector of the aim; none given means straight down.
func (e Emitter) axis() Vec {
	if e.Axis == (Vec{}) {
		return down
	}
	return combine(1/e.Axis.norm(), e.Axis, 0, Vec{})
}

// PointsDown tells whether the light is aimed straight down.
func (e Emitter) PointsDown() bool { return e.axis() == down }

// frame is the axis with the directions of φ = 0 and φ = 90°.
func (e Emitter) frame() (zero, right, axis Vec) {
	axis = e.axis()
	k, c := down.cross(axis), down.dot(axis)
	carry := func(v Vec) Vec {
		if 1+c < 1e-12 { // straight up: the shortest rotation is not unique; take it about y
			return Vec{-v[0], v[1], -v[2]}
		}
		kv := k.cross(v)
		return combine(1, combine(1, v, 1, kv), 1/(1+c), k.cross(kv))
	}
	x, y := carry(Vec{1, 0, 0}), carry(Vec{0, 1, 0})
	sin, cos := math.Sincos(e.Turn)
	return combine(cos, x, sin, y), combine(cos, y, -sin, x), axis
}

// Quick is Toward for rays by the million: a beam's power of a cosine is read by straight
// lines between knots, within 1e-4 of it wherever it is over a thousandth of its greatest.
func (e Emitter) Quick() func(dir Vec) float64 {
	beam, ok := e.Light.(cosinePower)
	if !ok || beam.m > 200 {
		return e.Toward()
	}
	n := math.Ceil(256 * (1 + beam.m))
	knots := make([][2]float64, int(n)+1) // a + b cos
	for i := range knots {
		from, to := beam.perSteradian(float64(i)/n), beam.perSteradian(float64(i+1)/n)
		knots[i] = [2]float64{from - float64(i)*(to-from), n * (to - from)}
	}
	axis := e.axis()
	return func(dir Vec) float64 {
		cos := dir.dot(axis)
		if cos < 1.0/8 || cos > 1 { // a wide beam ends too steeply for a line
			return beam.perSteradian(cos)
		}
		k := knots[int(cos*n)]
		return k[0] + k[1]*cos
	}
}

// Toward returns the emitter's intensity per unit flux [1/sr] as a function of
// a unit vector along the light.
func (e Emitter) Toward() func(dir Vec) float64 {
	zero, right, axis := e.frame()
	if beam, ok := e.Light.(cosinePower); ok { // needs the cosine alone
		return func(dir Vec) float64 { return beam.perSteradian(dir.dot(axis)) }
	}
	light, axial, most := e.Light, e.Light.Axial(), e.Light.MaxGamma()
	return func(dir Vec) float64 {
		p, q := dir.dot(zero), dir.dot(right)
		gamma := math.Atan2(math.Sqrt(p*p+q*q), dir.dot(axis))
		if gamma > most {
			return 0
		}
		if axial {
			return light.PerSteradian(gamma, 0)
		}
		phi := math.Atan2(q, p)
		if phi < 0 {
			phi = math.Max(0, math.Nextafter(phi+2*math.Pi, 0))
		}
		return light.PerSteradian(gamma, phi)
	}
}
