package quantity

import (
	"fmt"
	"strings"
)

// TimeOfDay reads "HH:MM" or "HH:MM:SS" as seconds after midnight, 0 to 86399.
// The error is an *Error.
func TimeOfDay(text string) (float64, error) {
	text = strings.TrimSpace(text)
	var part [3]int
	n, ok := 0, len(text) == 5 || len(text) == 8
	for i := 0; ok && i < len(text); i++ {
		c := text[i]
		switch {
		case i%3 == 2:
			ok = c == ':'
			n++
		default:
			ok = c >= '0' && c <= '9'
			part[n] = part[n]*10 + int(c-'0')
		}
	}
	e := &Error{
		What:    fmt.Sprintf("%q is not a time of day", shorten(text)),
		Allowed: `write "HH:MM" or "HH:MM:SS" from "00:00" to "23:59:59"`,
	}
	switch {
	case !ok:
		e.Hint = timeHint(text)
		return 0, e
	case part[0] == 24 && part[1] == 0 && part[2] == 0:
		e.Hint = `midnight is "00:00"`
		return 0, e
	case part[0] > 23 || part[1] > 59 || part[2] > 59:
		return 0, e
	}
	return float64(part[0]*3600 + part[1]*60 + part[2]), nil
}

// timeHint guesses the time meant by 0830, 830, 8:30, 8.30 or 8h30.
func timeHint(text string) string {
	digits := strings.Map(func(r rune) rune {
		switch {
		case r >= '0' && r <= '9':
			return r
		case strings.ContainsRune(":.h", r):
			return -1
		}
		return 'x'
	}, text)
	if len(digits) == 3 {
		digits = "0" + digits
	}
	if len(digits) != 4 || strings.Contains(digits, "x") {
		return ""
	}
	guess := digits[:2] + ":" + digits[2:]
	if _, err := TimeOfDay(guess); err != nil {
		return ""
	}
	return fmt.Sprintf("did you mean %q?", guess)
}

// FormatTime writes seconds after midnight as "HH:MM", with ":SS" where needed;
// parts of a second are rounded.
func FormatTime(seconds float64) string {
	s := int(seconds+0.5) % 86400
	if s%60 == 0 {
		return fmt.Sprintf("%02d:%02d", s/3600, s/60%60)
	}
	return fmt.Sprintf("%02d:%02d:%02d", s/3600, s/60%60, s%60)
}
