package quantity

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Error says what is wrong with a text, what is allowed, and what was probably
// meant (may be empty).
type Error struct{ What, Allowed, Hint string }

// Error is the three parts in one line.
func (e *Error) Error() string {
	text := e.What
	for _, more := range []string{e.Allowed, e.Hint} {
		if more != "" {
			text += "; " + more
		}
	}
	return text
}

// number reads the number at the start of s and gives what follows it. ok is
// false when s does not begin with a number.
func number(s string) (x float64, rest string, ok bool) {
	i := 0
	digits := func() int {
		from := i
		for i < len(s) && s[i] >= '0' && s[i] <= '9' {
			i++
		}
		return i - from
	}
	sign := func() {
		if i < len(s) && (s[i] == '+' || s[i] == '-') {
			i++
		}
	}
	sign()
	from := i
	whole := digits()
	if whole == 0 || whole > 1 && s[from] == '0' {
		return 0, s, false
	}
	if i < len(s) && s[i] == '.' {
		i++
		if digits() == 0 {
			return 0, s, false
		}
	}
	if mark := i; i < len(s) && (s[i] == 'e' || s[i] == 'E') {
		i++
		sign()
		if digits() == 0 {
			i = mark // the e belongs to a unit
		}
	}
	if i < len(s) && (strings.IndexByte(",_.:'", s[i]) >= 0 || s[i-1] == '0' && strings.IndexByte("xXoO", s[i]) >= 0) {
		return 0, s, false // 3,5 and 1_000 and 0x1F are no number with a unit
	}
	x, err := strconv.ParseFloat(s[:i], 64)
	if err != nil || math.IsInf(x, 0) {
		return 0, s, false
	}
	return x + 0, s[i:], true // + 0: no negative zero
}

// badNumber explains why s holds no number.
func badNumber(s, name, example string) *Error {
	e := &Error{
		What:    fmt.Sprintf("%q is not %s", shorten(s), name),
		Allowed: "write a number such as " + example,
	}
	low := strings.ToLower(strings.TrimLeft(s, "+-"))
	switch {
	case s == "":
		e.What = name + " is missing"
	case strings.HasPrefix(low, "0x") || strings.HasPrefix(low, "0o") || strings.HasPrefix(low, "0b"):
		e.Hint = "only decimal numbers are read"
	case len(low) > 1 && low[0] == '0' && low[1] >= '0' && low[1] <= '9':
		e.Hint = "leave out the leading zero"
	case strings.HasPrefix(low, ".inf") || strings.HasPrefix(low, "inf") || strings.HasPrefix(low, ".nan") || strings.HasPrefix(low, "nan"):
		e.Hint = "numbers must be finite"
	case strings.HasPrefix(low, "."):
		e.Hint = "put a 0 before the point"
	case strings.Contains(low, ","):
		e.Hint = "decimals take a point, and thousands nothing between"
	case strings.Contains(low, "_"):
		e.Hint = "leave out the _"
	}
	return e
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}
