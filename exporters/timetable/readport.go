package timetable

import (
	"fmt"
	"slices"

	"dayloom/photon/dimmer"
	"dayloom/schedule/shape/port"
)

// portDraft is a port while its keys, which come in any order, are read.
type portDraft struct {
	Port
	at                   int // byte of the port
	signal, unit         string
	hasRange, hasStep    bool
	lamps                []lampDraft
	stated               []map[string]float64 // light of each channel at each point; "" of format 1
	points               []int                // byte of each
	wordsFrom, levelFrom int                  // point with the first command that is a word, a number; -1: none
}

// lampDraft is a lamp while its keys are read.
type lampDraft struct {
	port.Lamp
	at   int          // byte of its response
	spec *dimmer.Spec // nil: none given
	off  *float64
}

const (
	needs1 = "controller port channel signal unit between_points points"
	takes1 = "range step response outlet"
	needs2 = "controller port lamps signal unit between_points points"
	takes2 = "range step outlet greatest_departure_percent"
)

func (r *jsonReader) port() (Port, portPlace, error) {
	d := portDraft{at: r.at(), wordsFrom: -1, levelFrom: -1}
	needs, takes := needs2, takes2
	if r.format == 1 {
		needs, takes, d.lamps = needs1, takes1, make([]lampDraft, 1)
	}
	err := r.object("a port", needs, takes, func(key string) error { return r.portKey(&d, key) })
	if err == nil {
		err = d.finish()
	}
	return d.Port, portPlace{d.at, d.points}, err
}

func (r *jsonReader) portKey(d *portDraft, key string) (err error) {
	switch key {
	case "controller":
		d.Controller, err = r.text(key)
	case "port":
		d.Name, err = r.text(key)
	case "channel", "response": // of format 1
		err = r.lampKey(&d.lamps[0], key)
	case "lamps":
		err = r.array(key, func() error {
			var l lampDraft
			err := r.object("a lamp", "channel", "response off_below on_from never_off", func(key string) error { return r.lampKey(&l, key) })
			d.lamps = append(d.lamps, l)
			return err
		})
	case "signal":
		d.signal, err = r.text(key)
	case "unit":
		d.unit, err = r.text(key)
	case "between_points":
		d.Hold, err = r.word(key, "hold", "ramp")
	case "outlet":
		d.Outlet, err = r.portName()
	case "points":
		err = r.array(key, func() error { return r.point(d) })
	case "range":
		d.hasRange, err = true, r.numbers(key, d.Range[:])
	case "step":
		d.hasStep = true
		d.Step, err = r.number(key)
	case "greatest_departure_percent":
		var x float64
		x, err = r.number(key)
		x /= 100
		d.Claim = &x
	}
	return err
}

func (r *jsonReader) lampKey(l *lampDraft, key string) (err error) {
	switch key {
	case "channel":
		l.Channel, err = r.text(key)
	case "response":
		l.at = r.at()
		l.spec, err = r.response()
	case "off_below":
		var x float64
		x, err = r.number(key)
		l.off = &x
	case "on_from":
		l.OnFrom, err = r.number(key)
	case "never_off":
		l.NeverOff, err = r.truth(key)
	}
	return err
}

// finish checks what hangs on the signal, once all keys are read.
func (d *portDraft) finish() error {
	var ok bool
	if d.Signal, ok = signalOf(func(name, unit string) bool { return name == d.signal && unit == d.unit }); !ok {
		return misplaced{d.at, fmt.Sprintf("signal %q with unit %q; allowed are volts with V, percent with %%, counts with count, switch with switch", d.signal, d.unit)}
	}
	answers := slices.IndexFunc(d.lamps, func(l lampDraft) bool { return l.spec != nil }) >= 0
	lacks := slices.IndexFunc(d.lamps, func(l lampDraft) bool { return l.spec == nil }) >= 0
	switch isSwitch := d.Signal == port.Switch; {
	case isSwitch && (d.hasRange || d.hasStep || answers || !d.Hold):
		return misplaced{d.at, "a switch has between_points hold, and no range, step or response"}
	case isSwitch && d.levelFrom >= 0:
		return misplaced{d.points[d.levelFrom], "the command of a switch must be \"on\" or \"off\""}
	case !isSwitch && (!d.hasRange || !d.hasStep || lacks || !d.Known()):
		return misplaced{d.at, "a port that is not a switch needs a range (lowest, then highest command), a step and a response"}
	case !isSwitch && d.wordsFrom >= 0:
		return misplaced{d.points[d.wordsFrom], "the command must be a number; only a switch has on and off"}
	case isSwitch:
		d.Kind = port.Switched()
	}
	if err := d.finishLamps(); err != nil {
		return err
	}
	return d.state()
}

