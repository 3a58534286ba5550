package follow

import (
	"errors"
	"sort"
	"time"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/port"
)

// Change is the command that a port is to show from an instant on.
type Change struct {
	At                        time.Time // whole seconds, in the offset of the controller's clock
	Controller, Port, Channel string
	Command                   float64 // in the port's unit; a switch has 0 and 1
	Shown                     string  // as a display shows it: "4.7", "on"
	Unit                      string  // V, %, count, switch
	Switch                    bool
	Light                     []float64 // light fraction that each of its lamps gives then, 0..1
}

// Follower knows what every port of a timetable shows at any instant. It keeps
// the staircases that it used last, so it belongs to one goroutine.
type Follower struct {
	file   timetable.File
	clock  clock.Clock
	stairs map[int]stairs // by table
}

// New is a follower of a timetable on a controller's clock. The timetable must
// know its ports' ranges and responses, as one read from JSON does.
func New(f timetable.File, c clock.Clock) (*Follower, error) {
	if len(f.Tables) == 0 || f.NeedsPlan() {
		return nil, errors.New("the timetable does not say how the ports answer; follow timetable.json, which does")
	}
	for _, t := range f.Tables {
		if _, err := t.Light(); err != nil {
			return nil, err
		}
	}
	return &Follower{f, c, map[int]stairs{}}, nil
}

// Begins is the first instant that the timetable covers.
func (f *Follower) Begins() time.Time { return f.shown(f.clock.Start(f.file.Tables[0].From)) }

// Ends is the first instant after those that it covers; zero while it is open.
func (f *Follower) Ends() time.Time {
	_, last := f.file.Covers()
	if last.IsZero() {
		return time.Time{}
	}
	return f.shown(f.clock.Start(last.AddDays(1)))
}

// shown is an instant in the offset that the controller's clock has then.
func (f *Follower) shown(t time.Time) time.Time {
	return t.In(time.FixedZone("", int(ahead(f.clock, t)/time.Second)))
}

// At is what every port shows at an instant, in the order of the timetable;
// nothing when no table covers it.
func (f *Follower) At(t time.Time) []Change {
	t = t.Truncate(time.Second)
	m := f.clock.Controller(t)
	i, ok := f.file.Index(m.Date)
	if !ok {
		return nil
	}
	told := f.shown(t)
	stairs := f.load(i)
	out := make([]Change, len(stairs.ports))
	for k, p := range stairs.ports {
		command, light := stairs.at(k, m.Second)
		out[k] = Change{told, p.Controller, p.Name, p.Channels(), command, p.Text(p.Round(command)), p.Unit(),
			p.Signal == port.Switch, light}
	}
	return out
}

// ahead is how far a controller's clock is ahead of UTC.
func ahead(c clock.Clock, t time.Time) time.Duration {
	m := c.Controller(t)
	return m.Date.UTC().Add(time.Duration(m.Second * float64(time.Second))).Sub(t).Round(time.Second)
}

// idle is how long an open timetable is searched for a change before it is said
// that there is none: its weeks are all the same.
const idle = 8 * 24 * time.Hour

// Next is the first instant after another at which a port changes, and the ports
// that do. It is zero when none changes any more, or the timetable ends first.
func (f *Follower) Next(after time.Time) (time.Time, []Change) {
	t := after.Truncate(time.Second)
	if begin := f.Begins(); t.Before(begin) {
		return begin, f.At(begin)
	}
	give := t.Add(idle)
	if last := f.clock.Start(f.file.Tables[len(f.file.Tables)-1].From).Add(idle); last.After(give) {
		give = last
	}
	before := f.At(t)
	for before != nil && t.Before(give) {
		t = f.candidate(t)
		now := f.At(t)
		if now == nil {
			break
		}
		if changed := differing(before, now); changed != nil {
			return t, changed
		}
	}
	return time.Time{}, nil
}

// candidate is the first instant after t at which something can change: a rung,
// midnight, or the clock itself.
func (f *Follower) candidate(t time.Time) time.Time {
	m := f.clock.Controller(t)
	i, _ := f.file.Index(m.Date)
	seconds := int(f.load(i).after(m.Second) - m.Second)
	now := ahead(f.clock, t)
	first := sort.Search(seconds-1, func(k int) bool {
		return ahead(f.clock, t.Add(time.Duration(k+1)*time.Second)) != now
	})
	return t.Add(time.Duration(first+1) * time.Second)
}

// differing lists the ports of now that show something else than before. Tables
// may list their ports in any order.
func differing(before, now []Change) []Change {
	type name struct{ controller, port string }
	old := make(map[name]float64, len(before))
	for _, c := range before {
		old[name{c.Controller, c.Port}] = c.Command
	}
	var out []Change
	for _, c := range now {
		if command, known := old[name{c.Controller, c.Port}]; !known || command != c.Command {
			out = append(out, c)
		}
	}
	return out
}

// kept is how many tables' staircases are kept at most: those of a week, and a few that follow.
const kept = 9

// load is the staircases of a table.
func (f *Follower) load(i int) stairs {
	if s, ok := f.stairs[i]; ok {
		return s
	}
	if len(f.stairs) >= kept {
		clear(f.stairs)
	}
	f.stairs[i], _ = stairsOf(f.file.Tables[i]) // New has seen that it can be played
	return f.stairs[i]
}
