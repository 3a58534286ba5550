// Package track is the light that a port gives while its controller plays a set
// of points.
//
// A point is a time of the controller's day, t in seconds, 0 ≤ t < 86400, and a
// command c in the port's own unit. Between the points the controller either
//
//	ramps   c(t) = cᵢ + (cᵢ₊₁ − cᵢ)(t − tᵢ)/(tᵢ₊₁ − tᵢ)   straight in command
//	holds   c(t) = cᵢ                                      until the next point
//
// and the day is a ring: the last point ramps to the first, or is held until the
// first, over midnight. One point alone is that command all day. A switched
// outlet is a held track with the commands 0 and 1 and a linear response.
//
// The light fraction is the dimmer's response f at the command now,
//
//	y(t) = f(c(t)),
//
// so a straight move of the command is not a straight move of the light unless
// the response is a line there. Where the command passes a kink or a step of the
// response, such as the command below which the lamp is dark, the light has a
// kink or a jump; those times are found in closed form, (c* − cᵢ)/(cᵢ₊₁ − cᵢ) of
// the way, and between them the light is smooth. The dose is exact as well: over
// a straight move the mean light is the mean of the response over the commands
// passed, which has an antiderivative for every kind of response.
//
// Values at a jump: Light is the limit from later times, LightBefore from earlier
// ones. Steps of the response below 1e-7 of full light are not told apart.
//
// Left out: fading times inside the driver, the steps in which a real controller
// moves along its ramp, and clocks that change during the day.
package track
