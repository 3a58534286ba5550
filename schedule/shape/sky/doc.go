// Package sky tells where the sun and the moon stand on a date: the sun's
// height and the length of the day at a latitude, how much of the moon is lit,
// and when the moon is above the horizon.
//
// # Symbols
//
//	T    Julian centuries of 36525 d from J2000.0, in dynamical time
//	d    days from J2000.0, in universal time
//	ΔT   dynamical time − universal time, s
//	λ, β apparent ecliptic longitude and latitude, deg
//	R, Δ distance of the sun and of the moon, km
//	α, δ right ascension and declination, deg
//	ε    obliquity of the ecliptic, deg; Δψ, Δε the nutation, deg
//	θ    apparent sidereal time at Greenwich, deg
//	φ, L latitude (north positive) and longitude (east positive), deg
//	H    hour angle, θ + L − α, deg, growing to the west
//	h    height of the centre above the horizon, deg; zenith angle 90° − h
//	π    the moon's equatorial horizontal parallax, deg
//
// # Sources
//
// Chapters are those of J. Meeus, Astronomical Algorithms, 2nd edition
// (Willmann-Bell 1998):
//
//	θ        ch. 12, eq. 12.4
//	h, A     ch. 13, eq. 13.5, 13.6
//	rising   ch. 15: h0 = −0.8333° for the sun's upper limb, 0.7275 π − 34′
//	         for the moon's, as heights seen from the centre of the earth
//	Δψ, ε    ch. 22, the short series, 0.5″ and 0.1″
//	sun      ch. 25, the low accuracy series, 0.01°
//	E        ch. 28, eq. 28.1, equation of time
//	moon     ch. 47, the whole of tables 47.A and 47.B, 10″ in λ, 4″ in β
//	lit part ch. 48, eq. 48.1 to 48.3, k = (1 + cos i) / 2
//
// ΔT is the polynomial of F. Espenak and J. Meeus, Five Millennium Canon of
// Solar Eclipses, NASA/TP-2006-214141 (2006). Refraction and the sun's own
// parallax in [SunAt] are those of I. Reda and A. Andreas, Solar Energy 76
// (2004) 577-589, at 1010 mbar and 10 °C.
//
// # Days
//
// A rising or setting is found by walking along the true height of the body,
// not from the hour angle of a single declination, so that the days on which
// polar day or night begins, and the moon's near misses of the horizon, come
// out as they are. The day of [SunDay] is the one around the solar noon that
// falls on the calendar date in the date's own location.
//
// # Validity and what is left out
//
// Good for 1961 to 2150; outside it only ΔT grows uncertain, by minutes over
// some centuries. Universal time is taken as UTC (apart by less than 0.9 s).
// The horizon is that of open sea at the observer's eye: no hills, no dip from
// a height, no weather. The earth is a sphere, which moves a moonrise by some
// seconds. No twilight, no eclipse, no brightness of the moon.
package sky
