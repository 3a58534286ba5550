package ray

import "math"

// Transmittance is the share of unpolarised light that passes from air into
// water of index n, for the cosine of the angle of incidence in air, 0..1.
func Transmittance(n, cosAir float64) float64 {
	sin2 := (1 - cosAir*cosAir) / (n * n)
	return passes(cosAir, n*math.Sqrt(1-sin2), cosAir*n, math.Sqrt(1-sin2))
}

// InnerReflectance is the share of unpolarised light in water of index n that
// a flat wall against air throws back, for the cosine of the angle of
// incidence in the water, 0..1. It is 1 beyond the critical angle. A thin pane
// of clear glass between the two leaves it total there; below the critical
// angle the pane is taken as absent.
func InnerReflectance(n, cosWater float64) float64 {
	cos2 := 1 - n*n*(1-cosWater*cosWater)
	if cos2 <= 0 {
		return 1
	}
	cos := math.Sqrt(cos2)
	return 1 - passes(n*cosWater, cos, cosWater, n*cos)
}

// passes averages the transmittances of the two polarisations, each
// 4ab/(a+b)², which loses no digits where reflection is weak. At grazing
// incidence on an interface of equal indices both terms vanish: all passes.
func passes(a, b, c, d float64) float64 {
	s, p := a+b, c+d
	if s == 0 || p == 0 {
		return 1
	}
	return 2*a*b/(s*s) + 2*c*d/(p*p)
}