func (d *portDraft) finishLamps() error {
	for _, l := range d.lamps {
		switch {
		case d.Signal != port.Switch:
			if l.off != nil {
				l.spec.OffBelow = l.off
			}
			r, err := dimmer.FromSpec(*l.spec)
			if err != nil {
				return misplaced{l.at, err.Error()}
			}
			l.Response = r
		case l.Channel == "":
			continue // an outlet that only feeds others, in format 1
		default:
			l.Lamp = port.SwitchLamp(l.Channel)
		}
		if d.Drives(l.Channel) >= 0 {
			return misplaced{d.at, fmt.Sprintf("the channel %q is given twice on the port", l.Channel)}
		}
		d.Lamps = append(d.Lamps, l.Lamp)
	}
	return nil
}

// state takes the light of each lamp from what the points say.
func (d *portDraft) state() error {
	d.claimed = make([][]float64, len(d.stated))
	for i, stated := range d.stated {
		_, bare := stated[""] // one number: format 1, or an outlet that only feeds others
		for _, l := range d.answering() {
			y, ok := stated[l.Channel]
			switch {
			case bare:
				y, ok = stated[""], true
			case len(d.Lamps) == 0:
				y, ok = d.Points[i].Command, true
			}
			if !ok || !bare && len(stated) != len(d.Lamps) {
				return misplaced{d.points[i], fmt.Sprintf("light_percent must have one number for each channel of the port: %s", d.Channels())}
			}
			d.claimed[i] = append(d.claimed[i], y)
		}
	}
	return nil
}

func (r *jsonReader) portName() (n port.Ref, err error) {
	err = r.object("outlet", "controller port", "", func(key string) (err error) {
		if key == "port" {
			n.Port, err = r.text(key)
		} else {
			n.Controller, err = r.text(key)
		}
		return err
	})
	return n, err
}

func (r *jsonReader) response() (*dimmer.Spec, error) {
	var s dimmer.Spec
	err := r.object("response", "kind range", "points off_below", func(key string) (err error) {
		switch key {
		case "kind":
			s.Kind, err = r.text(key)
		case "range":
			err = r.numbers(key, s.Range[:])
		case "points":
			err = r.array(key, func() error {
				var p [2]float64
				err := r.numbers("a point of the response", p[:])
				s.Points = append(s.Points, p)
				return err
			})
		case "off_below":
			var x float64
			x, err = r.number(key)
			s.OffBelow = &x
		}
		return err
	})
	return &s, err
}

// point reads one point; its command is a number, or the on and off of a switch.
func (r *jsonReader) point(d *portDraft) error {
	var q port.Point
	light := map[string]float64{}
	d.points = append(d.points, r.at())
	err := r.object("a point", "time command light_percent", "", func(key string) (err error) {
		at := r.at()
		switch {
		case key == "time":
			q.Time, err = r.parsed(at, ParseTimeOfDay)
		case key == "command" && r.peek() == '"':
			if d.wordsFrom < 0 {
				d.wordsFrom = len(d.points) - 1
			}
			q.Command, err = r.parsed(at, parseSwitch)
		case key == "command":
			if d.levelFrom < 0 {
				d.levelFrom = len(d.points) - 1
			}
			q.Command, err = r.number(key)
		default:
			light, err = r.light(key)
		}
		return err
	})
	d.Points, d.stated = append(d.Points, q), append(d.stated, light)
	return err
}

// light is a number, or in format 2 an object of one for each channel.
func (r *jsonReader) light(key string) (out map[string]float64, err error) {
	out = map[string]float64{}
	if r.format == 1 {
		out[""], err = r.number(key)
		out[""] /= 100
		return out, err
	}
	err = r.open('{', key, "an object, {channel: percent}")
	for err == nil && r.next() {
		at := r.at()
		name, _ := r.text("a channel")
		if _, twice := out[name]; twice || name == "" {
			return out, misplaced{at, fmt.Sprintf("light_percent has the channel %q twice, or without a name", name)}
		}
		out[name], err = r.number(key)
		out[name] /= 100
	}
	return out, err
}

// parsed is the text at a byte, made a number.
func (r *jsonReader) parsed(at int, parse func(string) (float64, error)) (float64, error) {
	s, err := r.text("the value")
	if err != nil {
		return 0, err
	}
	x, err := parse(s)
	if err != nil {
		return 0, misplaced{at, err.Error()}
	}
	return x, nil
}
