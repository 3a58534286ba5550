// Package day turns a plan and a date into one light-fraction curve for each channel.
//
// What a channel does on a date is
//
//	y(t) = k · P · Σ parts(t) + m · moonlight(t)
//
// with P the peak (written in the plan or found by balance), parts the sunrise,
// plateau and sunset at unit height, k the scale of the calendar or of an
// acclimation step, and m the part of the moonlight left by the moon's phase.
// A channel that cannot be dimmed is full on between on and off; a scale shortens
// its hours about their middle instead, since that is the only thing it can do.
//
// Phase follow multiplies a date's moonlight by the moon's lit fraction half-way
// through the moonlight that begins on it (Meeus, Astronomical Algorithms, chapter
// 48, by the package sky), so the level steps from one date to the next at midnight;
// true-sky also keeps it dark while the moon is down.
//
// On a date on which the clock of the day changes, what is skipped gives no light
// and what comes again gives it twice: doses count 23 or 25 hours.
//
// Two changes of length exist beside the scale. Shorter: the plateau keeps its
// height and loses a share of its length, about its middle, with ramps left as they
// are (or shortened once the plateau is gone). Stretch: a season adds or takes
// seconds, half at either end of the day. Changes add: see Change.And.
//
// A plan is read, never changed: a Change is a value that says how a date departs
// from the usual day, and Build returns a new Day.
package day
