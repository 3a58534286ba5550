package plan

import (
	"fmt"
	"time"
)

// Date is a calendar date without a zone; the zero Date means "not given".
type Date struct {
	Year  int
	Month time.Month
	Day   int
}

// DateOf is the calendar date of t in t's own zone.
func DateOf(t time.Time) Date {
	y, m, d := t.Date()
	return Date{y, m, d}
}

// ParseDate reads an ISO 8601 date such as 2027-02-03.
func ParseDate(s string) (Date, error) {
	t, err := time.Parse(time.DateOnly, s)
	if err != nil {
		return Date{}, fmt.Errorf("%q is not a date; write year-month-day, such as 2027-02-03", s)
	}
	return DateOf(t), nil
}

// IsZero reports whether the date was not given.
func (d Date) IsZero() bool { return d == Date{} }

// String is the date in ISO 8601; empty for the zero Date.
func (d Date) String() string {
	if d.IsZero() {
		return ""
	}
	return d.UTC().Format(time.DateOnly)
}

// UTC is midnight UTC at the start of the date; only for date arithmetic.
func (d Date) UTC() time.Time { return time.Date(d.Year, d.Month, d.Day, 0, 0, 0, 0, time.UTC) }

// AddDays is the date n days later.
func (d Date) AddDays(n int) Date { return DateOf(d.UTC().AddDate(0, 0, n)) }

// DaysUntil is the number of days from d to e, negative when e is earlier.
func (d Date) DaysUntil(e Date) int { return int(e.UTC().Sub(d.UTC()).Hours() / 24) }

// Before reports whether d is an earlier date than e.
func (d Date) Before(e Date) bool { return d.UTC().Before(e.UTC()) }

// Weekday is the day of the week.
func (d Date) Weekday() time.Weekday { return d.UTC().Weekday() }

// After reports whether d is a later date than e.
func (d Date) After(e Date) bool { return e.Before(d) }
