// Package departure is the truth about how far the light that is played is off the
// light that is asked for: its supremum over the day, with a bound from above.
//
// With y the light asked and g the light given, both in light fractions,
//
//	ε = sup_t dist( g(t), A(t) ),
//
// A(t) = {y(t)} nearly everywhere. No controller can jump between its time steps, so
// where y jumps at τ both of its limits and all light between count as asked too:
//
//	A(t) = hull{ y(t), y(τ−), y(τ+) }   for t in the one time step in which τ falls.
//
// When τ is a time of the grid itself, that is the step which ends with it for a port
// that ramps, and none for a port that holds: it can jump just then. Nothing else is
// taken out: what a lamp cannot show is for the asked light itself to leave out.
//
// # How it is bracketed
//
// Between neighbouring breaks both lights are smooth, and B bounds the size of the
// second derivative of their difference. On a stretch of length h the difference is
// then off its chord by at most B h²/8, so
//
//	max(|d(a)|, |d(b)|) ≤ sup |d| ≤ max(|d(a)|, |d(b)|) + B h²/8,
//
// and stretches are halved until the two sides are within [Width]. Light that lasts
// for less than a microsecond does not count: times that are meant to be one may
// differ by rounding.
package departure
