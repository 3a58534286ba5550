package fileset

import (
	"bytes"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/files"
	"dayloom/exporters/sheet"
	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/calendar"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/shape/port"
)

var start = plan.Date{Year: 2027, Month: time.January, Day: 1}

// nights is a timetable of so many dates with another command each; 0 is one open table.
func nights(t *testing.T, n int, switched bool) timetable.File {
	t.Helper()
	r, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	on, err := dimmer.Linear(0, 1)
	require.NoError(t, err)
	table := func(command float64) timetable.Table {
		ports := []timetable.Port{
			{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 0.1}, Lamps: []port.Lamp{{Channel: "blue", Response: r}}},
				Points: []port.Point{{Time: 0, Command: command}}},
		}
		if switched {
			ports = append(ports, timetable.Port{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: "tubes", Response: on}}},
				Points: []port.Point{{Time: 60 * math.Round(10*command), Command: 1}, {Time: 86340, Command: 0}}})
		}
		return timetable.Table{From: start, Ports: ports}
	}
	f := timetable.File{Plan: "nursery", PlanHash: "sha256:" + strings.Repeat("0", 64), Clock: timetable.Clock{Zone: "UTC"}}
	if n == 0 {
		f.Tables = []timetable.Table{table(50)}
		return f
	}
	for i := range n {
		x := table(float64(i%900) / 10)
		x.From, x.To = start.AddDays(i), start.AddDays(i)
		f.Tables = append(f.Tables, x)
	}
	return f
}

func names(set []files.File) string {
	var out []string
	for _, f := range set {
		out = append(out, f.Name)
	}
	return strings.Join(out, " ")
}

func text(t *testing.T, set []files.File, name string) string {
	t.Helper()
	for _, f := range set {
		if f.Name == name {
			var b bytes.Buffer
			require.NoError(t, f.Render(&b))
			return b.String()
		}
	}
	t.Fatalf("there is no %s", name)
	return ""
}

func TestWhatIsWritten(t *testing.T) {
	const always = "timetable.csv timetable.json timetable.schema.json grid.csv"
	relamp := []calendar.Reminder{{Date: start.AddDays(9), Title: "new tubes"}}
	for _, c := range []struct {
		name, files, note string
		file              timetable.File
		reminders         []calendar.Reminder
	}{
		{"one open table", " sheet.txt sheet.html", "", nights(t, 0, false), nil},
		{"with outlets", " sheet.txt sheet.html outlets.cron", "", nights(t, 0, true), nil},
		{"with a reminder", " sheet.txt sheet.html reminders.ics", "", nights(t, 0, false), relamp},
		{"a few tables are events", " sheet.txt sheet.html reminders.ics", "", nights(t, MostSheets, false), nil},
		{"too many to print", "", "no printed sheet: 41 tables", nights(t, MostSheets+1, false), nil},
		{"longer than a crontab holds", "", "no outlets.cron: ", nights(t, 400, true), nil},
	} {
		set, notes := Set(c.file, c.reminders, 3600, sheet.Ending{})
		assert.Equal(t, always+c.files, names(set), c.name)
		if c.note == "" {
			assert.Empty(t, notes, c.name)
		} else {
			assert.Contains(t, strings.Join(notes, "\n"), c.note, c.name)
		}
		for _, f := range set {
			require.NoError(t, f.Render(io.Discard), "%s: %s", c.name, f.Name)
		}
	}
}

// What is written can be read: the timetable both ways, and a day of hours has 24 rows.
func TestContents(t *testing.T) {
	f := nights(t, 2, true)
	set, _ := Set(f, nil, 3600, sheet.Ending{})
	back, err := timetable.Read("timetable.json", []byte(text(t, set, "timetable.json")))
	require.NoError(t, err)
	assert.Equal(t, f, back)
	assert.Equal(t, 1+2*24, strings.Count(text(t, set, "grid.csv"), "\r\n"))
	assert.Contains(t, text(t, set, "outlets.cron"), "outlet outlets/1 on")
	open, _ := Set(nights(t, 0, false), nil, 3600, sheet.Ending{})
	assert.Equal(t, 1+24, strings.Count(text(t, open, "grid.csv"), "\r\n"), "open-ended: its first date")
}

func TestEventsAreByDate(t *testing.T) {
	at := func(n int, title string) calendar.Reminder {
		return calendar.Reminder{Date: start.AddDays(n), Title: title}
	}
	var got []string
	for _, e := range Events(nights(t, 3, false), []calendar.Reminder{at(5, "later"), at(1, "with the second table"), at(-1, "before")}) {
		got = append(got, e.Date.String()+" "+e.Summary)
	}
	assert.Equal(t, []string{"2026-12-31 before", "2027-01-02 with the second table", "2027-01-02 new timetable from today",
		"2027-01-03 new timetable from today", "2027-01-06 later"}, got)
	assert.Empty(t, Events(nights(t, MostSheets+1, false), nil), "tables that change every night are no event")
}

// A chore of every week and the table of Sundays are one event each; a fortnight's two are not.
func TestWhatComesBackEveryWeekIsOneEvent(t *testing.T) {
	var reminders []calendar.Reminder
	for n := range 60 {
		if d := start.AddDays(n); d.Weekday() == time.Monday || d.Weekday() == time.Thursday {
			reminders = append(reminders, calendar.Reminder{Date: d, Title: "wipe the lamps"})
		}
		if n%14 == 5 {
			reminders = append(reminders, calendar.Reminder{Date: start.AddDays(n), Title: "calibrate"})
		}
	}
	f := nights(t, 2, false)
	f.Tables[0].To = start.AddDays(59)
	f.Tables[1].From, f.Tables[1].To = start, start.AddDays(59)
	f.Tables[0].Days, f.Tables[1].Days = daypattern.WeekdaysOf(1, 2, 3, 4, 5, 6), daypattern.WeekdaysOf(0)
	require.NoError(t, f.Check())
	var got []string
	for _, e := range Events(f, reminders) {
		got = append(got, strings.TrimSpace(fmt.Sprint(e.Date, " ", e.Summary, " ", e.Days, " ", e.Until)))
	}
	assert.Equal(t, []string{"2027-01-03 timetable of Sunday today sun 2027-03-01", "2027-01-04 wipe the lamps mon thu 2027-03-01",
		"2027-01-06 calibrate", "2027-01-20 calibrate", "2027-02-03 calibrate", "2027-02-17 calibrate"}, got)
	set, _ := Set(f, reminders, 3600, sheet.Ending{})
	assert.Contains(t, text(t, set, "reminders.ics"), "DTSTART;VALUE=DATE:20270104\r\nRRULE:FREQ=WEEKLY;BYDAY=MO,TH;UNTIL=20270301\r\n")
	assert.Contains(t, text(t, set, "sheet.txt"), "Valid on Sunday (sun), from 2027-01-01 to 2027-03-01. Other weekdays have\npages of their own.")
}

func TestGridStep(t *testing.T) {
	p := &plan.Plan{Controllers: []plan.Controller{
		{Kind: port.Kind{TimeStep: 300}},
	}}
	assert.Equal(t, 60, GridStep(p), "a row a minute at least")
	p.Controllers = append(p.Controllers, plan.Controller{Kind: port.Kind{TimeStep: 10}})
	assert.Equal(t, 10, GridStep(p))
}
