package water

import "math"

// Standard sea water in a warm aquarium, for Index.
const (
	seaSalinity = 35 // g/kg
	seaTempC    = 25
)

// Index is the refractive index, relative to air, of sea water of 35 g/kg at
// 25 °C for light of a wavelength in nm.
func Index(nm float64) float64 { return IndexAt(nm, seaSalinity, seaTempC) }

// IndexAt is the refractive index of water relative to air: wavelength in nm,
// salinity in g/kg (0-35), temperature in °C (0-30). Quan and Fry (1995),
// Eq. 3, made for 400-700 nm; it is carried on to 300-1000 nm, and beyond those
// the value at the end is held.
func IndexAt(nm, salinity, tempC float64) float64 {
	nm = math.Min(math.Max(nm, 300), 1000)
	s, t := salinity, tempC
	return 1.31405 + (1.779e-4-1.05e-6*t+1.6e-8*t*t)*s - 2.02e-6*t*t +
		(15.868+0.01155*s-0.00423*t)/nm - 4382/(nm*nm) + 1.1455e6/(nm*nm*nm)
}

// Transmittance is the share of unpolarised light that enters flat water of
// index n (more than 1) from air, by the cosine of its angle in air, 0..1.
func Transmittance(n, cosAir float64) float64 {
	return 1 - fresnel(n, cosAir)
}

// ReflectanceFromWater is the share of unpolarised light that flat water of
// index n reflects back into itself at a face against air, by the cosine of the
// angle in the water, 0..1. It is 1 beyond the critical angle.
func ReflectanceFromWater(n, cosWater float64) float64 {
	return fresnel(1/n, cosWater)
}

// CriticalAngle is the angle from the normal, rad, beyond which light in water
// of index n does not leave it.
func CriticalAngle(n float64) float64 { return math.Asin(1 / n) }

// fresnel is the unpolarised reflectance going from a medium to one whose index
// is m times as great, c1 the cosine of the angle of incidence.
func fresnel(m, c1 float64) float64 {
	c1 = math.Min(math.Max(c1, 0), 1)
	square := 1 - (1-c1*c1)/(m*m) // of the cosine on the far side, by Snell
	if square <= 0 || c1 == 0 {
		return 1
	}
	c2 := math.Sqrt(square)
	s := (c1 - m*c2) / (c1 + m*c2)
	p := (m*c1 - c2) / (m*c1 + c2)
	return (s*s + p*p) / 2
}
