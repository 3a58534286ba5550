package planfile

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

// hung reads which racks hung elsewhere when a reading was taken, such as main=x+60cm, parted by spaces.
func (s *sheet) hung(record []string, got *plan.Reading) {
	const form = "write a rack, an axis and by how much, such as main=x+60cm or main=height-5cm; nothing where all hung as in the plan"
	text, field := s.field(record, "rack")
	for _, word := range strings.Fields(text) {
		name, axis, length, ok := plan.SplitPush(word)
		if !ok {
			s.fail(field, fmt.Sprintf("%q does not say where a rack hung", shorten(word)), form, "")
			return
		}
		var names []string
		for _, k := range s.plan.Racks {
			names = append(names, k.Name)
		}
		rack := slices.Index(names, name)
		by, err := quantity.Length.Parse(length)
		var wrong *quantity.Error
		switch {
		case rack < 0 && names == nil:
			s.fail(field, fmt.Sprintf("no rack is called %q", shorten(name)), "the plan has none", "")
			return
		case rack < 0:
			s.fail(field, fmt.Sprintf("no rack is called %q", shorten(name)), "the plan has: "+diag.Words(names), diag.DidYouMean(name, names))
			return
		case axis < 0:
			s.fail(field, fmt.Sprintf("%q does not say where a rack hung", shorten(word)), form, "")
			return
		case errors.As(err, &wrong):
			s.fail(field, wrong.What, wrong.Allowed, wrong.Hint)
			return
		}
		if math.Abs(by) > 100 {
			s.fail(field, fmt.Sprintf("%q is out of range", shorten(word)), "a rack moves by at most 100 m", "")
			return
		}
		k := s.plan.Racks[rack]
		to := [3]float64{math.NaN(), math.NaN(), math.NaN()}
		to[axis] = []float64{k.At[0], k.At[1], k.Height}[axis] + by
		m, why, _ := s.plan.Parked(plan.RackMove{Rack: rack}, to)
		if why != "" {
			s.fail(field, why, form, "")
			return
		}
		got.Racks = append(got.Racks, m)
	}
}
