// Package fit lets readings teach the light model.
//
// # The model, on one page
//
// Channel c gives at place x, at full output, the PPFD
//
//	E_c(x) = F_c(x) · exp( g + γ_c + s(x) + s_c(x) )
//
// F_c is what the light model says (package tank), g an error common to all
// channels (height, water, glass), γ_c the channel's own (its flux, its beam), s a
// smooth field over the tank that all channels share (a shadow, a sill), s_c one of
// its own. A meter with channels lit shows
//
//	y = b · Σ_c L_c E_c(x) / f_c  +  r      and an error of its own
//
// with L_c the light fraction times what age had left of the lamp, f_c the meter's
// factor for that light (package meter), b the meter's bias, common to all its
// readings, and r the light of the room on that date. The own error has the variance
// k² + p² y²: k in µmol m⁻² s⁻¹ (repeatability or the last digit), p in proportion.
//
// Before any reading all of these are normal in their logarithms, r as it is:
//
//	g       sd a √(1−ρ)        a = 20 % and b = 15 % by default: 80 % and 60 % of a
//	s       sd a √ρ            stated uncertainty, whose square they add up to. The
//	γ_c     sd b √(1−ρ')       fields are part of it and not beside it: at any one
//	s_c     sd b √ρ'           place the total is what was stated.
//	ln b    sd of the meter (5 %)
//	r       sd 20, only on dates with a reading of nothing lit
//
// (common practice, no source). s and s_c have the correlation Matérn 3/2 with one
// length. Sizes, length and p are not known well: ln of each is normal about s 8 %,
// s_c 6 %, 50 cm and p 4 %, with sd ln 2, and they are set to where the product of
// that and the marginal likelihood of the readings is greatest; with few readings
// they stay where they were. Cut at 5 to 500 cm.
//
// A channel without emitters has no F. Its light is exp(m + u(x)), m a mean of which
// nothing is known and u Matérn 3/2 of sd 1.0 and length 40 cm: it interpolates, and
// is unsure where nothing was read.
//
// # How it is solved
//
// Readings are taken as t(y) = asinh(p₀ y/k), a logarithm down to the size of k and
// straight below it (Rocke and Durbin 2001, variance-stabilising), so that zeros
// need no exception. With one channel lit and no room light t is linear in the
// unknowns where y is well over k; with several it is not, and Gauss-Newton (Nocedal
// and Wright 2006) repeats the linear step (package gauss) from where it came to.
//
// A reading that lies over five robust standard deviations (median |z| / 0.6745)
// from what the others expect of it would pull its neighbours along; such readings
// are set aside before the fit, worst first, one by one, and marked.
//
// # What cannot be known
//
// Readings of one meter say b·exp(g + …) and never one without the other: a meter
// that reads 3 % high everywhere and a tank that is 3 % brighter look the same. Both
// are given with their deviations before and after; E keeps the meter's own.
//
// Relative deviations of E are those of its logarithm, first order (JCGM 100:2008).
// The posterior median is exp of the mean of the logarithm.
package fit
