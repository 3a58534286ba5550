package daypattern

import (
	"fmt"
	"regexp"
	"strings"
	"time"

	"github.com/robfig/cron/v3"
)

// Pattern is a set of dates. The zero Pattern has none.
type Pattern struct {
	text                    string
	monthDays, months       set // by their numbers, from 1
	weekdays                set // Sunday is 0
	anyMonthDay, anyWeekday bool
}

// set has bit n for the number n.
type set uint64

const (
	allMonthDays set = 1<<32 - 1<<1
	allMonths    set = 1<<13 - 1<<1
	allWeekdays  set = 1<<7 - 1

	openBit = 63 // set by robfig/cron in a field with a star
)

func (s set) has(n int) bool { return s>>n&1 == 1 }

// fields says what may stand in the three fields that choose a day.
var fields = [3]struct{ name, allowed string }{
	{"day of month", "1 to 31"},
	{"month", "1 to 12, or jan to dec"},
	{"day of week", "0 to 6 with Sunday 0, or sun to sat"},
}

const item = `(?:\*|[0-9A-Za-z]+(?:-[0-9A-Za-z]+)?)(?:/[0-9]+)?`

var (
	fieldForm = regexp.MustCompile(`^` + item + `(?:,` + item + `)*$`)
	seven     = regexp.MustCompile(`\b7\b`)
	parser    = cron.NewParser(cron.Dom | cron.Month | cron.Dow)
)

// Parse reads a pattern such as "0 0 1,15 * *". The error says which field is
// wrong, what stands in it and what may.
func Parse(text string) (Pattern, error) {
	parts := strings.Fields(text)
	if len(parts) != 5 {
		return Pattern{}, fmt.Errorf("day pattern %q needs 5 fields and has %d: "+
			"write minute, hour, day of month, month and day of week, such as \"0 0 * * 0\" for every Sunday", text, len(parts))
	}
	if parts[0] != "0" || parts[1] != "0" {
		return Pattern{}, fmt.Errorf("day pattern %q has a time of day: "+
			"it stands for whole days, so minute and hour, the first two fields, must be \"0 0\"", text)
	}
	days := parts[2:]
	for i, value := range days {
		if err := checkField(i, value); err != nil {
			return Pattern{}, fmt.Errorf("day pattern %q: %w", text, err)
		}
	}
	bits, err := read(days)
	if err != nil {
		return Pattern{}, fmt.Errorf("day pattern %q is not understood: %w", text, err)
	}
	p := Pattern{
		text:      strings.Join(parts, " "),
		monthDays: set(bits.Dom) & allMonthDays, months: set(bits.Month) & allMonths, weekdays: set(bits.Dow) & allWeekdays,
		anyMonthDay: set(bits.Dom).has(openBit), anyWeekday: set(bits.Dow).has(openBit),
	}
	if !p.possible() {
		return Pattern{}, fmt.Errorf("day pattern %q fits no date in any year: "+
			"none of its months has such a day; change the day of month or the month", text)
	}
	return p, nil
}

// checkField has the parser look at one field with the others open, so that a
// fault is told of the field it is in.
func checkField(i int, value string) error {
	alone := []string{"*", "*", "*"}
	alone[i] = value
	if fieldForm.MatchString(value) {
		if _, err := read(alone); err == nil {
			return nil
		}
	}
	hint := ""
	if strings.Contains(value, "?") {
		hint = "; write * in place of ?, which some programs take for any and others for today's"
	}
	if i == 2 && seven.MatchString(value) {
		hint = "; Sunday is 0, not 7"
	}
	return fmt.Errorf("%s %q is not understood: it may be * for all, or numbers (%s), "+
		"lists such as 1,3, ranges from low to high such as 1-5, and steps such as */2%s", fields[i].name, value, fields[i].allowed, hint)
}

func read(days []string) (*cron.SpecSchedule, error) {
	schedule, err := parser.Parse(strings.Join(days, " "))
	if err != nil {
		return nil, err
	}
	bits, ok := schedule.(*cron.SpecSchedule)
	if !ok {
		return nil, fmt.Errorf("it names no days")
	}
	return bits, nil
}

// possible tells whether any month has one of the days.
func (p Pattern) possible() bool {
	if !p.anyWeekday {
		return true // every month has every weekday
	}
	for month := 1; month <= 12; month++ {
		const leapYear = 2000
		last := time.Date(leapYear, time.Month(month)+1, 0, 0, 0, 0, 0, time.UTC).Day()
		for day := 1; day <= last; day++ {
			if p.months.has(month) && p.monthDays.has(day) {
				return true
			}
		}
	}
	return false
}

// Matches tells whether the pattern has the year, month and day of date in
// date's own location.
func (p Pattern) Matches(date time.Time) bool {
	_, month, day := date.Date()
	if !p.months.has(int(month)) {
		return false
	}
	onDay, onWeekday := p.monthDays.has(day), p.weekdays.has(int(date.Weekday()))
	if p.anyMonthDay || p.anyWeekday {
		return onDay && onWeekday
	}
	return onDay || onWeekday
}

// String is the pattern as written, with single spaces.
func (p Pattern) String() string { return p.text }
