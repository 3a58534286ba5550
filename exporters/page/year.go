package page

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"dayloom/exporters/compile"
	"dayloom/exporters/picture"
	"dayloom/exporters/table"
	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/text/diag"
)

// Year is the DLI of a zone's corals from date to date.
type Year struct {
	ID, Title, Told, Caption string
	Lines                    []trace
	Target, TargetHeight     string // what counts as met; percentages down
	Rules, Months            []tick
	Events                   []event
	Width                    int // of the box, days
}

type trace struct{ Path, Class, Name string }

type event struct{ X, Class, Text string }

// year is what changes in the year from the date on.
func (m *maker) year() (Section, error) {
	from, to := m.Date, m.Date.AddDays(yearDays)
	out := Section{ID: "year", Head: "The year"}
	dates := m.changes(from, to)
	c, ok := picture.NewCourse(m.job.Plan, m.job.Field, m.job.Programme, from, to)
	if !ok {
		out.Sum = "There is no year to draw."
		return out, nil
	}
	for k, panel := range c.Panels[:min(len(c.Panels), MostShown)] {
		y := m.yearOf(fmt.Sprintf("year-%d", k), panel, from, to)
		for _, d := range dates {
			y.Events = append(y.Events, event{percent(float64(from.DaysUntil(d.Date)) / float64(y.Width)), d.class, d.Title})
		}
		out.Parts = append(out.Parts, y)
	}
	out.Parts = append(out.Parts, Notes{"Up: DLI, mol/m²/d. Each line is a coral's, a thick one that of a new coral. Dotted upright: a step; dashed: lamps or a chore; full: the clock changes."})
	t := table.Table{Columns: []table.Column{{Head: "date", Left: true}, {Head: "what", Left: true}, {Head: "in full", Left: true}}}
	for _, d := range dates {
		t.Add(d.Date.String(), d.Title, d.Detail)
	}
	out.Sum = fmt.Sprintf("%s to %s: %s.", from, to, counted(dates))
	notes := Notes(slices.Clone(m.job.Programme.Notes))
	for _, p := range m.job.Programme.Problems {
		if p.Severity == diag.Error {
			notes = append(notes, "Refused: "+p.Error())
		}
	}
	out.Parts = append(out.Parts, notes)
	if len(dates) > 0 {
		out.Parts = append(out.Parts, newTable("Dates to know", t, nil))
	}
	return out, nil
}

// dated is a reminder with the sort of its mark.
type dated struct {
	calendar.Reminder
	class string
}

// changes are steps, relampings, chores and changes of the clock, by date.
func (m *maker) changes(from, to plan.Date) (out []dated) {
	for _, r := range m.job.Programme.Reminders(from, to) {
		out = append(out, dated{r, "step"})
	}
	for _, r := range m.job.Book.Reminders(from, to) {
		out = append(out, dated{r, "relamp"})
	}
	before := clock.Of(m.job.Plan.Clock).ShiftOn(from)
	for _, s := range clock.Of(m.job.Plan.Clock).Spans(from, to) {
		if s.ShiftS != before {
			out = append(out, dated{calendar.Reminder{Date: s.From, Title: "The controller's clock changes against the day", Detail: compile.Moved(s.From, s.ShiftS-before)}, "clock"})
		}
		before = s.ShiftS
	}
	slices.SortStableFunc(out, func(a, b dated) int { return b.Date.DaysUntil(a.Date) })
	return out
}

func counted(dates []dated) string {
	n := map[string]int{}
	for _, d := range dates {
		n[d.class]++
	}
	var words []string
	for _, sort := range []struct{ class, one string }{{"step", "step"}, {"relamp", "date for lamps and chores"}, {"clock", "clock change"}} {
		switch k := n[sort.class]; {
		case sort.class == "relamp" && k > 1:
			words = append(words, fmt.Sprintf("%d dates for lamps and chores", k))
		case k > 0:
			words = append(words, diag.Count(k, sort.one))
		}
	}
	if words == nil {
		return "no step, change of lamps or change of the clock"
	}
	return strings.Join(words, ", ")
}

func (m *maker) yearOf(id string, p picture.Panel, from, to plan.Date) Year {
	days := from.DaysUntil(to) + 1
	y := Year{ID: id, Title: p.Zone + ": DLI from " + from.String() + " to " + to.String(), Width: days}
	lines := p.Lines
	if len(lines) > MostShown {
		lines = lines[:MostShown]
		y.Caption = fmt.Sprintf(" Drawn are %d of %d places.", MostShown, len(p.Lines))
	}
	least, most := math.Inf(1), 0.0
	for _, l := range lines {
		for _, v := range l.DLI {
			if !math.IsNaN(v) {
				least, most = min(least, v), max(most, v)
			}
		}
	}
	top := roof(max(most, p.Target*(1+p.Within)))
	for _, v := range ruler(top, 4) {
		y.Rules = append(y.Rules, tick{percent(1 - v/top), short(v)})
	}
	y.Target, y.TargetHeight = percent(1-p.Target*(1+p.Within)/top), percent(2*p.Target*p.Within/top)
	for d := from; !to.Before(d); d = d.AddDays(1) {
		if d.Day == 1 && from.DaysUntil(d) < days-14 { // the last has no room for its name
			y.Months = append(y.Months, tick{percent(float64(from.DaysUntil(d)) / float64(days)), monthNames[d.Month-1]})
		}
	}
	for _, l := range lines {
		c := "old"
		if l.Newcomer {
			c = "new"
		}
		y.Lines = append(y.Lines, trace{stairs(l.DLI, top), c, l.Name})
	}
	y.Told = fmt.Sprintf("Daily light of %s, lowest %.2f, highest %.2f mol/m²/d.", count(len(lines), "place"), least, most)
	y.Caption = fmt.Sprintf("%s: from %.2f to %.2f mol/m²/d over the year; target %s, shaded as far as it counts as met.", p.Zone, least, most, short(p.Target)) + y.Caption
	if math.IsInf(least, 1) {
		y.Told, y.Caption = "No coral is there yet.", p.Zone+": no coral is there in these dates."
	}
	return y
}

var monthNames = []string{"Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"}

// stairs are values that each hold for a day; the line stops where there is none.
func stairs(values []float64, top float64) string {
	var lines [][][2]float64
	var run [][2]float64
	for i, v := range values {
		if math.IsNaN(v) {
			if run != nil {
				lines, run = append(lines, straight(run)), nil
			}
			continue
		}
		h := highBox * (1 - v/top)
		run = append(run, [2]float64{float64(4 * i), h}, [2]float64{float64(4*i + 4), h})
	}
	if run != nil {
		lines = append(lines, straight(run))
	}
	return path(false, lines...)
}

// Write writes the drawing.
func (y Year) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "year", y) }
