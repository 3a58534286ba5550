package sky

import (
	"math"
	"time"
)

const (
	auKm = 149597870.7 // IAU 2012 resolution B2

	// sunrise is the height of the sun's centre when its upper limb is seen
	// on the horizon: refraction 34′, half-diameter 16′ (ch. 15), deg.
	sunrise = -50.0 / 60
)

// sunMeanLongitude is L0, deg, eq. 25.2.
func sunMeanLongitude(T float64) float64 {
	return poly(T, 280.46646, 36000.76983, 0.0003032)
}

// sunAnomaly is the mean anomaly M, deg, eq. 25.3.
func sunAnomaly(T float64) float64 {
	return poly(T, 357.52911, 35999.05029, -0.0001537)
}

// sun gives the apparent place of the sun at T (ch. 25, p. 163-165).
func sun(T float64) body {
	M := sunAnomaly(T)
	e := poly(T, 0.016708634, -0.000042037, -0.0000001267)
	C := poly(T, 1.914602, -0.004817, -0.000014)*sin(M) +
		poly(T, 0.019993, -0.000101)*sin(2*M) + 0.000289*sin(3*M)
	psi, eps := nutation(T)
	R := 1.000001018 * (1 - e*e) / (1 + e*cos(M+C))
	aberration := 20.4898 * arcsec / R // eq. 25.10
	return body{lambda: sunMeanLongitude(T) + C + psi - aberration, km: R * auKm, psi: psi, eps: eps}
}

// SunDeclination is the sun's apparent declination at t, deg, north positive;
// within 0.01° (Meeus ch. 25).
func SunDeclination(t time.Time) (deg float64) {
	_, delta := sun(centuries(t)).equatorial()
	return delta
}

// EquationOfTime is apparent minus mean solar time at t, minutes: positive
// while a sundial is ahead of the clock (Meeus eq. 28.1); within 3 s.
func EquationOfTime(t time.Time) (minutes float64) {
	T := centuries(t)
	s := sun(T)
	alpha, _ := s.equatorial()
	const minutesPerDegree = 4
	return minutesPerDegree * turn(sunMeanLongitude(T)-0.0057183-alpha+s.psi*cos(s.eps))
}

// SunAt is where the sun is seen at t from a place: the zenith angle, 0 over
// head and 90 on the horizon, and the azimuth from north by east, 0..360, both
// deg; within 0.015°. Parallax is taken off, and refraction (sea level,
// 1010 mbar, 10 °C) added as long as the upper limb is up.
func SunAt(t time.Time, latDeg, lonDeg float64) (zenithDeg, azimuthDeg float64) {
	s := sun(centuries(t))
	height, azimuth := s.horizontal(t, latDeg, lonDeg)
	height -= 8.794 * arcsec * auKm / s.km * cos(height)
	if height >= sunrise {
		height += 1.02 / 60 / math.Tan((height+10.3/(height+5.11))*degree)
	}
	return 90 - height, azimuth
}
