// Package sheet prints a timetable for a person: one page for each controller and
// table, with the points of each port in the order in which they are keyed in,
// what the port should show at seven times of the day, the DLI that the plan gives each coral
// on the first date of the table, and cautions.
//
// The page is written as plain text (pages divided by a form feed, which printers
// obey) and as one self-contained HTML file that prints one page each. Both hold
// the same; neither needs anything from elsewhere.
//
// The times are fixed: midnight, and every three hours from 06:00 to 21:00, when somebody
// may be there to look. The command shown is the one on the port's step that is
// nearest to where the ramp is then; the display of a controller may be one step
// away from it.
package sheet
