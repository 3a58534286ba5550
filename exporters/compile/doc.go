// Package compile lowers the dated days of a plan to a timetable.
//
// For every date of the controller's calendar it takes the day's curves, moves
// them to the controller's clock, lowers each port's curve to the points that its
// controller can hold, and joins neighbouring dates with the same points into one
// table. A curve that was lowered once is not lowered again for any port that can
// hold the same, so a year in which only the moonlight changes costs one night's
// work a night.
//
// Ports on the same channel each follow its whole curve. An outlet that feeds a
// dimmed port is on for every time step in which that port shows light. A port that
// cannot be dark by itself (a 1-10 V driver at its lowest) shows none only while its
// outlet is off: then the outlet is on for the time steps that lowering found, or the
// nearest of its own. Where several ports hang on one outlet it is on when any of
// them needs it.
//
// A date's table is in force for that date of the controller's calendar. On the
// day on which the clock changes, the table of the new shift holds from midnight.
package compile
