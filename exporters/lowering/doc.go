// Package lowering brings a day curve down to what a controller's port can hold:
// at most so many points, at whole time steps, with commands on the command step,
// joined by straight lines or held.
//
// # What is made small
//
// With y(t) the light asked and f(c(t)) the light that the first lamp of the port gives
// while the points are played (package port), the points make
//
//	ε = sup dist( f(c(t)), A(t) )      over the day (package departure: at a jump both
//	                                   sides count as asked within its own time step)
//
// as small as it can be, under two conditions that come first:
//
//   - Dark is dark. Where the day is dark for ten minutes and two time steps or more, the
//     command is the bottom of the range. Where a lamp lights with a jump, the commands
//     between the bottom and the one that lights it are passed through in one time step;
//     with four to six points a rise, never a fall, may take up to an hour. If points are
//     too few the ramps lose points, not the darkness.
//   - The dose. ∫ f(c) dt is that of the curve within the tolerance, or where no points do
//     that, as near to it as any come.
//
// What is asked is what the port can show (package reach); here it is only cut off at the
// port's brightest and darkest light.
//
// # How
//
// More command is never less light, so dist(f(c), A) ≤ ε at one time is an interval of
// commands, and over the day a tube. The fewest straight moves through a tube, with
// corners on the grid, are found by breadth-first search: from one point the slopes that
// pass every sample so far are an interval that only shrinks, so all points in reach are
// found in one sweep (the window method for minimum-link paths: Suri 1986, Comput. Vision
// Graph. Image Process. 35, 99). The least ε with few enough moves is looked for on a row
// of departures half a percent apart, from a bound on: the ε at which as many lines as
// there are moves, each led as far as one can be and bound to no grid, would do. That
// bound holds for every table. Samples of the tube are added wherever the light of a way
// departs by more between samples. No search is made below ε = 10⁻⁴.
//
// Times are tried some way apart first, a twenty-fourth of a move, and then all times
// about the points found, again until that gains nothing. The day is a ring: it is opened in a dark part; a held track
// without one anywhere, with every command; a ramp without one at points in a stretch
// that no one line passes.
//
// # The dose
//
// A way that misses the dose is moved within the tube, all of its points at once: each to
// a few places about it, and of the web of moves between these the least and the greatest
// dose of every way home are known, so that a way with the dose is found, or known not to
// be there, nearly at once. If none is, a point more is spent, and then as little more ε as
// will do; where the ways are few all of them are looked through for a lesser ε.
//
// A faint stretch of its own, such as moonlight beside daylight, may lose its dose in that of the day: [Apart]
// gives it points of its own then, at the cost of those of the rest.
//
// # Exactly
//
// With at most 400 times × commands, or Limits.Exact and at most 3,000, the web is that of
// all times and commands with any number of points up to the most allowed, and ε is closed in on to
// 10⁻⁶: no table is better. Result.Proven says so; else Result.Bound is what no table can
// do without.
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
