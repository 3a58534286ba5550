// Package clock relates three clocks: the one the plan's day is written on, the
// one the controller keeps, and the instants that both of them count.
//
// # Two clocks
//
// In a time zone the wall clock is ahead of UTC by an offset w(t), which summer
// time and the law change; s(t) is the offset of standard time then. The day is
// written on one of them, and so runs the controller:
//
//	day         ignores summer time: d = s    follows it: d = w
//	controller  stays:               c = s    follows:    c = w
//
// A time of the day comes c − d later on the controller's clock: the shift. It
// is zero throughout when both move or neither does, the saving (an hour in most
// zones, half an hour on Lord Howe) in summer when only the controller moves,
// and minus that when only the day does.
//
// # Dates
//
// A controller holds one table for a date of its own calendar. On the date of a
// change, which has 23 or 25 hours (23.5 or 24.5 on Lord Howe), the table in
// force is the one right at 12:00 on the controller's clock. Changes are made at
// night, so a few dark hours before the change run an hour off, and no hour of
// light. Every instant has one date on the controller's clock and so one table,
// also the hour that the clock shows twice.
//
// # Standard time
//
// Zone data (IANA tz database) mark summer time but do not give the saving. The
// standard offset in summer is that of the nearest standard period before it, or
// of the one after it where only that makes a saving of at most two hours: laws
// do change in summer. Where the law calls the summer clock standard and the
// winter clock the exception (Dublin; Namibia until 2017), standard time here is
// the winter time all the same, as nobody means summer time by ignoring it. An
// exception shorter than 90 days, such as the month of Ramadan in Morocco, is no
// winter: there the longer-lasting clock stays the standard.
//
// # Left out
//
// Leap seconds, the drift of the controller's clock, and controllers that
// change on other dates than the law says.
package clock
