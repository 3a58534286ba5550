package ray

import "math"

// Path is the refracted ray from a lamp to a place under water.
type Path struct {
	CosAir   float64 // cos θa, of the angle from the vertical in air
	CosWater float64 // cos θw, the same in water
	SinPerR  float64 // sin θa / r [1/m], finite on the axis too
	AirShare float64 // h tan θa / r: how much of r lies above the water, 0..1
	AirRise  float64 // dAirShare/dr / r: how fast that grows [1/m²]
	Spread   float64 // planar flux density on the horizontal per unit intensity [1/m²], no losses
	Length   float64 // path in water d / cos θw [m]
}

// To finds the ray from height h to depth d at the horizontal distance r [all
// m, none negative, h + d > 0] for the refractive index n ≥ 1. A place that no
// ray reaches (a lamp on the surface itself, and the place outside the cone of
// the critical angle; an infinite r) gets a grazing ray of Spread zero.
func To(h, d, r, n float64) Path {
	t, ok := tangent(h, d, r, n)
	if !ok {
		return grazing(d, n)
	}
	n2 := n * n
	w := math.Sqrt(n2 + (n2-1)*t*t)
	p := h + d/w
	slope := h + d*n2/(w*w*w)
	sec := math.Sqrt(1 + t*t)
	cosWater := w / (n * sec)
	return Path{
		CosAir:   1 / sec,
		CosWater: cosWater,
		SinPerR:  1 / (p * sec),
		AirShare: h / p,
		AirRise:  h * d * (n2 - 1) / (w * w * w * p * p * p * slope),
		Spread:   1 / (sec * sec * sec * p * slope),
		Length:   d / cosWater,
	}
}

// tangent solves r(t) = r for t = tan θa; false when no finite t does.
func tangent(h, d, r, n float64) (float64, bool) {
	n2 := n * n
	t := r / (h + d/n)
	if h > 0 && n > 1 {
		t = math.Max(t, (r-d/math.Sqrt(n2-1))/h)
	} else if n > 1 && r*math.Sqrt(n2-1) >= d {
		return 0, false
	}
	if !(t < maxTangent) {
		return 0, false
	}
	// Far fewer than 200 steps are needed: convergence is quadratic except
	// for h « d near the critical cone, where t grows by half at each step.
	// As |t r″/2r′| < 3/2, what is left after a step of 1e-8 is below rounding.
	for range 200 {
		w2 := n2 + (n2-1)*t*t
		w := math.Sqrt(w2)
		step := (r - t*(h+d/w)) / (h + d*n2/(w2*w))
		t += step
		if step <= 1e-8*t {
			break
		}
	}
	return t, t < maxTangent
}

// maxTangent stands for a ray along the surface: past it t³ would overflow.
const maxTangent = 1e90

func grazing(d, n float64) Path {
	cos := math.Sqrt(1 - 1/(n*n))
	p := Path{CosWater: cos, AirShare: 1}
	if cos > 0 {
		p.Length = d / cos
	}
	return p
}

// WaterTangent is tan θw of the ray whose part in air spans the horizontal
// distance a over the height h > 0 [m]: the steepest a ray can lie in the
// water if it enters no farther than a from the foot of the lamp.
func WaterTangent(h, a, n float64) float64 {
	t := a / h
	return t / math.Sqrt(n*n+(n*n-1)*t*t)
}
