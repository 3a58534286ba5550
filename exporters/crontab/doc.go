// Package crontab writes the switched outlets of a timetable as crontab lines
// (POSIX.1-2017, crontab: minute, hour, day of month, month, day of week, command).
//
//	30 15 28-31 3 * outlet outlets/1 off
//
// The command word outlet stands for whatever switches an outlet on the machine
// that runs cron; its arguments are controller/port and on or off.
//
// # Dates
//
// A crontab has no year. Tables whose outlets do the same are joined, and where that makes
// fewer, from four weeks on, divided by weekdays. A table that is for all dates has lines that run every day or
// every one of its weekdays (* * 0 for Sunday), whatever its dates, and the header
// says from when to when it is meant. Otherwise the lines are bound to the dates
// of their table by day of month and month. That is possible for one year only:
// timetables that run longer are refused, and an open end is cut after one year,
// which the header and a warning say. Weekdays of part of a month are given by their dates, since POSIX
// joins the two kinds of day by "or" when both are given.
//
// On the first date of a table an outlet may have to change at midnight to what
// the new table has there; such a line is bound to that date alone, or to the weekday on
// which it comes back.
//
// # Minutes
//
// Cron knows no seconds. Times are rounded to the minute, with a warning.
//
// # Reading back
//
// Timetable reads such a file again: its lines by the meaning that cron gives them,
// its dates and the number of its lines from the header, so that a file that was cut
// or added to is refused. Ranges and channels are those of the plan.
//
// # Left out
//
// The state of the outlets when cron starts in the middle of a day, and what
// cron does on the two dates when its clock changes: implementations differ.
package crontab
