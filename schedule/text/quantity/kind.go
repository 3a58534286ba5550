package quantity

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dayloom/schedule/text/diag"
)

// Kind is one sort of quantity: its name with an article, an example, its units.
type Kind struct {
	Name    string // "a length"
	Example string // "24 cm"
	units   []unit
	whole   bool // only whole numbers
}

// unit is a word of the plan and what one of it is in the unit used inside.
type unit struct {
	word   string
	factor float64
}

// The kinds of a plan; the package comment gives the unit used inside for each.
var (
	Length     = Kind{Name: "a length", Example: "24 cm", units: []unit{{"m", 1}, {"mm", 1e-3}, {"cm", 1e-2}, {"in", 0.0254}, {"ft", 0.3048}}}
	Duration   = Kind{Name: "a duration", Example: "90 min", units: []unit{{"s", 1}, {"min", 60}, {"h", 3600}, {"day", 86400}, {"days", 86400}, {"week", 7 * 86400}, {"weeks", 7 * 86400}}}
	Share      = Kind{Name: "a share", Example: "85 %", units: []unit{{"%", 0.01}}}
	Percent    = Kind{Name: "a percentage", Example: "85 %", units: []unit{{"%", 1}}} // of a dimmer's range, inside as written
	Power      = Kind{Name: "a power", Example: "190 W", units: []unit{{"W", 1}, {"kW", 1000}}}
	Efficacy   = Kind{Name: "an efficacy", Example: "2.4 umol/J", units: []unit{{"umol/J", 1}}}
	Angle      = Kind{Name: "an angle", Example: "90 deg", units: []unit{{"deg", math.Pi / 180}}}
	Wavelength = Kind{Name: "a wavelength", Example: "455 nm", units: []unit{{"nm", 1}}}
	PerLength  = Kind{Name: "an absorption", Example: "0.05 /m", units: []unit{{"/m", 1}, {"/cm", 100}}}
	Volts      = Kind{Name: "a voltage", Example: "10 V", units: []unit{{"V", 1}}}
	Amps       = Kind{Name: "a current", Example: "10 A", units: []unit{{"A", 1}}}
	Counts     = Kind{Name: "a count", Example: "16", units: []unit{{"", 1}}, whole: true}
	Plain      = Kind{Name: "a number", Example: "14", units: []unit{{"", 1}}}
	Latitude   = Kind{Name: "a latitude", Example: "18 S", units: []unit{{"N", 1}, {"S", -1}}}
	Longitude  = Kind{Name: "a longitude", Example: "9 W", units: []unit{{"E", 1}, {"W", -1}}}
)

// Parse reads a quantity and gives it in the unit used inside. The error is an
// *Error.
func (k Kind) Parse(text string) (float64, error) {
	text = strings.TrimSpace(text)
	x, rest, ok := number(text)
	if !ok {
		return 0, badNumber(text, k.Name, k.Example)
	}
	word := strings.TrimSpace(rest)
	for _, u := range k.units {
		if plainMicro(word) == u.word {
			return k.convert(text, x, u)
		}
	}
	return 0, k.badUnit(text, word)
}

func (k Kind) convert(text string, x float64, u unit) (float64, error) {
	y := x * u.factor
	if u.factor == 0.01 {
		y = x / 100 // 70 % is the number nearest 0.7, as 70 × 0.01 is not
	}
	switch {
	case math.IsInf(y, 0):
		return 0, badNumber(text, k.Name, k.Example)
	case k.whole && x != math.Trunc(x):
		return 0, &Error{What: fmt.Sprintf("%q is not a whole number", shorten(text)), Allowed: "write one such as " + k.Example}
	case k.letters() && x < 0:
		return 0, &Error{What: fmt.Sprintf("%q has both a sign and a letter", shorten(text)), Allowed: "write it such as " + k.Example}
	}
	return y + 0, nil
}

func (k Kind) badUnit(text, word string) *Error {
	words := k.Units()
	if len(words) == 0 {
		return &Error{
			What:    fmt.Sprintf("%q is not %s", shorten(text), k.Name),
			Allowed: "write it without a unit, such as " + k.Example,
		}
	}
	allowed := fmt.Sprintf("write %s with %s, such as %s", k.Name, orList(words), k.Example)
	if word == "" {
		return &Error{What: fmt.Sprintf("%q has no unit", shorten(text)), Allowed: allowed}
	}
	e := &Error{What: fmt.Sprintf("%q is not %s: unknown unit %q", shorten(text), k.Name, shorten(word)), Allowed: allowed}
	if near := diag.Nearest(word, words); near != "" {
		e.Hint = fmt.Sprintf("did you mean %q?", near)
	} else if long, ok := longNames[strings.ToLower(word)]; ok && slices.Contains(words, long) {
		e.Hint = fmt.Sprintf("did you mean %q?", long)
	}
	return e
}

// longNames are units as people also write them; they only serve the hint.
var longNames = map[string]string{
	"metre": "m", "metres": "m", "meter": "m", "meters": "m", "centimetres": "cm", "centimeters": "cm",
	"inch": "in", "inches": "in", "\"": "in", "foot": "ft", "feet": "ft", "'": "ft",
	"minutes": "min", "minute": "min", "hours": "h", "hour": "h", "hr": "h", "hrs": "h", "seconds": "s",
	"percent": "%", "watt": "W", "watts": "W", "volt": "V", "volts": "V", "amps": "A", "ampere": "A",
	"degrees": "deg", "°": "deg", "nanometres": "nm", "1/m": "/m", "m-1": "/m",
}

// letters reports whether a letter takes the place of the sign, as in 18 S.
func (k Kind) letters() bool { return len(k.units) == 2 && k.units[1].factor < 0 }

// Units are the words that may follow the number; none for a bare number.
func (k Kind) Units() []string {
	var words []string
	for _, u := range k.units {
		if u.word != "" {
			words = append(words, u.word)
		}
	}
	return words
}

// Format writes a value of the unit used inside as a plan would, in the kind's
// first unit, with as many digits as it takes to read the same value again
// (a share may differ in the last bit).
func (k Kind) Format(x float64) string {
	u := k.units[0]
	if x < 0 && k.letters() {
		u = k.units[1]
	}
	text := strconv.FormatFloat(x/u.factor, 'f', -1, 64)
	if u.factor == 0.01 && u.word == "%" {
		text = strconv.FormatFloat(math.Round(x*100*1e9)/1e9, 'f', -1, 64)
	}
	return strings.TrimSpace(text + " " + u.word)
}

// plainMicro turns the micro sign (U+00B5) and the Greek mu (U+03BC) into u.
func plainMicro(s string) string { return micro.Replace(s) }

var micro = strings.NewReplacer("\u00b5", "u", "\u03bc", "u")

func orList(words []string) string {
	if len(words) == 1 {
		return "the unit " + words[0]
	}
	return "one of the units " + strings.Join(words, ", ")
}
