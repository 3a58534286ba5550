// Package drill answers what happens to the corals when something fails: what
// each would get in a day of that fault, against a normal day.
//
// # A day of a fault
//
// A normal day is the timetable's table for the date, played again and again. A
// fault changes what one controller, port or channel does, and all else goes on.
// Both are followed for 24 hours from the beginning of the fault, the controller's
// clock being steady:
//
//	DLI(T) = Σ_p F_p ∫₀ᵀ y_p dt · 10⁻⁶            mol m⁻² in the T seconds after it began
//
// with y_p the light of port p (package port) and F_p the PPFD of its channel at
// full output, age included, divided among the channel's ports. A port that names
// an outlet has light only while that outlet is on.
//
// Faults begin at midnight on the controller's clock, but a clock that stops does
// so at the time given, and one that goes wrong jumps at noon of the day counted,
// when a lost or doubled hour weighs most: on all days after it the DLI is the
// usual one, since a day is only moved.
//
//	wire open          the control wire of a dimmer is cut. Drivers that source the
//	                   control current (1-10 V by IEC 60929 annex E, and many 0-10 V)
//	                   then give full light; those that do not go dark instead
//	channel dead       no light from it at all
//	restart at full    every port at its highest command, outlets on
//	restart at dark    every port at its lowest command, outlets off
//	clock ahead/behind an hour, from noon on
//	clock stopped      every port stays where it is, at noon or at midnight
//	last point lost    the device holds one point fewer than it was given: the one
//	                   before joins the first all night, or is held until it
//	ports swapped      two neighbouring ports of a controller drive each other's lamps
//
// # What is told
//
// Integrals are in closed form. Between breaks of the tracks every light is a
// convex function of time (a flat, straight, square or exponential response to a
// straight command), and so is a sum of them: the greatest PPFD is at a break, seen
// from before or after. The time at which a normal day's light has been reached is
// found in the closed form by bisection, to a millisecond.
//
// A coral is at risk when DLI or greatest PPFD is more than 1.5 times the normal
// one. No safe ratio is published; transplants that bleached were moved into 1.3 to
// 2.1 times (Hoegh-Guldberg and Smith 1989, J. Exp. Mar. Biol. Ecol. 129, 279) and
// 1.8 to 6 times the light (Gleason and Wellington 1993, Nature 365, 836), both
// worked out here from the depths given with 0.05 to 0.15 per metre. The citations
// are from memory and by way of a review.
//
// # Left out
//
// Heat, warm-up, fuses, faults that come together, and the harm of light by night,
// of which a DLI says nothing. An area is judged by its mean light.
package drill
