// Package fileset is the set of files that one compilation writes: which there are,
// in which order, and what to say of those that are left out.
//
//	timetable.json, timetable.schema.json, timetable.csv   always
//	grid.csv         every time step of every date; of the first date while open-ended
//	sheet.txt, sheet.html   the points as a person keys them in, up to MostSheets tables
//	outlets.cron     when there are switched outlets, for a year at most
//	reminders.ics    when there is anything to be reminded of
package fileset

import (
	"fmt"
	"io"
	"slices"
	"strings"
	"time"

	"dayloom/exporters/calendarfile"
	"dayloom/exporters/crontab"
	"dayloom/exporters/files"
	"dayloom/exporters/grid"
	"dayloom/exporters/sheet"
	"dayloom/exporters/timetable"
	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/text/visible"
)

// MostSheets is how many tables are still printed: more is a file, not a sheet.
const MostSheets = 40

// Set is the files of a timetable with its reminders, and notes on what was left
// out or had to be changed. step is that of grid.csv in whole seconds, end is printed on the sheets.
func Set(f timetable.File, reminders []calendar.Reminder, step int, end sheet.Ending) (set []files.File, notes []string) {
	from, to := f.Covers()
	if to.IsZero() {
		to = from
	}
	add := func(name string, render func(io.Writer) error) {
		set = append(set, files.File{Name: name, Render: visible.Text(render)})
	}
	add("timetable.csv", func(w io.Writer) error { return timetable.WriteCSV(w, f) })
	add("timetable.json", func(w io.Writer) error { return timetable.WriteJSON(w, f) })
	add("timetable.schema.json", func(w io.Writer) error { _, err := w.Write(timetable.Schema); return err })
	add("grid.csv", func(w io.Writer) error { return grid.Write(w, f, from, to, step) })
	if len(f.Tables) <= MostSheets {
		add("sheet.txt", func(w io.Writer) error { return sheet.WriteText(w, f, end) })
		add("sheet.html", func(w io.Writer) error { return sheet.WriteHTML(w, f, end) })
	} else {
		notes = append(notes, fmt.Sprintf("no printed sheet: %d tables are too many to key in by hand; compile fewer dates for one", len(f.Tables)))
	}
	if crontab.Has(f) {
		if warnings, err := crontab.Write(io.Discard, f); err != nil {
			notes = append(notes, "no outlets.cron: "+err.Error())
		} else {
			notes = append(notes, warnings...)
			add("outlets.cron", func(w io.Writer) error { _, err := crontab.Write(w, f); return err })
		}
	}
	if events := Events(f, reminders); len(events) > 0 {
		add("reminders.ics", func(w io.Writer) error {
			return calendarfile.Write(w, f.Plan, from.UTC(), events) // the stamp is the content's own, so that equal input gives equal bytes
		})
	}
	return set, notes
}

// Events are the reminders and the dates on which another table begins because of
// the clock or of a programme, by date. Tables that change every night, with the
// moon, are no event. What comes back every week, a chore or the table of some weekdays, is one event.
func Events(f timetable.File, reminders []calendar.Reminder) []calendarfile.Event {
	out := weekly(reminders)
	if len(f.Tables) <= MostSheets {
		first, _ := f.Covers()
		begun := first
		for _, t := range f.Tables {
			if e, ok := ofWeekdays(t); ok {
				out = append(out, e)
			}
			if t.From == begun {
				continue
			}
			begun = t.From
			out = append(out, calendarfile.Event{Date: t.From, Summary: "new timetable from today",
				Description: "the points valid from " + t.From.String() + " replace those before; see timetable.csv"})
		}
	}
	slices.SortStableFunc(out, func(a, b calendarfile.Event) int { return -a.Date.DaysUntil(b.Date) })
	return out
}

// ofWeekdays tells of a table for a few weekdays, up to three, which is the exception in its weeks.
func ofWeekdays(t timetable.Table) (e calendarfile.Event, ok bool) {
	if len(strings.Fields(t.Days.String())) > 3 || t.Days == 0 || t.To.IsZero() {
		return e, false
	}
	return calendarfile.Event{Date: t.First(), Days: t.Days, Until: t.To, Summary: "timetable of " + t.Days.Words() + " today",
		Description: "the points for days " + t.Days.String() + " are valid today, others on other weekdays; nothing is to be done where the controller keeps weekdays itself"}, true
}

// weekly are reminders as events; those that come back on the same weekdays all the time, one event.
func weekly(reminders []calendar.Reminder) (out []calendarfile.Event) {
	type kind struct{ title, detail string }
	dates := map[kind][]plan.Date{}
	for _, r := range reminders {
		dates[kind{r.Title, r.Detail}] = append(dates[kind{r.Title, r.Detail}], r.Date)
	}
	for _, r := range reminders {
		e := calendarfile.Event{Date: r.Date, Summary: r.Title, Description: r.Detail}
		all := dates[kind{r.Title, r.Detail}]
		days, ok := everyWeek(all)
		if ok && r.Date != all[0] {
			continue
		}
		if ok {
			e.Days, e.Until = days, all[len(all)-1]
		}
		out = append(out, e)
	}
	return out
}

// everyWeek tells on which weekdays something comes back, three weeks long or more, without one left out.
func everyWeek(dates []plan.Date) (days daypattern.Weekdays, ok bool) {
	first, last := dates[0], dates[len(dates)-1]
	var on []time.Weekday
	for _, d := range dates {
		on = append(on, d.Weekday())
	}
	days = daypattern.WeekdaysOf(on...)
	n := 0
	for d := first; !last.Before(d); d = d.AddDays(1) {
		if days.Has(d.Weekday()) {
			n++
		}
	}
	return days, first.DaysUntil(last) >= 14 && n == len(dates)
}

// GridStep is the finest time step of a plan's controllers, in whole seconds.
func GridStep(p *plan.Plan) int {
	step := 60
	for _, c := range p.Controllers {
		if s := int(c.TimeStep); s > 0 && s < step {
			step = s
		}
	}
	return step
}
