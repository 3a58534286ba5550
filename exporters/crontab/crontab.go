package crontab

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"time"
	"unicode"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/daypattern"
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
	first, last := f.Covers()
	year := plan.DateOf(first.UTC().AddDate(1, 0, -1))
	bound := len(f.Tables) > 1
	if bound && last.IsZero() {
		last = year
		warnings = append(warnings, fmt.Sprintf("a crontab has no year: this one is good to %v; compile the plan again before", year))
	}
	if latest := f.Tables[len(f.Tables)-1].From; !last.IsZero() && last.Before(latest) {
		last = latest
	}
	spans, rounded := spansOf(f, first, last)
	if bound = slices.ContainsFunc(spans, func(s span) bool { return s.from != first || s.to != last }); bound && year.Before(last) {
		return nil, fmt.Errorf("the timetable runs from %v to %v, but a crontab has no year and can hold one only; compile it to %v at most", first, last, year)
	}
	if !bound { // every week is the same, whatever its dates
		_, last = f.Covers()
		warnings = nil
	}
	var out bytes.Buffer
	body(&out, spans, first, last)
	header(w, f, first, last, count(out.String()))
	_, err = out.WriteTo(w)
	return append(warnings, rounded...), err
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

func body(out io.Writer, spans []span, first, last plan.Date) {
	for i, s := range spans {
		on := func(days daypattern.Weekdays) []string {
			if s.from == first && s.to == last {
				return []string{"* * " + dayOfWeek(days)}
			}
			return dayFields(s.from, s.to, days)
		}
		if len(spans) > 1 {
			fmt.Fprintf(out, "\n# %v to %v%s\n", s.from, s.to, strings.TrimRight(", "+s.days.String(), ", "))
		}
		for j, o := range s.outlets {
			fmt.Fprintf(out, "# port %s of %s: %s\n", o.name.Port, o.name.Controller, orNone(o.channel))
			if len(o.events) > 0 && o.events[0].minute != 0 {
				for _, d := range midnights(spans, i, j, on) {
					line(out, event{0, o.overnight()}, d, o.name)
				}
			}
			for _, e := range o.events {
				for _, d := range on(s.days) {
					line(out, e, d, o.name)
				}
			}
		}
	}
}

// midnights are the dates of a span at whose beginning an outlet is left in another state by the date before, as day
// fields: a weekday on which that comes back has one for all its dates, since a line too many does no harm at midnight.
func midnights(spans []span, i, j int, on func(daypattern.Weekdays) []string) (fields []string) {
	s := spans[i]
	var only [7]plan.Date
	var times [7]int
	end := s.to
	if end.IsZero() || len(spans) == 1 {
		return nil
	}
	for d := s.from; !end.Before(d); d = d.AddDays(1) {
		k := slices.IndexFunc(spans, func(o span) bool { return o.has(d.AddDays(-1)) })
		if s.has(d) && k >= 0 && k != i && spans[k].outlets[j].overnight() != s.outlets[j].overnight() {
			only[d.Weekday()] = d
			times[d.Weekday()]++
		}
	}
	var weekly []time.Weekday
	for w, n := range times {
		switch {
		case n == 1:
			fields = append(fields, fmt.Sprintf("%d %d *", only[w].Day, int(only[w].Month)))
		case n > 1:
			weekly = append(weekly, time.Weekday(w))
		}
	}
	if weekly != nil {
		fields = append(fields, on(daypattern.WeekdaysOf(weekly...))...)
	}
	return fields
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
	days     daypattern.Weekdays
	outlets  []outlet
}

func (s span) has(d plan.Date) bool {
	return timetable.Table{From: s.from, To: s.to, Days: s.days}.Has(d)
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

// spansOf makes one span of all dates, or weekdays, of a timetable whose outlets do the same.
func spansOf(f timetable.File, first, last plan.Date) (out []span, warnings []string) {
	outlets := make([][]outlet, len(f.Tables))
	var different [][]outlet
	kind := make([]int, len(f.Tables)) // of each table
	for i, t := range f.Tables {
		for _, p := range switches(t) {
			events, rounded := minutes(p.Points)
			if rounded {
				warnings = append(warnings, fmt.Sprintf("port %s of %s from %v on: cron knows no seconds; its times are rounded to the minute", p.Name, p.Controller, t.From))
			}
			outlets[i] = append(outlets[i], outlet{port.Ref{Controller: p.Controller, Port: p.Name}, p.Channels(), events})
		}
		kind[i] = slices.IndexFunc(different, func(o []outlet) bool { return slices.EqualFunc(o, outlets[i], same) })
		if kind[i] < 0 {
			kind[i] = len(different)
			different = append(different, outlets[i])
		}
	}
	runs, of := []timetable.Table{{From: first}}, []int{kind[0]}
	if !last.IsZero() {
		runs, of = nil, nil
		for d := first; !last.Before(d); d = d.AddDays(1) {
			i, _ := f.Index(d)
			runs, of = append(runs, timetable.Table{From: d, To: d}), append(of, kind[i])
		}
	}
	for _, t := range timetable.Cut(runs, of, len(runs) >= weeks) {
		d := t.First()
		i, _ := f.Index(d)
		out = append(out, span{t.From, t.To, t.Days, different[kind[i]]})
	}
	return out, warnings
}

// weeks is from how many dates on lines may be for weekdays.
const weeks = 28

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

// dayFields is the fields day of month, month and day of week that together match the dates
// of a span of at most a year: the rest of its first month, its whole months,
// the start of its last month. Weekdays within a month that is not whole are given by their dates, as cron
// takes a date or a weekday for enough where both are given.
func dayFields(from, to plan.Date, days daypattern.Weekdays) []string {
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
		} else if dates := datesOf(d, end, days); dates != "" {
			out = append(out, fmt.Sprintf("%s %d *", dates, int(d.Month)))
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
		out = append(out, "* "+strings.Join(months, ",")+" "+dayOfWeek(days))
	}
	return out
}

// datesOf are the days of one month that are some weekdays.
func datesOf(from, to plan.Date, days daypattern.Weekdays) string {
	if days == 0 {
		return run(from.Day, to.Day)
	}
	var out []string
	for d := from; !to.Before(d); d = d.AddDays(1) {
		if days.Has(d.Weekday()) {
			out = append(out, fmt.Sprint(d.Day))
		}
	}
	return strings.Join(out, ",")
}

// dayOfWeek is the field of weekdays, Sunday 0.
func dayOfWeek(days daypattern.Weekdays) string {
	if days == 0 {
		return "*"
	}
	var out []string
	for w := time.Sunday; w <= time.Saturday; w++ {
		if !days.Has(w) {
			continue
		}
		first := w
		for w < time.Saturday && days.Has(w+1) {
			w++
		}
		out = append(out, run(int(first), int(w)))
	}
	return strings.Join(out, ",")
}

func run(first, last int) string {
	if first == last {
		return fmt.Sprint(first)
	}
	return fmt.Sprintf("%d-%d", first, last)
}

func header(w io.Writer, f timetable.File, first, last plan.Date, lines int) {
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
	fmt.Fprintf(w, "%d %d %s outlet %s %s\n", e.minute%60, e.minute/60, days, word(name.Controller+"/"+name.Port), state)
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
