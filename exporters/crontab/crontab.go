package crontab

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"unicode"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Has reports whether the timetable has a switched outlet at all.
func Has(f timetable.File) bool {
	return slices.ContainsFunc(f.Tables, func(t timetable.Table) bool { return len(switches(t)) > 0 })
}

// Write writes the outlets of a timetable and says what it had to change.
func Write(w io.Writer, f timetable.File) (warnings []string, err error) {
	if !Has(f) {
		return nil, fmt.Errorf("no port of the timetable is a switch; there is nothing for a crontab")
	}
	spans, warnings := join(f)
	if len(spans) > 1 {
		last := &spans[len(spans)-1]
		year := plan.DateOf(spans[0].from.UTC().AddDate(1, 0, -1))
		if last.to.IsZero() {
			last.to = year
			warnings = append(warnings, fmt.Sprintf("a crontab has no year: this one is good to %v; compile the plan again before", year))
		}
		if last.to.Before(last.from) || year.Before(last.to) {
			return nil, fmt.Errorf("the timetable runs from %v to %v, but a crontab has no year and can hold one only; compile it to %v at most", spans[0].from, last.to, year)
		}
	}
	var out bytes.Buffer
	body(&out, spans)
	header(w, f, spans, count(out.String()))
	_, err = out.WriteTo(w)
	return warnings, err
}

// count is the number of lines that cron runs.
func count(text string) int {
	n := 0
	for l := range strings.Lines(text) {
		if l != "\n" && l[0] != '#' {
			n++
		}
	}
	return n
}

func body(out io.Writer, spans []span) {
	for i, s := range spans {
		days := []string{"* *"}
		if len(spans) > 1 {
			days = dayFields(s.from, s.to)
			fmt.Fprintf(out, "\n# %v to %v\n", s.from, s.to)
		}
		for j, o := range s.outlets {
			fmt.Fprintf(out, "# port %s of %s: %s\n", o.name.Port, o.name.Controller, orNone(o.channel))
			if i > 0 && len(o.events) > 0 && o.events[0].minute != 0 && spans[i-1].outlets[j].overnight() != o.overnight() {
				line(out, event{0, o.overnight()}, fmt.Sprintf("%d %d", s.from.Day, int(s.from.Month)), o.name)
			}
			for _, e := range o.events {
				for _, d := range days {
					line(out, e, d, o.name)
				}
			}
		}
	}
}

// event is a change at a minute of the day.
type event struct {
	minute int
	on     bool
}

type outlet struct {
	name    port.Ref
	channel string
	events  []event
}

// overnight is the state from the last event of a day to the first of the next.
func (o outlet) overnight() bool { return o.events[len(o.events)-1].on }

type span struct {
	from, to plan.Date
	outlets  []outlet
}

func switches(t timetable.Table) []timetable.Port {
	var out []timetable.Port
	for _, p := range t.Ports {
		if p.Signal == port.Switch && len(p.Points) > 0 {
			out = append(out, p)
		}
	}
	return out
}

// join makes one span of neighbouring tables whose outlets do the same.
func join(f timetable.File) (spans []span, warnings []string) {
	for _, t := range f.Tables {
		s := span{from: t.From, to: t.To}
		for _, p := range switches(t) {
			events, rounded := minutes(p.Points)
			if rounded {
				warnings = append(warnings, fmt.Sprintf("port %s of %s from %v on: cron knows no seconds; its times are rounded to the minute", p.Name, p.Controller, t.From))
			}
			s.outlets = append(s.outlets, outlet{port.Ref{Controller: p.Controller, Port: p.Name}, p.Channels(), events})
		}
		if n := len(spans); n > 0 && slices.EqualFunc(spans[n-1].outlets, s.outlets, same) {
			spans[n-1].to = s.to
			continue
		}
		spans = append(spans, s)
	}
	return spans, warnings
}

func same(a, b outlet) bool { return a.name == b.name && slices.Equal(a.events, b.events) }

// minutes rounds points to the minute; of two in one minute the later counts.
func minutes(points []port.Point) (events []event, rounded bool) {
	for _, q := range points {
		m := int(math.Round(q.Time / 60))
		m = min(m, int(curve.Day)/60-1) // 23:59:30 stays on its date
		rounded = rounded || float64(m*60) != q.Time
		if n := len(events); n > 0 && events[n-1].minute == m {
			events = events[:n-1]
		}
		events = append(events, event{m, q.Command != 0})
	}
	return events, rounded
}

// dayFields is the fields day of month and month that together match the dates
// of a span of at most a year: the rest of its first month, its whole months,
// the start of its last month.
func dayFields(from, to plan.Date) []string {
	if from.Year == to.Year && from.Month == to.Month {
		return []string{fmt.Sprintf("%s %d", run(from.Day, to.Day), int(from.Month))}
	}
	var out []string
	whole := make([]bool, 13)
	for d := from; !to.Before(d); {
		last := plan.DateOf(plan.Date{Year: d.Year, Month: d.Month, Day: 1}.UTC().AddDate(0, 1, -1))
		end := last
		if to.Before(last) {
			end = to
		}
		if d.Day == 1 && end == last {
			whole[d.Month] = true
		} else {
			out = append(out, fmt.Sprintf("%s %d", run(d.Day, end.Day), int(d.Month)))
		}
		d = last.AddDays(1)
	}
	var months []string
	for m := 1; m <= 12; m++ {
		if !whole[m] {
			continue
		}
		first := m
		for m < 12 && whole[m+1] {
			m++
		}
		months = append(months, run(first, m))
	}
	if len(months) > 0 {
		out = append(out, "* "+strings.Join(months, ","))
	}
	return out
}

func run(first, last int) string {
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d-%d", first, last)
}

func header(w io.Writer, f timetable.File, spans []span, lines int) {
	first, last := spans[0].from, spans[len(spans)-1].to
	until := "on"
	if !last.IsZero() {
		until = "to " + last.String()
	}
	clock := "the wall clock of " + orNone(f.Clock.Zone) + ", which moves for summer time"
	if f.Clock.ControllerStays {
		clock = "standard time of " + orNone(f.Clock.Zone) + " all year"
	}
	if f.Clock.Zone == "" {
		clock = "the controller's clock"
	}
	fmt.Fprintf(w, "# Switched outlets of %s, from %v %s, in %d lines.\n", orNone(f.Plan), first, until, lines)
	fmt.Fprintf(w, "# Times are on %s; cron must run on it.\n", clock)
	fmt.Fprintf(w, "# A crontab has no year: take these lines out when they are no longer meant.\n")
	fmt.Fprintf(w, "# outlet NAME on|off stands for your own command that switches an outlet.\n")
}

// orNone is a text for a comment, which must not reach into the next line.
func orNone(s string) string {
	if s == "" {
		return "(no name)"
	}
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

func line(w io.Writer, e event, days string, name port.Ref) {
	state := "off"
	if e.on {
		state = "on"
	}
	fmt.Fprintf(w, "%d %d %s * outlet %s %s\n", e.minute%60, e.minute/60, days, word(name.Controller+"/"+name.Port), state)
}

const plainWord = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789_./-"

// word quotes a name for the shell that cron hands the command to. A percent
// sign would end the command (POSIX crontab), so it gets a backslash.
func word(s string) string {
	if strings.Trim(s, plainWord) == "" {
		return s
	}
	s = strings.ReplaceAll(s, "'", `'\''`)
	return "'" + strings.ReplaceAll(s, "%", `\%`) + "'"
}
