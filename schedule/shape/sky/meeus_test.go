package sky

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
)

// The worked examples of J. Meeus, Astronomical Algorithms, 2nd edition, by
// number; 12.a, 12.b, 22.a, 28.a and the ΔT table quoted from memory, the rest
// as they stand in public implementations of the book.

// century is T for an instant given in dynamical time.
func century(year int, month time.Month, day int) float64 {
	return days(time.Date(year, month, day, 0, 0, 0, 0, time.UTC)) / 36525
}

// Example 12.a and 12.b: sidereal time, 1987 April 10, 0h and 19h21m UT. A body
// at right ascension 0 seen from longitude 0 has it as its hour angle.
func TestSiderealTime(t *testing.T) {
	equinox := body{}
	const h, m, s = 15.0, 15.0 / 60, 15.0 / 3600
	H, _ := equinox.hourAngle(time.Date(1987, 4, 10, 0, 0, 0, 0, time.UTC), 0)
	assert.InDelta(t, turn(13*h+10*m+46.3668*s), H, 1e-6)
	H, _ = equinox.hourAngle(time.Date(1987, 4, 10, 19, 21, 0, 0, time.UTC), 0)
	assert.InDelta(t, turn(8*h+34*m+57.0896*s), H, 1e-6)
}

// Example 22.a: 1987 April 10, 0h TD, Δψ = −3.788″, ε = 23°26′36.850″. The
// short series is said to be good to 0.5″ and 0.1″.
func TestNutation(t *testing.T) {
	psi, eps := nutation(century(1987, 4, 10))
	assert.InDelta(t, -3.788*arcsec, psi, 0.5*arcsec)
	assert.InDelta(t, 23+26.0/60+36.850*arcsec, eps, 0.1*arcsec)
}

// Example 25.a and 28.a: the sun on 1992 October 13, 0h TD. The example takes
// one term of the nutation where the code takes four, 1.5″ apart at most.
func TestSun(t *testing.T) {
	s := sun(century(1992, 10, 13))
	alpha, delta := s.equatorial()
	assert.InDelta(t, 0, turn(s.lambda-199.90895), 0.0005)
	assert.InDelta(t, 0, turn(alpha-198.38083), 0.0005)
	assert.InDelta(t, -7.78507, delta, 0.0003)
	assert.InDelta(t, 0.99766, s.km/auKm, 0.00001)

	at := time.Date(1992, 10, 13, 0, 0, 0, 0, time.UTC).Add(-59 * time.Second) // 0h TD
	assert.InDelta(t, 13+42.6/60, EquationOfTime(at), 0.01)
}

// Example 47.a: the moon on 1992 April 12, 0h TD, with β, Δ and π, and λ
// without nutation.
func TestMoon(t *testing.T) {
	m := moon(century(1992, 4, 12))
	assert.InDelta(t, 0, turn(m.lambda-m.psi-133.162655), 1e-6)
	assert.InDelta(t, -3.229126, m.beta, 1e-6)
	assert.InDelta(t, 368409.7, m.km, 0.05)
	assert.InDelta(t, 0.991990, parallax(m.km), 1e-6)

	alpha, delta := m.equatorial()
	assert.InDelta(t, 134.688470, alpha, 0.0002)
	assert.InDelta(t, 13.768368, delta, 0.0002)
}

// Example 48.a, the same instant: i = 69.0756°, k = 0.6786.
func TestMoonFraction(t *testing.T) {
	assert.InDelta(t, 69.0756, phaseAngle(century(1992, 4, 12)), 0.002)
	at := time.Date(1992, 4, 12, 0, 0, 0, 0, time.UTC).Add(-59 * time.Second) // 0h TD
	assert.InDelta(t, 0.6786, MoonFraction(at), 0.0001)
}

// Table 10.A, observed ΔT at the beginning of years, s.
func TestDeltaT(t *testing.T) {
	for year, want := range map[float64]float64{1970: 40.2, 1980: 50.5, 1990: 56.9, 1998: 63.0, 2000: 63.8, 2004: 64.6} {
		assert.InDelta(t, want, deltaT(year), 0.3, year)
	}
	for _, year := range []float64{1986, 2005, 2050, 2150} {
		assert.InDelta(t, deltaT(year-1e-9), deltaT(year), 0.3, "the pieces meet in %g", year)
	}
}
