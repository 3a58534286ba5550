// Package grid writes a timetable as plain rows, for controllers and scripts that
// can do nothing but take the next line, and reads such rows back.
//
// grid.csv (RFC 4180) has one row a time step and one column a port:
//
//	date,time,rack:1:bar-blue:V,outlets:1:tubes:switch
//	2027-01-01,00:00,0.0,off
//
// A column is headed by controller, port, channel and unit with colons between;
// a colon or backslash within a name has a backslash before it. Dates and times
// are those of the controller's clock, each date with its rows from 00:00 on,
// also the dates on which that clock changes. The command is the one at the
// row's time, on a ramp rounded to the nearest step of the port, to be held
// until the next row.
//
// Both directions stream: memory does not grow with the number of rows.
//
// Reading is strict. Rows must follow each other by one constant step, and the
// last date must be complete, so that a file that was cut, joined or reordered
// is refused with its line. A cut between two dates cannot be seen. A spreadsheet's copy with semicolons
// and decimal commas is read.
package grid
