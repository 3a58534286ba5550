// Package playback plays a written timetable as the controller would and compares
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
// dark: nobody switches it. A port whose supply an outlet cuts is dark while that is
// off; the outlet has no light of its own. A day next to the file's first or last date
// borrows the neighbouring table for the hour or so by which clocks differ.
//
// # Faithful
//
// The points of a file go through the plan's ports; what the file says of them itself is
// compared, not believed. A timetable is faithful when
//
//	every coral's DLI is within 1 % of what was asked, the dose of each band within 2 %,
//	its moonlight within 10 %, and its greatest PPFD not more than 1 % above both the
//	zone's ppfd_max and what was asked,
//
//	no lamp's light is further from its curve, at any moment, than the file claims (or a
//	fresh compilation of that date has, for files without a claim), and one step of the
//	command, and what the curve changes in one time step,
//
//	and every channel that is to give light has a port.
//
// The greatest departure is the supremum over the day (package departure): at a jump of the
// curve both sides are right for one time step of that jump. Hours that a neighbouring
// date's table plays which is not in the file are counted in doses, not in departures.
//
// # A range of dates
//
// PlayRange does the same on every date and watches how the delivered light rises. It is
// judged as an acclimation is (acclimate.Rise): DLI, peak PPFD and, where the field knows it,
// violet dose each on their own. A coral is taken to be used to the most that it had on any
// of the 7 days before, and to no less than a twentieth of its usual:
//
//	rise(d) = x(d) / max(x(d-7) … x(d-1), usual/20) − 1
//
// Light that returns after a quiet day or two is so no rise, but the end of a dim
// week is one. The rise over the day before alone is given beside it and not judged.
// For a newcomer the days before its arrival count with the DLI it comes from. Days
// before the first of the timetable are not known; its first date has no rise. What
// may be added on top of a limit is what lowering may miss: 0.5 % of DLI, 1 % of a peak, 2 %
// of violet.
package playback
