// Package calendarfile writes reminders as an iCalendar file (RFC 5545), to be
// taken into any calendar: light steps, relamping, changes of timetable.
//
// Each reminder is an all-day event (DTSTART;VALUE=DATE, 3.6.1) that takes up no
// time (TRANSP:TRANSPARENT). Lines end in CRLF and are folded so that none is
// longer than 75 octets, never within a character (3.1). Text is escaped by 3.3.11.
//
// The same reminders give the same bytes. A UID (3.8.4.7) is a hash of calendar,
// date and summary: a file written again replaces its events instead of doubling
// them, and a longer description keeps its event. DTSTAMP (3.8.7.2) must be in
// UTC; the caller gives it, as nothing here looks at a clock.
//
// What comes back every week is one event with a rule (RRULE, 3.3.10: FREQ=WEEKLY, BYDAY, UNTIL),
// whose date is its first.
//
// Left out: alarms, and events that come back otherwise; calendars add their own alarms.
package calendarfile
