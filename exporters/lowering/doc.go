// Package lowering brings a day curve down to what a controller's port can hold:
// at most so many points, at whole time steps, with commands on the command step,
// joined by straight lines or held.
//
// # What is made small
//
// With y(t) the light asked and f(c(t)) the light that the dimmer gives while the
// points are played (package track), the points make
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
// The day is a ring. Held tracks are opened anywhere; ramps are opened in the
// middle of the longest dark or level part of the curve, where the command is
// taken to be level.
//
// # Left out
//
// The steps in which a real controller moves along its ramp, the dimmer's fading
// time, and clock drift.
package lowering
