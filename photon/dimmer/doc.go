// Package dimmer describes how a dimmable lamp answers its control: from the
// command (volts, percent, counts: whatever unit the port uses) to the light
// fraction, the share of the lamp's full photon flux, and exactly back again.
//
// # The kinds of response
//
// With x = (c − lo)/(hi − lo) for a command c in the range lo to hi:
//
//	linear   f = x
//	square   f = x²
//	log      f = 10^((n − 1)/(253/3) − 1) %,  n = 254 x
//	table    straight lines between points (command, fraction)
//
// log is the standard dimming curve of digital lighting control (IEC 62386-102):
// arc power level n from 1 (0.1 %) to 254 (100 %), dark below level 1; the
// command range is laid over levels 0 to 254. square is the common
// approximation to even steps of perceived lightness (common practice, no source).
//
// Beyond its ends a response holds what it gives there: a table keeps its first
// fraction below its first point and its last fraction above its last. A lamp
// may also have a command below which its driver goes dark; [Response.WithOffBelow]
// states it. At that command itself the lamp is lit.
//
// More command never gives less light; a table that says otherwise is refused.
//
// # Exactness
//
// Every response is a row of pieces that are flat, straight, square or
// exponential, so its inverse and its integral over the command have closed
// forms piece by piece, and nothing is integrated by stepping. When the command
// moves in a straight line in time, the mean light of the move is the mean of
// the response over the commands passed, [Response.MeanBetween].
//
// # Left out
//
// Hysteresis (many drivers light up at a higher command than they go out),
// fading times inside the driver, warm-up and droop with temperature, and the
// driver's own steps.
package dimmer
