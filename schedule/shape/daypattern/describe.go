package daypattern

import (
	"fmt"
	"strings"
	"time"
)

// Describe says the pattern in words: "every Sunday", "the 1st and 15th of
// every month".
func (p Pattern) Describe() string {
	if p.months == 0 { // the zero Pattern
		return "never"
	}
	byMonthDay, byWeekday := p.monthDays != allMonthDays, p.weekdays != allWeekdays
	if !p.anyMonthDay && !p.anyWeekday && !(byMonthDay && byWeekday) {
		byMonthDay, byWeekday = false, false // either will do, and one of them always does
	}
	switch {
	case byMonthDay && byWeekday:
		return "the " + p.monthDayWords() + " of " + p.monthWords("every month") +
			" and every " + p.weekdayWords() + p.inMonths()
	case byMonthDay:
		return "the " + p.monthDayWords() + " of " + p.monthWords("every month")
	case byWeekday:
		return "every " + p.weekdayWords() + p.inMonths()
	}
	return "every day" + p.inMonths()
}

// inMonths is empty if all months are meant.
func (p Pattern) inMonths() string {
	if p.months == allMonths {
		return ""
	}
	return " in " + p.monthWords("")
}

func (p Pattern) monthWords(all string) string {
	if p.months == allMonths {
		return all
	}
	return words(p.months, func(n int) string { return time.Month(n).String() })
}

func (p Pattern) weekdayWords() string {
	return words(p.weekdays, func(n int) string { return time.Weekday(n).String() })
}

func (p Pattern) monthDayWords() string { return words(p.monthDays, ordinal) }

// words lists the members of s, three or more in a row as a range.
func words(s set, name func(int) string) string {
	var parts []string
	for n := 0; n <= 31; n++ {
		if !s.has(n) {
			continue
		}
		last := n
		for last < 31 && s.has(last+1) {
			last++
		}
		if last < n+2 {
			parts = append(parts, name(n))
			continue
		}
		parts = append(parts, name(n)+" to "+name(last))
		n = last
	}
	if len(parts) < 2 {
		return strings.Join(parts, "")
	}
	return strings.Join(parts[:len(parts)-1], ", ") + " and " + parts[len(parts)-1]
}

func ordinal(n int) string {
	switch {
	case n%10 == 1 && n != 11:
		return fmt.Sprintf("%dst", n)
	case n%10 == 2 && n != 12:
		return fmt.Sprintf("%dnd", n)
	case n%10 == 3 && n != 13:
		return fmt.Sprintf("%drd", n)
	}
	return fmt.Sprintf("%dth", n)
}
