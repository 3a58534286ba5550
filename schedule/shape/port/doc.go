// Package port is one output of a controller as it is, and the light that its lamps
// give while the controller plays a set of points.
//
// # Points
//
// A point is a time of the controller's day, t in seconds, 0 ≤ t < 86400, and a
// command c in the port's own unit. Between the points the controller either
//
//	ramps   c(t) = cᵢ + (cᵢ₊₁ − cᵢ)(t − tᵢ)/(tᵢ₊₁ − tᵢ)   straight in command
//	holds   c(t) = cᵢ                                      until the next point
//
// and the day is a ring: the last point ramps to the first, or is held until the
// first, over midnight. One point alone is that command all day. A switched outlet
// holds the commands 0 and 1. The command of a day is a [Course].
//
// # Light
//
// The light fraction of a lamp is its response f at the command now, y(t) = f(c(t)),
// while the lamp is lit, and none while it is dark. So a straight move of the command
// is not a straight move of the light unless the response is a line there. A lamp
//
//	goes dark  when the command falls below off_below
//	lights     when the command reaches on_from (off_below where that is not given)
//	is dark    while the outlet of its supply is off, and when the supply returns it
//	           waits for on_from again
//
// Between off_below and on_from it stays as it is: that is a memory of one bit. The
// state at midnight is the one that the day itself leads to: the ring is played once
// from dark, as a driver starts that was just switched on, and what is lit at its end
// is lit at its beginning. If the command stays between the two all day, that is dark.
//
// Where the command passes a kink or a step of the response, the light has a kink or a
// jump; those times are found in closed form, (c* − cᵢ)/(cᵢ₊₁ − cᵢ) of the way, and
// between them the light is smooth and monotone. The dose is exact as well: over a
// straight move the mean light is the mean of the response over the commands passed,
// which has an antiderivative for every kind of response.
//
// Several lamps on a port share its command, each through its own response. What is
// asked of the port is asked of the first; the others follow.
//
// # Steps
//
// A controller that moves on its step only follows a ramp as a staircase over the
// levels c₀ < c₁ < …. With f̄ the mean response between two neighbouring levels, the
// port goes from level k to k+1 when the ramp has gone the share
//
//	x = (f(cₖ₊₁) − f̄) / (f(cₖ₊₁) − f(cₖ))
//
// of the way between them, and back at the same place. The staircase then gives the
// same dose as the ramp over every whole step. For a straight response x is one half:
// the command is rounded to the nearest. Where all of the step is dark, x is 1, and the
// lamp is lit when the ramp lights it. Changes fall on whole seconds, each moved to the
// nearest; of several in one second the last counts.
//
// Left out: fading times inside the driver, and clocks that change during the day.
package port
