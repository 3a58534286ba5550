package planfile

import (
	"errors"
	"fmt"
	"math"
	"regexp"
	"slices"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// limits bounds a number, in the unit used inside; text says it for people.
type limits struct {
	lo, hi float64
	open   bool // lo itself is refused
	text   string
}

// kinds are the quantities of the table of keys.
var kinds = map[string]quantity.Kind{
	"length": quantity.Length, "place": quantity.Length, "place with height": quantity.Length, "two of length": quantity.Length, "duration": quantity.Duration,
	"share": quantity.Share, "power": quantity.Power, "current": quantity.Amps, "voltage": quantity.Volts, "angle": quantity.Angle,
	"wavelength": quantity.Wavelength, "two of wavelength": quantity.Wavelength, "per length": quantity.PerLength,
	"latitude": quantity.Latitude, "longitude": quantity.Longitude, "number": quantity.Plain, "three numbers": quantity.Plain, "two numbers": quantity.Plain, "count": quantity.Counts,
}

// measure is the quantity that the table of keys has for a value, its range, and what
// holds when it is not given, NaN for nothing.
func measure(v yamltree.Value) (k quantity.Kind, l limits, otherwise float64) {
	row, _ := v.Key()
	for _, name := range row.Kinds {
		if known, ok := kinds[name]; ok {
			k = known
		}
	}
	otherwise, err := k.Parse(row.Default)
	if err != nil {
		otherwise = math.NaN()
	}
	return k, rangeOf(k, row.Range), otherwise
}

var numberInRange = regexp.MustCompile(`(-?[0-9.]+)(?: [^ ,;:]+)?`)

// rangeOf reads a range of the table: its two numbers, and whether the first is out.
func rangeOf(k quantity.Kind, text string) limits {
	l := limits{math.Inf(-1), math.Inf(1), strings.HasPrefix(text, "more than"), text}
	for i, found := range numberInRange.FindAllStringSubmatch(text, 2) {
		x, err := k.Parse(found[0])
		if err != nil {
			x, err = k.Parse(found[1]) // the word after it is no unit
		}
		if err == nil {
			*[]*float64{&l.lo, &l.hi}[i] = x
		}
	}
	return l
}

// number reads a number by the table of keys. What is not given is its default there,
// else NaN.
func number(v yamltree.Value) float64 {
	k, l, otherwise := measure(v)
	if !v.Given() {
		return otherwise
	}
	return num(v, k, l)
}

// numberOr is number, and another default for what is not given.
func numberOr(v yamltree.Value, otherwise float64) float64 {
	if !v.Given() {
		return otherwise
	}
	return number(v)
}

// num reads a number. What is not given, or wrong and reported, is NaN, so that no
// comparison with it holds and no second problem follows from the first.
func num(v yamltree.Value, k quantity.Kind, l limits) float64 {
	text, ok := v.Text("write " + k.Name + " such as " + k.Example)
	if !ok {
		return math.NaN()
	}
	x, err := k.Parse(text)
	if err != nil {
		return bad(v, err)
	}
	if x < l.lo || x > l.hi || l.open && x == l.lo {
		v.Error(strings.TrimSpace(fmt.Sprintf("%s %q is out of range", v.Name(), text)), "it must be "+l.text, "")
		return math.NaN()
	}
	return x
}

// numOr is num, and a default for what is not given.
func numOr(v yamltree.Value, k quantity.Kind, l limits, otherwise float64) float64 {
	if !v.Given() {
		return otherwise
	}
	return num(v, k, l)
}

// bad reports an error of the package quantity.
func bad(v yamltree.Value, err error) float64 {
	var e *quantity.Error
	if errors.As(err, &e) {
		v.Error(e.What, e.Allowed, e.Hint)
	} else {
		v.Error(err.Error(), "", "")
	}
	return math.NaN()
}

// pair reads a list of two numbers by the table of keys.
func pair(v yamltree.Value) [2]float64 {
	k, l, _ := measure(v)
	return two(v, k, l)
}

func two(v yamltree.Value, k quantity.Kind, l limits) (p [2]float64) {
	p = [2]float64{math.NaN(), math.NaN()}
	example := fmt.Sprintf("write two values such as [%s, %s]", k.Example, k.Example)
	if !v.Given() {
		return p
	}
	items := v.Items(example)
	if v.IsList() && len(items) != 2 {
		v.Error(fmt.Sprintf("%s has %s", v.Name(), count(len(items), "value")), example, "")
		return p
	}
	for i, item := range items {
		p[i] = num(item, k, l)
	}
	return p
}

// span is two numbers of which the second is more than the first.
func span(v yamltree.Value, k quantity.Kind, l limits) [2]float64 {
	p := two(v, k, l)
	if p[1] <= p[0] {
		v.Error(v.Name()+" does not rise", "the second value must be more than the first", "")
		return [2]float64{math.NaN(), math.NaN()}
	}
	return p
}

// word reads one of a few words and gives its index. A word that is none of them is
// reported and read on as the nearest; the index is 0 when nothing is near, or nothing
// given.
func word(v yamltree.Value, words ...string) int {
	text, ok := v.Text("it must be one of: " + diag.Words(words))
	if !ok {
		return 0
	}
	i := slices.Index(words, text)
	if i < 0 {
		v.Error(fmt.Sprintf("unknown %s %q", strings.ReplaceAll(v.Name(), "_", " "), text), "it must be one of: "+diag.Words(words), diag.DidYouMean(text, words))
		i = slices.Index(words, diag.Nearest(text, words))
	}
	return max(i, 0)
}

// yes reads yes or no, also written true and false.
func yes(v yamltree.Value, otherwise bool) bool {
	if !v.Given() {
		return otherwise
	}
	return word(v, "yes", "true", "no", "false") < 2
}

// clockTime reads a time of day in seconds after midnight, NaN for what is bad.
func clockTime(v yamltree.Value) float64 {
	text, ok := v.Text(`write a time such as "08:30"`)
	if !ok {
		return math.NaN()
	}
	t, err := quantity.TimeOfDay(text)
	if err != nil {
		return bad(v, err)
	}
	return t
}

// date reads a date; the zero Date for what is not given or bad.
func (r *reader) date(v yamltree.Value) plan.Date {
	text, ok := v.Text("write a date such as 2027-02-03")
	if !ok {
		return plan.Date{}
	}
	d, err := plan.ParseDate(text)
	switch {
	case err != nil:
		v.Error(fmt.Sprintf("%q is not a date", text), "write year-month-day, such as 2027-02-03", "")
	case d.Year < 1970 || d.Year > 2200:
		v.Error(fmt.Sprintf("the date %s is out of range", text), "it must be from 1970 to 2200", "")
		return plan.Date{}
	case clock.Skipped(r.plan.Clock.Zone, d):
		v.Error(fmt.Sprintf("the date %s did not happen in %s", text, r.plan.Clock.ZoneName), "the law of the time zone left it out", "name the day after")
		return plan.Date{}
	}
	return d
}

// days reads a duration of whole days, at least one; 0 for what is not given or bad.
func days(v yamltree.Value) int {
	s := number(v)
	if d := s / 86400; d != math.Trunc(d) {
		if !math.IsNaN(d) {
			v.Error("not a number of whole days", "write days or weeks, such as 3 days or 6 weeks", "")
		}
		return 0
	}
	return whole(s / 86400)
}

func pos(p diag.Place) plan.Pos { return plan.Pos{Line: p.Line, Col: p.Col} }

func count(n int, what string) string {
	if n == 1 {
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// cm writes metres in centimetres for a message.
func cm(m float64) string { return fmt.Sprintf("%g cm", math.Round(m*1e5)/1e3) }
