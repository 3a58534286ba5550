package timetable

import (
	"fmt"

	"dayloom/photon/dimmer"
	"dayloom/schedule/port"
)

// portDraft is a port while its keys, which come in any order, are read.
type portDraft struct {
	Port
	at, specAt           int // byte of the port, of its response
	signal, unit         string
	hasRange, hasStep    bool
	spec                 *dimmer.Spec
	channel              string
	points               []int // byte of each
	wordsFrom, levelFrom int   // point with the first command that is a word, a number; -1: none
}

func (r *jsonReader) port() (Port, portPlace, error) {
	r.peek()
	d := portDraft{at: r.i, wordsFrom: -1, levelFrom: -1}
	err := r.object("a port", "controller port channel signal unit between_points points", "range step response outlet", func(key string) error {
		return r.portKey(&d, key)
	})
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
	case "channel":
		d.channel, err = r.text(key)
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
	case "response":
		r.peek()
		d.specAt = r.i
		d.spec, err = r.response()
	}
	return err
}

// finish checks what hangs on the signal, once all keys are read.
func (d *portDraft) finish() (err error) {
	var ok bool
	if d.Signal, ok = signalOf(func(name, unit string) bool { return name == d.signal && unit == d.unit }); !ok {
		return misplaced{d.at, fmt.Sprintf("signal %q with unit %q; allowed are volts with V, percent with %%, counts with count, switch with switch", d.signal, d.unit)}
	}
	if d.Signal == port.Switch {
		switch {
		case d.hasRange || d.hasStep || d.spec != nil || !d.Hold:
			return misplaced{d.at, "a switch has between_points hold, and no range, step or response"}
		case d.levelFrom >= 0:
			return misplaced{d.points[d.levelFrom], "the command of a switch must be \"on\" or \"off\""}
		}
		d.Kind = port.Switched()
		if d.channel != "" {
			d.Lamps = []port.Lamp{port.SwitchLamp(d.channel)}
		}
		return nil
	}
	switch {
	case !d.hasRange || !d.hasStep || d.spec == nil || !d.Known():
		return misplaced{d.at, "a port that is no switch needs a range (lowest, then highest command), a step and a response"}
	case d.wordsFrom >= 0:
		return misplaced{d.points[d.wordsFrom], "the command must be a number; only a switch has on and off"}
	}
	r, err := dimmer.FromSpec(*d.spec)
	if err != nil {
		return misplaced{d.specAt, err.Error()}
	}
	d.Lamps = []port.Lamp{{Channel: d.channel, Response: r}}
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
	var light float64
	r.peek()
	d.points = append(d.points, r.i)
	err := r.object("a point", "time command light_percent", "", func(key string) (err error) {
		r.peek()
		at := r.i
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
			light, err = r.number(key)
			d.claimed = append(d.claimed, []float64{light / 100})
		}
		return err
	})
	d.Points = append(d.Points, q)
	return err
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
