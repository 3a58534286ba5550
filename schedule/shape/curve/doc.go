// Package curve holds day curves: the light fraction of a channel over one day,
// with its dose in closed form.
//
// A curve is a sum of pieces. A piece runs from one second of the day to another
// and has the value
//
//	y(t) = level · f(u(t)),   u linear in t,
//
// where f is one of four ramp shapes on 0 ≤ u ≤ 1 with f(0) = 0 and f(1) = 1:
//
//	linear  f = u                          ∫₀¹ f du = 1/2
//	smooth  f = (1 − cos πu)/2             1/2   (raised cosine: half its rectangle)
//	solar   f = sin(πu/2)                  2/π   (sine of the sun's height: a sunrise
//	                                             and a sunset make a half-sine day, 2PT/π)
//	even    f = Y(100 u)                   equal steps of CIE 1976 lightness L*:
//	        Y = ((L*+16)/116)³ for L* > 8, else L*·27/24389 (CIE 15)
//
// A plateau is a piece with u = 1 at both ends. A ramp that crosses midnight
// becomes two pieces, so that every curve lives on [0, 86400) seconds and wraps.
// Pieces are half-open, [From, To): a switch that goes on at 12:00 is on at 12:00.
//
// Because every f has an elementary antiderivative, Integral and Dose are exact to
// rounding: nothing here steps through time. The greatest value of a weighted sum
// of curves is found by branch and bound on the pieces, each of which is monotone,
// so the result is the true maximum over the day and not the sum of the maxima.
//
// A function of such a sum that is not linear, such as what light is worth to a plant,
// has no closed form in general. Integrate takes it by Gauss-Legendre quadrature in
// panels between the breaks, each so short that the error has a proven bound.
//
// Left out: anything that depends on the date. The package day builds curves from
// a plan and a date.
package curve
