// Package lowering brings a day curve down to what a controller's port can hold:
// at most so many points, at whole time steps, with commands on the command step,
// joined by straight lines or held.
//
// # What is made small
//
// With y(t) the light asked and f(c(t)) the light that the dimmer gives while the
// points are played (package port), the points make
//
//	ε = sup | f(c(t)) − y(t) |      over the day, away from jumps
//
// as small as it can be. Three things no controller can avoid would otherwise hide
// the rest, so they are taken out of the norm, each by a fixed rule, and told
// beside it:
//
//   - Jumps. Where the curve steps (a switch), any light between the two sides of
//     the step is right within the time step in which it falls. When it falls on
//     the grid of times that is the time step that ends with it for a ramp, and
//     none for a held track, which can do it.
//   - Below the cut-in. A lamp that is dark below some command cannot give less
//     than its darkest light d. Where 0 < y < d the target is dark or d, switched
//     so that the stretch keeps its dose: on for ∫y dt / d seconds, next to what
//     is lit around it (about the middle of the dose when nothing is; off about
//     the middle of the excess when all is). Those switchings are jumps as above.
//     A held track has d at the lowest lit command that it can send.
//   - Out of reach. A port that is never dark, or not bright enough, is asked for
//     the nearest light that it has.
//
// The plain greatest departure from the curve, with none of this taken out, is
// given as well. Dark commands are always the foot of the range, never something
// just under the cut-in, and in the middle of the longest dark part of the day the
// lamp stays dark whatever else that costs.
//
// # How
//
// More command is never less light, so |f(c) − y| ≤ ε at one time is an interval
// of commands, and over the day a tube. The fewest straight moves through a tube,
// with corners on the grid, are found by breadth-first search: from one point the
// slopes that pass every sample so far are an interval that only shrinks, so all
// points in reach are found in one sweep (the window method for minimum-link
// paths: Suri 1986, Comput. Vision Graph. Image Process. 35, 99). Bisecting ε
// gives the least departure for the points allowed, to one part in a thousand,
// and the fewest points for that departure. Samples of the tube are added wherever
// the light of a solution is found, between samples, to depart by more. No search
// is made below ε = 10⁻⁴.
//
// The day is a ring. A held track is level everywhere, so it is opened in the
// middle of the longest dark (else level) part of the curve; a ramp is opened
// there too and taken to be level at that time. That is the one thing a better
// ramp might do otherwise; with three points or fewer, or a time step of half an
// hour or more, a point at every time is tried as an opening as well. Where more
// than 24 commands lie within ε of the curve, every second, third ... is tried.
// Times are tried to the minute, near breaks of the curve to the time step, and
// in the middle of level parts to a sixteenth of the distance from their ends.
//
// # The dose
//
// The day's dose is then brought to that of the curve (less what is out of reach)
// within the tolerance, by moving points inside the tube: first inside the least
// ε, then, as points of their own if any are left, between others, and at last
// inside an ε as little larger as will do. For held tracks the fullest and the
// emptiest way through the tube are found by dynamic programming, so it is known
// when the dose is within reach. A note says when it is not. Held tracks are dark
// wherever the curve is; no dose is made up in the dark.
//
// # Outlets
//
// A port that is never dark may be fed by an outlet that is switched: the curve's
// dark is then the outlet's, the rest the port's, and what is judged is their
// product.
//
// # Left out
//
// The steps in which a real controller moves along its ramp, the dimmer's fading
// time, and clock drift.
package lowering
