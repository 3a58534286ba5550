// Package compile lowers the dated days of a plan to a timetable.
//
// For every date of the controller's calendar it takes the day's curves, moves
// them to the controller's clock, lowers each port's curve to the points that its
// controller can hold, and joins neighbouring dates with the same points into one
// table. A curve that was lowered once for a port is not lowered again, so a year
// in which only the moonlight changes costs one night's work a night.
//
// Ports on the same channel each follow its whole curve. An outlet that feeds a
// dimmed port is on from the time step before that port first shows light to the
// time step after it last does, so that a supply that cannot be dimmed to darkness
// is dark all the same.
//
// A date's table is in force for that date of the controller's calendar. On the
// day on which the clock changes, the table of the new shift holds from midnight.
package compile
