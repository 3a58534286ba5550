// Package timetable is what a controller is told to do, written and read back.
//
// A timetable says for every port, from one date to another (both inclusive, on
// the controller's calendar) and on which of their weekdays, at which times of the day it takes which command.
// Times are on the controller's clock. A day repeats from the first date to the
// last: what follows the last point of a day is the first point of the next.
//
// # timetable.json
//
// Format 2: all that is needed to play it. The plan's name, the hash of what it was made
// from, the clock, the first and last date on which it was played against the plan when it
// was written, and for each port its signal, range, step, what it does between points, how
// each of its lamps answers, and how far its light is from its curve at the most. The
// schema timetable.schema.json (JSON Schema, draft 2020-12) is written beside it. The key
// point_count holds the number of points in the file, so that points that were lost are
// noticed. Format 1, with one channel a port and no claims, is read as well.
//
//	command       in the port's unit: V, %, count; "on" or "off" for a switch
//	light_percent what each channel gives at that command, reached from below, % of its
//	              full flux, to 0.001
//	response      see package dimmer; points are [command, light fraction 0..1]
//
// # timetable.csv
//
// RFC 4180, one row a point, with the columns
//
//	valid_from,valid_to,controller,port,channel,time,command,unit,light_percent,days
//
// with a row for each point and channel, port by port and each port's tables by date. The days of its first row and
// the unit of its last stand in quotes, which whoever reads csv takes off: where one is without the
// other, the file was cut. It has no room for responses, ranges and ramps:
// [File.Through] takes them from a plan. Text that a spreadsheet could take for a formula
// (a cell that begins with = + - @, tab, CR or LF) is written with an apostrophe before it,
// which reading takes away again.
//
// # Weekdays
//
// days, of a row in timetable.csv and of a table in timetable.json, are the weekdays on which the table is
// valid between its dates: mon … sun, joined by spaces, and nothing for all. Every date has exactly one table:
// of each weekday for itself they follow each other by date. Files without days are read as before.
//
// # Reading
//
// Reading is strict, because a damaged timetable burns corals. Unknown keys,
// newer formats, times that do not rise, dates that overlap or leave a gap,
// commands outside the range and ports that one table has and another lacks are
// refused, with the line and what to do. A command that was changed to another possible
// one is not an error but a doubt: the light that the file states is not what it gives,
// and playing the timetable shows what that does.
//
// A spreadsheet's copy of a csv file, also one with semicolons and decimal commas, is read, but it lost the quotes that
// bracket it. What then cannot be seen from it alone ([File].Unended): rows lost from its end, when the cut falls
// into or before the last port's last table and, of later ports, all tables were lost.
// Through finds ports that are missing, as it knows the plan; lost points of the last
// port's last table show as light that is wrong when the file is played. Of one
// port alone later tables can be lost, as of a grid whole dates: verify says so.
package timetable
