// Package follow tells, for a written timetable, which command each port is to
// show at any instant, and when that changes next, so that a script or a small
// device can be driven line by line without knowing anything of curves.
//
// # Steps
//
// A port takes commands on its step only. Where the timetable ramps, the line is
// followed as a staircase over the levels c₀ < c₁ < … of the step. With f the
// response of the dimmer and f̄ its mean between two neighbouring levels (both in
// closed form, package dimmer), the port goes from level k to k+1 when the ramp
// has gone the share
//
//	x = (f(cₖ₊₁) − f̄) / (f(cₖ₊₁) − f(cₖ))
//
// of the way between them, and back at the same place. The staircase then gives
// the same dose as the ramp over every whole step. For a straight response x is
// one half: the command is rounded to the nearest. Under a cut-in all of the
// step is dark, x is 1, and the lamp is lit when the ramp lights it, not half a
// step early. Where both levels give the same light x is one half as well.
//
// Changes fall on whole seconds, each moved to the nearest; of several in one
// second the last is told.
//
// # Clocks
//
// Times of the timetable are on the controller's clock (package clock). The
// state at an instant is a function of that instant alone: nothing is counted
// on from an earlier state, so a clock that was set, or a machine that slept,
// leads to the right values and to no replay of what was missed. [Session] is
// the small memory that tells a plain step of time from a jump.
//
// # Left out
//
// Fading between steps, retries, and any wire: the reader of the lines does that.
package follow
