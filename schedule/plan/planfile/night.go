package planfile

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

func switched(v yamltree.Value, f yamltree.Fields) *plan.Switched {
	s := &plan.Switched{Pos: pos(v.Place())}
	on, off := f.Need("on"), f.Need("off")
	s.On, s.AutoOn = timeOrAuto(on)
	s.Off, s.AutoOff = timeOrAuto(off)
	window := f.Get("window")
	auto := s.AutoOn || s.AutoOff
	switch {
	case auto && !window.Given():
		on.KeyConflict("on or off is auto without a window", `give window: {from: "10:00", to: "16:00", at_least: 2 h}`, off.KeyPlace(), "off is here")
	case !auto && window.Given():
		window.KeyError("a window does nothing when on and off are times", "make on or off auto, or leave the window out", "")
	case !auto && s.On == s.Off:
		off.Conflict("off is at the same time as on", "light is on for a second at least and less than 24 h", on.Place(), "on is here")
	case !auto && s.Off < s.On && s.Off > 0:
		on.Warn(fmt.Sprintf("the light from %s to %s goes over midnight", quantity.FormatTime(s.On), quantity.FormatTime(s.Off)),
			"what is given after midnight counts to the day on which it falls", "")
	}
	s.Window = readWindow(window)
	if s.Window == nil {
		return s
	}
	length := wrap(s.Window.To - s.Window.From)
	for _, end := range []struct {
		v    yamltree.Value
		t    float64
		auto bool
	}{{on, s.On, s.AutoOn}, {off, s.Off, s.AutoOff}} {
		if !end.auto && wrap(end.t-s.Window.From) > length {
			end.v.Conflict(end.v.Name()+" lies outside the window", "it must be from window.from to window.to", window.KeyPlace(), "the window is here")
		}
	}
	return s
}

// timeOrAuto reads a time of day or the word auto.
func timeOrAuto(v yamltree.Value) (t float64, auto bool) {
	if v.IsText() {
		if text, _ := v.Text(""); text == "auto" {
			return 0, true
		}
	}
	return clockTime(v), false
}

func readWindow(v yamltree.Value) *plan.Window {
	f, ok := v.Fields()
	if !ok {
		return nil
	}
	w := &plan.Window{
		From:    clockTime(f.Need("from")),
		To:      clockTime(f.Need("to")),
		AtLeast: number(f.Get("at_least")),
	}
	length := wrap(w.To - w.From)
	if w.From == w.To {
		f.Get("to").Error("the window has no length", "its end must differ from its beginning", "")
	} else if w.AtLeast > length {
		f.Get("at_least").Error("at_least is longer than the window", fmt.Sprintf("the window has %.4g h", length/3600), "")
	}
	return w
}

func moonlight(v yamltree.Value) *plan.Moonlight {
	f, ok := v.Fields()
	if !ok {
		return nil
	}
	m := &plan.Moonlight{
		From:  clockTime(f.Need("from")),
		To:    clockTime(f.Need("to")),
		Peak:  number(f.Need("peak")),
		Phase: plan.Phase(word(f.Get("phase"), "constant", "follow", "true-sky")),
		Pos:   pos(v.KeyPlace()),
	}
	if m.From == m.To {
		f.Get("to").Error("the moonlight takes no time", "its end must differ from its beginning", "")
	}
	if m.Phase == plan.TrueSky {
		m.LatitudeDeg = number(f.Need("latitude"))
		m.LongitudeDeg = number(f.Need("longitude"))
		return m
	}
	for _, key := range []string{"latitude", "longitude"} {
		if f.Has(key) {
			f.Get(key).KeyError(key+" does nothing here", "it goes with phase: true-sky", "")
		}
	}
	return m
}

// lit is when an entry of a day may give light: from, for a length, in seconds.
func lit(p plan.DayPart) (from, length float64) {
	switch {
	case p.Daylight != nil:
		return p.Daylight.Sunrise.From, wrap(p.Daylight.Sunset.To - p.Daylight.Sunrise.From)
	case p.Moonlight != nil:
		return p.Moonlight.From, wrap(p.Moonlight.To - p.Moonlight.From)
	case p.Switched.Window != nil:
		return p.Switched.Window.From, wrap(p.Switched.Window.To - p.Switched.Window.From)
	}
	return p.Switched.On, wrap(p.Switched.Off - p.Switched.On)
}

// overlaps reports a channel that two entries of a day light at one time.
func (r *reader) overlaps(items []yamltree.Value, parts []plan.DayPart) {
	for b := range parts {
		for a := range parts[:b] {
			fa, la := lit(parts[a])
			fb, lb := lit(parts[b])
			if !(wrap(fb-fa) < la || wrap(fa-fb) < lb) || math.IsNaN(fa+la+fb+lb) {
				continue
			}
			for _, c := range shared(parts[a].Channels, parts[b].Channels) {
				v, other := itemAt(items, parts[b].Pos), itemAt(items, parts[a].Pos)
				v.Conflict(fmt.Sprintf("the channel %q is lit here from %s to %s, while another entry lights it from %s to %s", r.channels.list[c],
					quantity.FormatTime(fb), quantity.FormatTime(fb+lb), quantity.FormatTime(fa), quantity.FormatTime(fa+la)),
					"the entries of one channel must not overlap", other.Place(), "the other entry is here")
			}
		}
	}
}

func itemAt(items []yamltree.Value, at plan.Pos) yamltree.Value {
	for _, v := range items {
		if (diag.Place{File: v.Place().File, Line: at.Line, Col: at.Col}) == v.Place() {
			return v
		}
	}
	return items[0]
}

func shared(a, b []int) (both []int) {
	for _, x := range a {
		for _, y := range b {
			if x == y {
				both = append(both, x)
			}
		}
	}
	return both
}

// together reports day entries that have one channel of a port without the others on it:
// they share its command.
func (r *reader) together(parts []plan.DayPart) {
	for _, p := range r.plan.Ports() {
		for _, part := range parts {
			both := shared(p.Channels, part.Channels)
			if len(both) == 0 || len(both) == len(p.Channels) {
				continue
			}
			at := diag.Place{File: r.plan.File, Line: part.Pos.Line, Col: part.Pos.Col}
			r.problems = append(r.problems, diag.Problem{Place: at, Path: "day",
				What:    fmt.Sprintf("%s shares a port with %s, which are not in this entry", r.words(both), r.words(without(p.Channels, both))),
				Allowed: "channels of one port have one command: put them all into one entry, under one level",
				Other:   &diag.Other{Place: diag.Place{File: r.plan.File, Line: p.Pos.Line, Col: p.Pos.Col}, Note: "the port is here"}})
		}
	}
}

func (r *reader) words(channels []int) string {
	names := make([]string, len(channels))
	for i, c := range channels {
		names[i] = r.channels.list[c]
	}
	return strings.Join(names, ", ")
}

func without(all, some []int) []int {
	return slices.DeleteFunc(slices.Clone(all), func(c int) bool { return slices.Contains(some, c) })
}
