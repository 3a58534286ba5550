package crontab

import (
	"bufio"
	"bytes"
	"cmp"
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/shape/port"
)

var (
	headForm = regexp.MustCompile(`^# Switched outlets of .*, from (\d{4}-\d\d-\d\d) (on|to (\d{4}-\d\d-\d\d)), in (\d+) lines\.$`)
	lineForm = regexp.MustCompile(`^([0-5]?\d) (1?\d|2[0-3]) (\S+) (\S+) (\S+) outlet (\S+) (on|off)$`)
)

// entry is a line of the file.
type entry struct {
	event
	days daypattern.Pattern
	word string // controller/port
	line int
}

// reader keeps what a file says.
type reader struct {
	name     string
	from, to plan.Date // to zero: open
	entries  []entry
	anyDay   bool // every line runs every day
	dated    bool // a line is for some dates
}

// Timetable reads outlets back: the switched ports alone, with the channels of a plan.
// Errors begin with the name and the line.
func Timetable(name string, data []byte, p *plan.Plan) (timetable.File, error) {
	r := reader{name: name, anyDay: true}
	if err := r.read(data); err != nil {
		return timetable.File{}, err
	}
	ports, err := r.ports(p)
	if err != nil {
		return timetable.File{}, err
	}
	f := timetable.File{Plan: p.Name, Clock: timetable.ClockOf(p.Clock)}
	last := r.to
	if r.anyDay {
		last = r.from
	}
	shown := make([]float64, len(ports)) // at the end of the day before
	for i := range ports {
		shown[i] = -1 // not known: as at the end of the same day
	}
	for d := r.from; !last.Before(d); d = d.AddDays(1) {
		t := timetable.Table{From: d, To: d}
		for i, q := range ports {
			q.Points = r.points(q, d, shown[i])
			if len(q.Points) == 0 {
				return f, fmt.Errorf("%s: no line switches outlet %s/%s on %v or before; compile the plan again", name, q.Controller, q.Name, d)
			}
			shown[i] = q.Points[len(q.Points)-1].Command
			t.Ports = append(t.Ports, q)
		}
		if n := len(f.Tables); n > 0 && slices.EqualFunc(f.Tables[n-1].Ports, t.Ports, samePoints) {
			f.Tables[n-1].To = d
		} else {
			f.Tables = append(f.Tables, t)
		}
	}
	if r.anyDay {
		f.Tables[0].To = r.to
	}
	return f, nil
}

func samePoints(a, b timetable.Port) bool { return slices.Equal(a.Points, b.Points) }

func (r *reader) read(data []byte) error {
	count, headed := 0, false
	lines := bufio.NewScanner(bytes.NewReader(data))
	n := 0
	for lines.Scan() {
		n++
		text := lines.Text()
		switch {
		case n == 1:
			m := headForm.FindStringSubmatch(text)
			if m == nil {
				return fmt.Errorf("%s:1: the first line must say whose outlets these are, from when, and in how many lines; this is not an outlets.cron: compile the plan again", r.name)
			}
			var err error
			if r.from, err = plan.ParseDate(m[1]); err != nil {
				return fmt.Errorf("%s:1: %w", r.name, err)
			}
			if m[3] != "" {
				if r.to, err = plan.ParseDate(m[3]); err != nil {
					return fmt.Errorf("%s:1: %w", r.name, err)
				}
			}
			count, _ = strconv.Atoi(m[4]) // too great a number is not the count either
			headed = true
		case text == "" || strings.HasPrefix(text, "#"):
		default:
			if err := r.entry(text, n); err != nil {
				return fmt.Errorf("%s:%d: %w", r.name, n, err)
			}
		}
	}
	switch {
	case lines.Err() != nil:
		return fmt.Errorf("%s:%d: a line is too long; this is not an outlets.cron", r.name, n+1)
	case !headed:
		return fmt.Errorf("%s:1: the file is empty; compile the plan again", r.name)
	case len(data) > 0 && data[len(data)-1] != '\n':
		return fmt.Errorf("%s:%d: the last line has no line end: the file was cut short; compile the plan again", r.name, n)
	case len(r.entries) != count:
		return fmt.Errorf("%s:1: there should be %d lines that switch outlets, but %d are there; lines were lost or added: compile the plan again", r.name, count, len(r.entries))
	case !r.to.IsZero() && r.to.Before(r.from):
		return fmt.Errorf("%s:1: the last date %v comes before the first, %v", r.name, r.to, r.from)
	case r.to.IsZero() && !r.anyDay:
		return fmt.Errorf("%s:1: lines for some days only need a last date, since a crontab has no year; compile the plan again", r.name)
	case r.dated && r.from.DaysUntil(r.to) > 365:
		return fmt.Errorf("%s:1: the lines are for %v to %v, but a crontab has no year and can hold one only; compile the plan again", r.name, r.from, r.to)
	}
	return nil
}

func (r *reader) entry(text string, line int) error {
	m := lineForm.FindStringSubmatch(text)
	if m == nil {
		return fmt.Errorf("%q is not a line such as: 30 15 * * * outlet outlets/1 off", text)
	}
	days, err := daypattern.Parse("0 0 " + m[3] + " " + m[4] + " " + m[5])
	if err != nil {
		return err
	}
	if m[3] != "*" && m[5] != "*" {
		return fmt.Errorf("%q has days of the month and of the week, and cron takes either for enough; give one of them", text)
	}
	minute, _ := strconv.Atoi(m[1])
	hour, _ := strconv.Atoi(m[2])
	r.entries = append(r.entries, entry{event{60*hour + minute, m[7] == "on"}, days, m[6], line})
	r.anyDay = r.anyDay && m[3] == "*" && m[4] == "*" && m[5] == "*"
	r.dated = r.dated || m[3] != "*" || m[4] != "*"
	return nil
}

// ports are the outlets that the file switches, in the order of the plan.
func (r *reader) ports(p *plan.Plan) ([]timetable.Port, error) {
	known := map[string]bool{}
	var out []timetable.Port
	for _, q := range p.Ports() {
		id := q.Controller + "/" + q.Name
		if q.Signal == port.Switch && slices.ContainsFunc(r.entries, func(e entry) bool { return e.word == id }) {
			known[id] = true
			out = append(out, timetable.Port{Port: q.Port})
		}
	}
	for _, e := range r.entries {
		if !known[e.word] {
			return nil, fmt.Errorf("%s:%d: the plan has no switched outlet %s; compile the plan again", r.name, e.line, e.word)
		}
	}
	if out == nil {
		return nil, fmt.Errorf("%s:1: no line switches an outlet; compile the plan again", r.name)
	}
	return out, nil
}

// points are what cron does to an outlet on a date. Of two lines for one minute the
// later one in the file counts. Before the first the outlet is as the day before left it.
func (r *reader) points(q timetable.Port, d plan.Date, before float64) []port.Point {
	var out []port.Point
	id := q.Controller + "/" + q.Name
	for _, e := range r.entries {
		if e.word != id || !e.days.Matches(d.UTC()) {
			continue
		}
		p := port.Point{Time: float64(60 * e.minute)}
		if e.on {
			p.Command = 1
		}
		out = slices.DeleteFunc(out, func(o port.Point) bool { return o.Time == p.Time })
		out = append(out, p)
	}
	slices.SortStableFunc(out, func(a, b port.Point) int { return cmp.Compare(a.Time, b.Time) })
	if before >= 0 && (len(out) == 0 || out[0].Time > 0 && out[len(out)-1].Command != before) {
		out = slices.Insert(out, 0, port.Point{Command: before})
	}
	return out
}
