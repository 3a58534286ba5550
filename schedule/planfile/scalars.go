package planfile

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

// limits bounds a number, in the unit used inside; text says it for people.
type limits struct {
	lo, hi float64
	open   bool // lo itself is refused
	text   string
}

var (
	anyShare  = limits{0, 1, false, "from 0 % to 100 %"}
	someShare = limits{0, 1, true, "more than 0 % and at most 100 %"}
	aSize     = limits{0, 100, true, "more than 0 m and at most 100 m"}
	aPlace    = limits{-100, 100, false, "from -100 m to 100 m"}
	anyLight  = limits{0, 1e4, true, "more than 0 and at most 10000"}
	aPower    = limits{0, 1e6, true, "more than 0 W and at most 1000 kW"}
)

// num reads a number. What is not given, or wrong and reported, is NaN, so that no
// comparison with it holds and no second problem follows from the first.
func num(v source.Value, k quantity.Kind, l limits) float64 {
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
func numOr(v source.Value, k quantity.Kind, l limits, otherwise float64) float64 {
	if !v.Given() {
		return otherwise
	}
	return num(v, k, l)
}

// bad reports an error of the package quantity.
func bad(v source.Value, err error) float64 {
	var e *quantity.Error
	if errors.As(err, &e) {
		v.Error(e.What, e.Allowed, e.Hint)
	} else {
		v.Error(err.Error(), "", "")
	}
	return math.NaN()
}

// pair reads a list of two numbers.
func pair(v source.Value, k quantity.Kind, l limits) (p [2]float64) {
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

// span is a pair of which the second is more than the first.
func span(v source.Value, k quantity.Kind, l limits) [2]float64 {
	p := pair(v, k, l)
	if p[1] <= p[0] {
		v.Error(v.Name()+" does not rise", "the second value must be more than the first", "")
		return [2]float64{math.NaN(), math.NaN()}
	}
	return p
}

// word reads one of a few words and gives its index. A word that is none of them is
// reported and read on as the nearest; the index is 0 when nothing is near, or nothing
// given.
func word(v source.Value, words ...string) int {
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
func yes(v source.Value, otherwise bool) bool {
	if !v.Given() {
		return otherwise
	}
	return word(v, "yes", "true", "no", "false") < 2
}

// clockTime reads a time of day in seconds after midnight, NaN for what is bad.
func clockTime(v source.Value) float64 {
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
func date(v source.Value) plan.Date {
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
	}
	return d
}

// days reads a duration of whole days, at least one.
func days(v source.Value, otherwise int) int {
	s := numOr(v, quantity.Duration, limits{86400, 3660 * 86400, false, "from 1 day to 10 years"}, float64(otherwise)*86400)
	if d := s / 86400; d != math.Trunc(d) {
		if !math.IsNaN(d) {
			v.Error("not a number of whole days", "write days or weeks, such as 3 days or 6 weeks", "")
		}
		return 0
	}
	return int(s / 86400)
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
