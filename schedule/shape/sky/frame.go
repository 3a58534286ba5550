package sky

import (
	"math"
	"time"
)

const (
	degree = math.Pi / 180
	arcsec = 1.0 / 3600 // deg

	j2000Unix = 946728000 // 2000-01-01 12:00 UTC, s
	secPerDay = 86400.0
)

func sin(deg float64) float64 { return math.Sin(deg * degree) }
func cos(deg float64) float64 { return math.Cos(deg * degree) }

// turn brings an angle, deg, into −180..180.
func turn(deg float64) float64 { return math.Remainder(deg, 360) }

// poly is c[0] + c[1]x + c[2]x² + …
func poly(x float64, c ...float64) float64 {
	sum := 0.0
	for i := len(c) - 1; i >= 0; i-- {
		sum = sum*x + c[i]
	}
	return sum
}

// days is the time from J2000.0, d, in universal time.
func days(t time.Time) float64 {
	return (float64(t.Unix()-j2000Unix) + float64(t.Nanosecond())*1e-9) / secPerDay
}

// centuries is the time from J2000.0, Julian centuries, in dynamical time.
func centuries(t time.Time) float64 {
	d := days(t)
	return (d + deltaT(2000+d/365.25)/secPerDay) / 36525
}

// deltaT is dynamical minus universal time, s, in a year with its fraction
// (Espenak and Meeus 2006). Before 1961 only the long-term parabola is used.
func deltaT(year float64) float64 {
	t := year - 2000
	u := (year - 1820) / 100
	longTerm := -20 + 32*u*u
	switch {
	case year < 1961 || year >= 2150:
		return longTerm
	case year < 1986:
		return poly(year-1975, 45.45, 1.067, -1.0/260, -1.0/718)
	case year < 2005:
		return poly(t, 63.86, 0.3345, -0.060374, 0.0017275, 0.000651814, 0.00002373599)
	case year < 2050:
		return poly(t, 62.92, 0.32217, 0.005589)
	}
	return longTerm - 0.5628*(2150-year)
}

// nutation gives Δψ and the true obliquity ε, both deg (ch. 22).
func nutation(T float64) (psi, eps float64) {
	node := 125.04452 - 1934.136261*T
	sun := 280.4665 + 36000.7698*T
	moon := 218.3165 + 481267.8813*T
	psi = (-17.20*sin(node) - 1.32*sin(2*sun) - 0.23*sin(2*moon) + 0.21*sin(2*node)) * arcsec
	deltaEps := (9.20*cos(node) + 0.57*cos(2*sun) + 0.10*cos(2*moon) - 0.09*cos(2*node)) * arcsec
	return psi, poly(T, 23.4392911, -46.8150*arcsec, -0.00059*arcsec, 0.001813*arcsec) + deltaEps
}

// body is where the sun or the moon stands, seen from the earth's centre, of date.
type body struct {
	lambda, beta float64 // apparent ecliptic longitude and latitude, deg
	km           float64 // distance
	psi, eps     float64 // nutation in longitude and true obliquity, deg
}

// equatorial gives right ascension and declination, deg (eq. 13.3, 13.4).
func (b body) equatorial() (alpha, delta float64) {
	x := cos(b.beta) * cos(b.lambda)
	y := cos(b.beta)*sin(b.lambda)*cos(b.eps) - sin(b.beta)*sin(b.eps)
	z := cos(b.beta)*sin(b.lambda)*sin(b.eps) + sin(b.beta)*cos(b.eps)
	return math.Atan2(y, x) / degree, math.Atan2(z, math.Hypot(x, y)) / degree
}

// hourAngle gives H, −180..180, and the declination at a longitude, deg (eq. 12.4).
func (b body) hourAngle(t time.Time, lonDeg float64) (H, delta float64) {
	d := days(t)
	T := d / 36525
	// Whole turns of the large product are dropped before it is added to, or
	// it would eat the digits of the rest.
	theta := math.Mod(360.98564736629*d, 360) + poly(T, 280.46061837, 0, 0.000387933, -1.0/38710000)
	alpha, declination := b.equatorial()
	return turn(theta + b.psi*cos(b.eps) + lonDeg - alpha), declination
}

// horizontal gives the height of the centre, without refraction and parallax,
// and the azimuth from north by east, 0..360, both deg (eq. 13.5, 13.6).
func (b body) horizontal(t time.Time, latDeg, lonDeg float64) (height, azimuth float64) {
	H, delta := b.hourAngle(t, lonDeg)
	up := sin(latDeg)*sin(delta) + cos(latDeg)*cos(delta)*cos(H)
	north := cos(latDeg)*sin(delta) - sin(latDeg)*cos(delta)*cos(H)
	east := -cos(delta) * sin(H)
	azimuth = math.Atan2(east, north) / degree
	if azimuth < 0 {
		azimuth += 360
	}
	return math.Atan2(up, math.Hypot(north, east)) / degree, azimuth
}
