package sky

import (
	"math"
	"time"
)

const earthRadiusKm = 6378.14 // ch. 47, p. 337

// moonArguments are the mean longitude and the four angles that the tables
// combine, deg (eq. 47.1 to 47.5).
type moonArguments struct{ Lp, D, M, Mp, F float64 }

func moonArgumentsAt(T float64) moonArguments {
	return moonArguments{
		Lp: poly(T, 218.3164477, 481267.88123421, -0.0015786, 1.0/538841, -1.0/65194000),
		D:  poly(T, 297.8501921, 445267.1114034, -0.0018819, 1.0/545868, -1.0/113065000),
		M:  poly(T, 357.5291092, 35999.0502909, -0.0001536, 1.0/24490000),
		Mp: poly(T, 134.9633964, 477198.8675055, 0.0087414, 1.0/69699, -1.0/14712000),
		F:  poly(T, 93.2720950, 483202.0175233, -0.0036539, -1.0/3526000, 1.0/863310000),
	}
}

// sums adds up a table: sines and cosines of its angles times the coefficients.
func (a moonArguments) sums(table []term, T float64) (sines, cosines float64) {
	// Terms with the sun's anomaly shrink with the eccentricity of the earth's
	// orbit (eq. 47.6).
	E := poly(T, 1, -0.002516, -0.0000074)
	shrink := [3]float64{1, E, E * E}
	for _, t := range table {
		angle := float64(t.d)*a.D + float64(t.m)*a.M + float64(t.mp)*a.Mp + float64(t.f)*a.F
		s, c := math.Sincos(angle * degree)
		e := shrink[max(t.m, -t.m)]
		sines += float64(t.sin) * e * s
		cosines += float64(t.cos) * e * c
	}
	return sines, cosines
}

// moon gives the apparent place of the moon at T (ch. 47, p. 337-342).
func moon(T float64) body {
	a := moonArgumentsAt(T)
	l, r := a.sums(longitudeTerms[:], T)
	b, _ := a.sums(latitudeTerms[:], T)
	// The pull of Venus, of Jupiter and of the earth's flattening (p. 338).
	A1, A2, A3 := 119.75+131.849*T, 53.09+479264.290*T, 313.45+481266.484*T
	l += 3958*sin(A1) + 1962*sin(a.Lp-a.F) + 318*sin(A2)
	b += -2235*sin(a.Lp) + 382*sin(A3) + 175*sin(A1-a.F) + 175*sin(A1+a.F) +
		127*sin(a.Lp-a.Mp) - 115*sin(a.Lp+a.Mp)
	psi, eps := nutation(T)
	return body{lambda: a.Lp + l*1e-6 + psi, beta: b * 1e-6, km: 385000.56 + r*1e-3, psi: psi, eps: eps}
}

// parallax is π, deg (p. 337).
func parallax(km float64) float64 { return math.Asin(earthRadiusKm/km) / degree }

// MoonFraction is the lit part of the moon's disc at t as seen from the centre
// of the earth, 0 (new) to 1 (full); within 0.001 (Meeus eq. 48.1 to 48.3).
func MoonFraction(t time.Time) float64 {
	return (1 + cos(phaseAngle(centuries(t)))) / 2
}

// phaseAngle is i, the angle at the moon between the sun and the earth, deg.
func phaseAngle(T float64) float64 {
	s, m := sun(T), moon(T)
	cosElongation := cos(m.beta) * cos(m.lambda-s.lambda)
	sinElongation := math.Sqrt(max(0, 1-cosElongation*cosElongation))
	return math.Atan2(s.km*sinElongation, m.km-s.km*cosElongation) / degree
}

// MoonUp gives the intervals within [from, to) in which the moon's upper limb is
// above a sea horizon, in order and in from's location. One that begins at from
// or ends at to is cut there; every other end is a moonrise or moonset in
// whole seconds, within 30 s at mid latitudes, where the refraction is the
// usual 34′.
func MoonUp(from, to time.Time, latDeg, lonDeg float64) []Interval {
	return above(func(t time.Time) float64 {
		m := moon(centuries(t))
		height, _ := m.horizontal(t, latDeg, lonDeg)
		return height - (0.7275*parallax(m.km) - 34.0/60) // ch. 15, p. 102
	}, from, to)
}
