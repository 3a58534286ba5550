package planfile

import (
	"fmt"
	"math"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// signals are the words of the plan in the order of port.Signal, with the grammar of
// a command, the greatest command, and the step and range when none is given.
var signals = [...]struct {
	word  string
	kind  quantity.Kind
	most  float64
	step  float64
	whole [2]float64
}{
	port.Volts:   {"volts", quantity.Volts, 100, 0.1, [2]float64{0, 10}},
	port.Percent: {"percent", quantity.Percent, 100, 1, [2]float64{0, 100}},
	port.Counts:  {"counts", quantity.Counts, 1 << 24, 1, [2]float64{0, 0}},
	port.Switch:  {"switch", quantity.Counts, 1, 1, [2]float64{0, 1}},
}

func (r *reader) readControllers(v yamltree.Value) {
	for _, c := range v.Entries("write controllers such as rack: {signal: volts, ports: {1: {channel: bar-blue}}}") {
		r.controllers.define(c, "a controller")
		controller, ports := r.controller(c)
		r.plan.Controllers = append(r.plan.Controllers, controller)
		r.portValues = append(r.portValues, ports)
	}
	for i := range r.plan.Controllers {
		r.readPorts(i)
	}
	for i := range r.plan.Controllers {
		r.outlets(i)
	}
	for i := range r.plan.Controllers {
		r.switchedPorts(i)
	}
}

// tablesPerYear reads how many tables a person keys in; all controllers that are keyed in have one number.
func (r *reader) tablesPerYear(v yamltree.Value) int {
	if !v.Given() {
		return 0
	}
	n := whole(number(v))
	for _, c := range r.plan.Controllers {
		if c.TablesPerYear > 0 && c.TablesPerYear != n {
			v.Error(fmt.Sprintf("controller %s has %d tables a year", c.Name, c.TablesPerYear), "give all controllers that are keyed in the same number: their tables change together", "")
		}
	}
	return n
}

// controller reads all but the ports, which it gives as they stand.
func (r *reader) controller(v yamltree.Value) (c plan.Controller, ports []yamltree.Value) {
	c = plan.Controller{Name: v.Name(), Pos: pos(v.KeyPlace())}
	f, ok := v.Fields()
	if !ok {
		return c, nil
	}
	c.Signal = port.Signal(word(f.Need("signal"), signals[0].word, signals[1].word, signals[2].word, signals[3].word))
	if c.Signal == port.Switch {
		c.Range, c.Step, c.Hold = signals[port.Switch].whole, 1, true
		for _, key := range []string{"range", "bits", "step", "between_points"} {
			if f.Has(key) {
				f.Get(key).KeyConflict("a switch has no "+key, "leave it out: a switch is on or off", f.Get("signal").KeyPlace(), "the signal is here")
			}
		}
	} else {
		c.Hold = word(f.Get("between_points"), "ramp", "hold") == 1
		c.Range, c.Step = commandRange(f, c.Signal)
	}
	if points := f.Get("points_per_day"); points.Given() {
		c.PointsPerDay = whole(number(points))
	}
	c.TablesPerYear = r.tablesPerYear(f.Get("tables_per_year"))
	c.TimeStep = number(f.Get("time_step"))
	if c.TimeStep > 0 && (c.TimeStep != math.Trunc(c.TimeStep) || math.Mod(86400, c.TimeStep) != 0) {
		f.Get("time_step").Error("time_step does not divide the day", "24 h must be a whole number of steps of whole seconds, such as 1 min, 5 min or 10 s", "")
	}
	ports = f.Need("ports").Entries("write ports such as 1: {channel: bar-blue}")
	if f.Get("ports").IsMap() && len(ports) == 0 {
		f.Get("ports").Error("ports is empty", "a controller has at least one port", "")
	}
	return c, ports
}

// commandRange reads range, or bits for counts, and step.
func commandRange(f yamltree.Fields, signal port.Signal) (commands [2]float64, step float64) {
	s := signals[signal]
	limit := limits{0, s.most, false, fmt.Sprintf("from %s to %s", s.kind.Format(0), s.kind.Format(s.most))}
	given, bits := f.Get("range"), f.Get("bits")
	commands = s.whole
	switch {
	case given.Given() && bits.Given():
		bits.Conflict("a controller has a range or bits", "leave one out", given.KeyPlace(), "the range is here")
	case bits.Given() && signal != port.Counts:
		bits.KeyConflict("bits goes with signal: counts", "leave it out", f.Get("signal").KeyPlace(), "the signal is here")
	case bits.Given():
		commands[1] = math.Exp2([]float64{8, 10, 12, 16}[word(bits, "8", "10", "12", "16")]) - 1
	case given.Given():
		commands = span(given, s.kind, limit)
	case signal == port.Counts:
		f.Need("bits", "8, or range: [0, 255]")
		return [2]float64{math.NaN(), math.NaN()}, s.step
	}
	step = numOr(f.Get("step"), s.kind, limits{0, s.most, true, "more than 0 and at most the range"}, s.step)
	steps := (commands[1] - commands[0]) / step
	if math.Abs(steps-math.Round(steps)) > 1e-6*math.Max(steps, 1) || math.Round(steps) < 1 {
		at := f.Get("step")
		if !at.Given() {
			at = given
		}
		at.Error(fmt.Sprintf("the range from %s to %s is not a whole number of steps of %s", s.kind.Format(commands[0]), s.kind.Format(commands[1]), s.kind.Format(step)),
			"the highest command must be on a step", "")
	}
	return commands, step
}

func whole(x float64) int {
	if math.IsNaN(x) {
		return 0
	}
	return int(x)
}

// command reads a command as readings give it: the port's unit, or % of its range;
// empty is the highest command.
func command(c plan.Controller, text string) (float64, error) {
	lo, hi := c.Range[0], c.Range[1]
	if text == "" {
		return hi, nil
	}
	kind := signals[c.Signal].kind
	if strings.HasSuffix(text, "%") && c.Signal != port.Percent {
		share, err := quantity.Share.Parse(text)
		if err == nil && (share < 0 || share > 1) {
			err = &quantity.Error{What: fmt.Sprintf("the command %q is out of range", text), Allowed: "it must be from 0% to 100%"}
		}
		return lo + share*(hi-lo), err
	}
	x, err := kind.Parse(text)
	if err == nil && (x < lo || x > hi) {
		err = &quantity.Error{What: fmt.Sprintf("the command %q is out of range", text),
			Allowed: fmt.Sprintf("the port takes %s to %s", kind.Format(lo), kind.Format(hi))}
	}
	return x, err
}
