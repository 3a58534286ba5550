// Package proof plays a written timetable as the controller would and compares
// what the corals get with what was asked.
//
// A day of the plan is a run of instants. At each the controller's clock shows a
// date and a time; the table of that date and the track of each port say which
// command stands and what light the lamp gives at it. Between two changes of date
// or clock a track is integrated in closed form, so nothing is stepped:
//
//	delivered DLI = Σ_c F_c · k_c · ∫ y_c(played) dt · 10⁻⁶
//
// with the light y of a channel the mean of its ports. A channel without a port is
// dark: nobody switches it. A day next to the file's first or last date borrows
// the neighbouring table for the hour or so by which clocks differ.
//
// A coral is off when its delivered DLI differs from the asked by more than 1 %
// of the asked.
package proof
