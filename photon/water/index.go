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
