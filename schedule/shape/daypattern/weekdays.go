package daypattern

import (
	"fmt"
	"slices"
	"strings"
	"time"
)

// Weekdays is a set of weekdays, bit n for time.Weekday n. The zero set stands for all of them.
type Weekdays uint8

const everyDay Weekdays = 1<<7 - 1

// names are how weekdays are written, from Monday on.
var names = [7]string{"mon", "tue", "wed", "thu", "fri", "sat", "sun"}

// WeekdaysOf is the set of some weekdays; none is all.
func WeekdaysOf(days ...time.Weekday) (w Weekdays) {
	for _, d := range days {
		w |= 1 << d
	}
	if w == everyDay {
		return 0
	}
	return w
}

// ParseWeekdays reads mon … sun, joined by spaces; nothing is all of them.
func ParseWeekdays(text string) (w Weekdays, err error) {
	for word := range strings.FieldsSeq(text) {
		i := slices.Index(names[:], word)
		if i < 0 {
			return 0, fmt.Errorf("%q is no weekday; allowed are %s, joined by spaces, or nothing for all", word, strings.Join(names[:], " "))
		}
		bit := Weekdays(1) << ((i + 1) % 7)
		if w&bit != 0 {
			return 0, fmt.Errorf("%s comes twice; name each weekday once", word)
		}
		w |= bit
	}
	if w == everyDay {
		return 0, nil
	}
	return w, nil
}

// String is the set as ParseWeekdays reads it: from Monday on, empty for all.
func (w Weekdays) String() string {
	var out []string
	for i, name := range names {
		if w.Has(time.Weekday((i + 1) % 7)) {
			out = append(out, name)
		}
	}
	if len(out) == len(names) {
		return ""
	}
	return strings.Join(out, " ")
}

// Has tells whether a weekday is in the set.
func (w Weekdays) Has(d time.Weekday) bool { return w == 0 || w>>d&1 == 1 }

// Words says the set to people: "Monday to Saturday"; "every day" for all.
func (w Weekdays) Words() string {
	if w == 0 {
		return "every day"
	}
	on := func(i int) bool { return i < 7 && w.Has(time.Weekday((i+1)%7)) } // i from Monday on
	var parts []string
	for i := 0; i < 7; i++ {
		last := i
		for on(i) && on(last+1) {
			last++
		}
		switch name := func(i int) string { return time.Weekday((i + 1) % 7).String() }; {
		case on(i) && last >= i+2:
			parts = append(parts, name(i)+" to "+name(last))
			i = last
		case on(i):
			parts = append(parts, name(i))
		}
	}
	if n := len(parts) - 1; n > 0 {
		return strings.Join(parts[:n], ", ") + " and " + parts[n]
	}
	return parts[0]
}

// Weekday tells whether a weekday is among those of the pattern.
func (p Pattern) Weekday(w time.Weekday) bool { return p.weekdays.has(int(w)) }

// FollowsWeekdays tells whether it makes a difference to the pattern which weekday a date is.
func (p Pattern) FollowsWeekdays() bool { return p.weekdays != allWeekdays }
