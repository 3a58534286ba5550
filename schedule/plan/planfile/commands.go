package planfile

import (
	"errors"
	"fmt"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/quantity"
)

// light turns the commands of the readings into light fractions.
func (r *reader) light() {
	for _, w := range r.rows {
		reading, ok := w.Reading, true
		for _, l := range w.lit {
			fraction, err := r.fraction(l)
			if err != nil {
				r.files.add(l.at.File, l.at.Line, l.at.Col, err.What, err.Allowed, err.Hint)
				ok = false
				continue
			}
			reading.Lit = append(reading.Lit, plan.Lit{Channel: l.channel, Fraction: fraction, Command: l.command})
		}
		if ok {
			r.plan.Readings.Rows = append(r.plan.Readings.Rows, reading)
		}
	}
}

// fraction is what a channel gave at the command of a reading.
func (r *reader) fraction(l litText) (float64, *quantity.Error) {
	c := r.plan.Channels[l.channel]
	if !c.Dimmable {
		if l.command != "" && l.command != "on" {
			return 0, &quantity.Error{What: fmt.Sprintf("the channel %q cannot be dimmed and has no command %q", c.Name, l.command), Allowed: "write " + c.Name + " or " + c.Name + "@on"}
		}
		return 1, nil
	}
	controller, lamp, ok := r.portOf(l.channel)
	if !ok && (l.command == "" || l.command == "100%") {
		return 1, nil
	}
	if !ok {
		return 0, &quantity.Error{What: fmt.Sprintf("the channel %q has no port, so what %q gives is not known", c.Name, l.command), Allowed: "give the channel a port, or read it at full"}
	}
	cmd, err := command(controller, l.command)
	var e *quantity.Error
	if errors.As(err, &e) {
		return 0, e
	}
	f := lamp.Light(cmd)
	if _, hi := lamp.Response.Range(); f == 0 && hi > 0 { // a response that is 0 everywhere was reported
		return 0, &quantity.Error{What: fmt.Sprintf("the channel %q is dark at %q", c.Name, l.command), Allowed: "name only the channels that were lit"}
	}
	return f, nil
}

// portOf is the first dimming port of a channel, and how the channel answers it.
func (r *reader) portOf(channel int) (plan.Controller, port.Lamp, bool) {
	for _, c := range r.plan.Controllers {
		for _, p := range c.Ports {
			if i := slices.Index(p.Channels, channel); i >= 0 && c.Signal != port.Switch {
				return c, p.Lamps[i], true
			}
		}
	}
	return plan.Controller{}, port.Lamp{}, false
}
