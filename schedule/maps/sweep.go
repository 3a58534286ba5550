package maps

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Sweep is one value of a plan and what it is set to in turn.
type Sweep struct {
	Path   string   // such as channels.bar-blue.emitters.height
	Values []string // as the plan would write them
	Turned bool     // the values fall though the step was written as rising
}

// mostSteps bounds a sweep: each value is a whole map.
const mostSteps = 200

const sweepForm = "write path=start..end:step such as channels.bar-blue.emitters.height=15cm..45cm:5cm, or path=a,b,c"

// ParseSweep reads path=start..end:step, with a unit on each number, or path=a,b,c.
func ParseSweep(text string) (Sweep, error) {
	path, values, ok := strings.Cut(text, "=")
	s := Sweep{Path: strings.TrimSpace(path)}
	values = strings.TrimSpace(values)
	if !ok || s.Path == "" || values == "" {
		return s, &askError{what: fmt.Sprintf("%q is not a sweep", text), allowed: sweepForm}
	}
	var err error
	if strings.Contains(values, "..") {
		s.Values, s.Turned, err = steps(values)
		return s, err
	}
	for _, v := range strings.Split(values, ",") {
		if v = strings.TrimSpace(v); v == "" {
			return s, &askError{what: fmt.Sprintf("%q has an empty value", text), allowed: sweepForm}
		}
		s.Values = append(s.Values, spaced(v))
	}
	if len(s.Values) > mostSteps {
		return s, tooMany(len(s.Values))
	}
	return s, nil
}

// steps spells out start..end:step; the end counts when a step falls on it.
func steps(text string) (values []string, turned bool, err error) {
	from, rest, _ := strings.Cut(text, "..")
	to, by, ok := strings.Cut(rest, ":")
	if !ok {
		return nil, false, &askError{what: fmt.Sprintf("%q has no step", text), allowed: sweepForm}
	}
	var number [3]float64
	var unit string
	for i, part := range []string{from, to, by} {
		v, u, ok := split(part)
		switch {
		case !ok:
			return nil, false, &askError{what: fmt.Sprintf("%q is not a number with its unit", strings.TrimSpace(part)), allowed: sweepForm}
		case i > 0 && u != unit:
			return nil, false, &askError{what: fmt.Sprintf("%q has another unit than %q", strings.TrimSpace(part), strings.TrimSpace(from)), allowed: "write start, end and step in one unit"}
		}
		number[i], unit = v, u
	}
	width, step := number[1]-number[0], number[2]
	switch {
	case step == 0:
		return nil, false, &askError{what: fmt.Sprintf("the step of %q is 0", text), allowed: "a step must lead from the start to the end"}
	case width > 0 && step < 0:
		return nil, false, &askError{what: fmt.Sprintf("the step of %q leads away from its end", text), allowed: "a step must lead from the start to the end",
			hint: "write " + strings.TrimSpace(from) + ".." + strings.TrimSpace(to) + ":" + strconv.FormatFloat(-step, 'f', -1, 64) + unit}
	}
	if width < 0 {
		turned, step = step > 0, -math.Abs(step)
	}
	n := math.Floor(width/step*(1+1e-12)+1e-9) + 1
	if n > mostSteps {
		return nil, false, tooMany(int(min(n, 1e9)))
	}
	out := make([]string, int(n))
	for i := range out {
		v := math.Round((number[0]+float64(i)*step)*1e9) / 1e9
		out[i] = strings.TrimSpace(strconv.FormatFloat(v, 'f', -1, 64) + " " + unit)
	}
	return out, turned, nil
}

// Idle reports whether no value of a sweep changed any light.
func Idle(steps []Step) bool {
	for _, s := range steps {
		if !slices.Equal(s.Zones, steps[0].Zones) {
			return false
		}
	}
	return len(steps) > 1
}

func tooMany(n int) error {
	return &askError{what: fmt.Sprintf("the sweep has %d values", n), allowed: fmt.Sprintf("at most %d", mostSteps), hint: "make the step wider"}
}

// split parts a number from the unit behind it.
func split(text string) (float64, string, bool) {
	text = strings.TrimSpace(text)
	end := strings.IndexFunc(text, func(r rune) bool { return !strings.ContainsRune("+-.0123456789", r) })
	if end < 0 {
		end = len(text)
	}
	v, err := strconv.ParseFloat(text[:end], 64)
	return v, strings.TrimSpace(text[end:]), err == nil
}

// spaced writes 15cm as the plan does, 15 cm; what is no number stays as it is.
func spaced(text string) string {
	if _, unit, ok := split(text); ok && unit != "" {
		return strings.TrimSpace(strings.TrimSuffix(text, unit)) + " " + unit
	}
	return text
}

// Step is what one value of a sweep gives.
type Step struct {
	Value string
	Zones []Zone
}

// Run works out the spread of light in every zone for each value. now is the field of the
// plan as it is, whose readings go on to hold; load gives the plan with the value in place, ask the light wanted of that plan. progress, if
// set, hears which value comes next. The error names the value at fault.
func (s Sweep) Run(ctx context.Context, now light.Field, load func(value string) (*plan.Plan, error), ask func(*plan.Plan) (Ask, error), progress func(done, total int)) ([]Step, error) {
	var out []Step
	for i, v := range s.Values {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if progress != nil {
			progress(i, len(s.Values))
		}
		zones, err := one(now, v, load, ask)
		if err != nil {
			return nil, fmt.Errorf("%s = %s: %w", s.Path, v, err)
		}
		out = append(out, Step{Value: v, Zones: zones})
	}
	if progress != nil {
		progress(len(s.Values), len(s.Values))
	}
	return out, nil
}

func one(now light.Field, value string, load func(string) (*plan.Plan, error), ask func(*plan.Plan) (Ask, error)) ([]Zone, error) {
	p, err := load(value)
	if err != nil {
		return nil, err
	}
	a, err := ask(p)
	if err != nil {
		return nil, err
	}
	f, problems := now.Carried(p)
	if problems.HasErrors() {
		return nil, problems[0]
	}
	c, err := AtCorals(p, f, a)
	return c.Zones, err
}
