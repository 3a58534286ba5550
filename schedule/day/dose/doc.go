// Package dose adds up what every coral gets over a day.
//
//	PPFD(t) = Σ_c F_c · k_c · y_c(t)                       µmol m⁻² s⁻¹
//	DLI     = Σ_c F_c · k_c · τ_c · 10⁻⁶,  τ = ∫ y dt      mol m⁻² d⁻¹
//
// F is the channel's PPFD at full output at the place (package light), k what age
// has left of it, y its light fraction (package day). τ is exact; nothing is stepped.
// The peak is the true maximum over the day of the sum. The photoperiod is the
// time for which the sum is above 1 % of that peak.
//
// The standard uncertainty of a DLI is of first order (JCGM 100:2008, 5.1.2 and
// 5.2.2): errors of the channels' models add in squares, the meter's error is
// common to all readings and adds straight before it is squared.
//
// A moon at its fullest gives about 0.005 µmol m⁻² s⁻¹ (0.25 lux at 54 lux per
// µmol; common figures from memory); the night column counts moonlight in such moons.
package dose
