// Package daypattern reads the day part of a crontab line and says which dates
// it means: "0 0 * * 0" is every Sunday.
//
// # The pattern
//
// Five fields: minute, hour, day of month (1-31), month (1-12 or jan-dec), day of
// week (0-6 or sun-sat, Sunday is 0). A field is a star for all, or a list, with
// commas, of numbers and ranges (1-5), each with a step if wanted (1-31/7).
// Minute and hour must both be 0, since a pattern is about whole days.
//
// # The meaning
//
// A date must be in one of the months. Of the two day fields, one that is a star
// leaves the choice to the other; when neither is, a date that fits either is
// enough. That is the rule of POSIX (IEEE Std 1003.1, utility crontab), whose
// example "0 0 1,15 * 1" means the 1st, the 15th and every Monday.
//
// The fields are read by robfig/cron/v3. Where it and other readers differ, its
// meaning holds:
//
//   - The month binds both day fields: "0 0 * 6 0" is the Sundays of June. By
//     the letter of POSIX it would be every day of June and every Sunday
//     besides; the common cron programs do as is done here.
//   - A star with a step is a choice like any other: "0 0 */2 * 1" means odd days
//     of the month, and every Monday besides.
//   - Sunday is never 7.
//
// Refused though that parser takes them: a time zone in front, empty places in
// a list ("1,,2"), a star as one end of a range, ? (any day to that parser, the day on which
// cron began to others), and a pattern that fits no date at
// all (31 February).
package daypattern
