package crontab

import (
	"bytes"
	"flag"
	"os"
	"sort"
	"strings"
	"testing"
	"time"

	"github.com/robfig/cron/v3"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/shape/port"
)

var update = flag.Bool("update", false, "write the golden files again")

func date(t testing.TB, s string) plan.Date {
	if s == "" {
		return plan.Date{}
	}
	d, err := plan.ParseDate(s)
	require.NoError(t, err)
	return d
}

// table has two outlets; times are seconds, odd ones in the list switch on.
func table(t testing.TB, from, to string, tubes, pump []float64) timetable.Table {
	linear, err := dimmer.Linear(0, 1)
	require.NoError(t, err)
	outlet := func(name, channel string, times []float64) timetable.Port {
		p := timetable.Port{Port: port.Port{Controller: "outlets", Name: name, Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: channel, Response: linear}}}}
		for i, s := range times {
			p.Points = append(p.Points, port.Point{Time: s, Command: float64((i + 1) % 2)})
		}
		return p
	}
	dimmed := timetable.Port{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Range: [2]float64{0, 1}}, Lamps: []port.Lamp{{Channel: "blue", Response: linear}}},
		Points: []port.Point{{}}}
	return timetable.Table{From: date(t, from), To: date(t, to), Ports: []timetable.Port{dimmed, outlet("1", "tubes", tubes), outlet("2", "", pump)}}
}

const hour = 3600.0

func lisbon(t testing.TB) timetable.File {
	winter, summer := []float64{12 * hour, 15.5 * hour}, []float64{13 * hour, 16.5 * hour}
	return timetable.File{Plan: "Quay Street", Clock: timetable.Clock{Zone: "Europe/Lisbon"}, Tables: []timetable.Table{
		table(t, "2026-11-15", "2027-02-10", winter, []float64{0, 10 * hour}),
		table(t, "2027-02-11", "2027-03-27", winter, []float64{0, 10 * hour}), // nothing new for the outlets
		table(t, "2027-03-28", "2027-10-30", summer, []float64{22 * hour, 6 * hour * 3.9}),
		table(t, "2027-10-31", "2027-11-14", winter, []float64{20 * hour}), // on all day and night
	}}
}

func write(t testing.TB, f timetable.File) (string, []string) {
	var b bytes.Buffer
	warnings, err := Write(&b, f)
	require.NoError(t, err)
	return b.String(), warnings
}

func TestGolden(t *testing.T) {
	got, warnings := write(t, lisbon(t))
	assert.Empty(t, warnings)
	if *update {
		require.NoError(t, os.WriteFile("testdata/outlets.cron", []byte(got), 0o644))
	}
	want, err := os.ReadFile("testdata/outlets.cron")
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}

// POSIX.1-2017 crontab, read by a cron library: every line of the file is played
// over the dates of the timetable, and the state of each outlet at each minute
// is that of the timetable's own track.
func TestPlayedByCronItIsTheTrackAtEveryMinute(t *testing.T) {
	f := lisbon(t)
	text, _ := write(t, f)
	play(t, f, text, date(t, "2026-11-15"), date(t, "2027-11-14"))

	open := timetable.File{Tables: []timetable.Table{table(t, "2027-02-20", "", []float64{6 * hour, 22 * hour}, []float64{hour, 2 * hour})}}
	text, _ = write(t, open)
	assert.Contains(t, text, "\n0 6 * * * outlet outlets/1 on\n")
	play(t, open, text, date(t, "2027-02-20"), date(t, "2028-03-10"))

	leap := timetable.File{Tables: []timetable.Table{
		table(t, "2028-01-31", "2028-02-29", []float64{6 * hour, 22 * hour}, []float64{hour, 2 * hour}),
		table(t, "2028-03-01", "2028-03-01", []float64{7 * hour, 8 * hour}, []float64{hour, 2 * hour}),
		table(t, "2028-03-02", "", []float64{6 * hour, 22 * hour}, []float64{hour, 3 * hour}),
	}}
	text, warnings := write(t, leap)
	assert.Equal(t, []string{"a crontab has no year: this one is good to 2029-01-30; compile the plan again before"}, warnings)
	play(t, leap, text, date(t, "2028-01-31"), date(t, "2029-01-30"))
}

type change struct {
	at time.Time
	on bool
}

func play(t *testing.T, f timetable.File, text string, from, to plan.Date) {
	changes := make(map[string][]change)
	for _, l := range strings.Split(strings.TrimSuffix(text, "\n"), "\n") {
		if l == "" || l[0] == '#' {
			continue
		}
		fields := strings.Fields(l)
		require.Len(t, fields, 8, l)
		require.Equal(t, "outlet", fields[5])
		s, err := cron.ParseStandard("TZ=UTC " + strings.Join(fields[:5], " "))
		require.NoError(t, err, l)
		for at := s.Next(from.UTC().Add(-time.Second)); at.Before(to.AddDays(1).UTC()); at = s.Next(at) {
			changes[fields[6]] = append(changes[fields[6]], change{at, fields[7] == "on"})
		}
	}
	require.Len(t, changes, 2)
	for i, port := range []string{"1", "2"} {
		list := changes["outlets/"+port]
		sort.Slice(list, func(i, j int) bool { return list[i].at.Before(list[j].at) })
		first, ok := f.On(from)
		require.True(t, ok)
		points := first.Ports[i+1].Points
		state, next := points[len(points)-1].Command == 1, 0
		for d := from; !to.Before(d); d = d.AddDays(1) {
			table, ok := f.On(d)
			require.True(t, ok)
			tr, err := table.Ports[i+1].Course(table.Ports[i+1].Points)
			require.NoError(t, err)
			for m := range 1440 {
				at := d.UTC().Add(time.Duration(m) * time.Minute)
				for next < len(list) && !list[next].at.After(at) {
					require.True(t, list[next].at.Equal(at))
					state = list[next].on
					next++
				}
				if state != (tr.Command(float64(m)*60) == 1) {
					require.Fail(t, "state differs", "outlet %s on %v, minute %d: cron %v", port, d, m, state)
				}
			}
		}
	}
}

func TestSecondsAreRoundedWithAWarning(t *testing.T) {
	f := timetable.File{Tables: []timetable.Table{table(t, "2027-01-01", "", []float64{12*hour + 31, 86399}, []float64{0, 5, 8 * hour})}}
	text, warnings := write(t, f)
	require.Len(t, warnings, 2)
	assert.Contains(t, warnings[0], "port 1 of outlets from 2027-01-01 on: cron knows no seconds")
	assert.Contains(t, text, "1 12 * * * outlet outlets/1 on\n59 23 * * * outlet outlets/1 off\n")
	assert.Contains(t, text, "0 0 * * * outlet outlets/2 off\n0 8 * * * outlet outlets/2 on\n", "of two in one minute the later counts")
}

func TestRefusals(t *testing.T) {
	a, b := []float64{12 * hour, 13 * hour}, []float64{1 * hour, 2 * hour}
	long := timetable.File{Tables: []timetable.Table{table(t, "2027-01-01", "2027-06-30", a, b), table(t, "2027-07-01", "2028-01-01", b, a)}}
	_, err := Write(new(bytes.Buffer), long)
	require.ErrorContains(t, err, "a crontab has no year and can hold one only; compile it to 2027-12-31 at most")
	long.Tables[1].From, long.Tables[0].To, long.Tables[1].To = date(t, "2028-07-01"), date(t, "2028-06-30"), plan.Date{}
	_, err = Write(new(bytes.Buffer), long)
	require.ErrorContains(t, err, "a crontab has no year")

	none := timetable.File{Tables: []timetable.Table{{From: date(t, "2027-01-01"), Ports: long.Tables[0].Ports[:1]}}}
	require.False(t, Has(none))
	require.True(t, Has(long))
	_, err = Write(new(bytes.Buffer), none)
	require.ErrorContains(t, err, "no port of the timetable is a switch")
}

// POSIX crontab: an unescaped percent sign ends the command; POSIX shell: within
// single quotes everything but the quote is literal.
func TestNamesAreSafeForTheShell(t *testing.T) {
	for name, want := range map[string]string{
		"outlets/1": "outlets/1", "a b/1": "'a b/1'", "x;rm/1": "'x;rm/1'", "50%/1": `'50\%/1'`, "it's/1": `'it'\''s/1'`, "$(x)/`1`": "'$(x)/`1`'",
	} {
		assert.Equal(t, want, word(name))
	}
}

func TestACommentCannotBecomeALine(t *testing.T) {
	f := lisbon(t)
	f.Plan, f.Clock.Zone = "x\n* * * * * rm", "UTC\r\n* * * * * rm"
	text, _ := write(t, f)
	for _, l := range strings.Split(text, "\n") {
		assert.False(t, strings.HasPrefix(l, "*"), l)
	}
}

func TestDayFieldsMatchEachDateOnce(t *testing.T) {
	for _, days := range []daypattern.Weekdays{0, daypattern.WeekdaysOf(time.Sunday), daypattern.WeekdaysOf(time.Monday, time.Tuesday, time.Wednesday, time.Friday)} {
		for _, c := range [][2]string{{"2027-01-01", "2027-12-31"}, {"2027-03-28", "2027-10-30"}, {"2027-11-15", "2028-11-14"}, {"2028-02-01", "2028-02-29"}, {"2027-12-31", "2028-01-02"}, {"2027-05-05", "2027-05-05"}} {
			from, to := date(t, c[0]), date(t, c[1])
			hits := make(map[string]int)
			for _, fields := range dayFields(from, to, days) {
				s, err := cron.ParseStandard("TZ=UTC 0 0 " + fields)
				require.NoError(t, err)
				year := plan.DateOf(from.UTC().AddDate(1, 0, 0)) // beyond it a crontab repeats
				for at := s.Next(from.UTC().Add(-time.Second)); at.Before(year.UTC()); at = s.Next(at) {
					hits[plan.DateOf(at).String()]++
				}
			}
			for d := from; !to.Before(d); d = d.AddDays(1) {
				want := 0
				if days.Has(d.Weekday()) {
					want = 1
				}
				assert.Equal(t, want, hits[d.String()], d)
				delete(hits, d.String())
			}
			assert.Empty(t, hits, c)
		}
	}
}

// A weekly rule over a year is a few lines with the weekday's field, which cron and the reader play as the tables:
// Sundays off beforehand, on overnight, and late.
func TestWeekdays(t *testing.T) {
	rest, sun := daypattern.WeekdaysOf(1, 2, 3, 4, 5, 6), daypattern.WeekdaysOf(0)
	day, pump := []float64{12 * hour, 15.5 * hour}, []float64{1 * hour, 2 * hour}
	of := func(days daypattern.Weekdays, x timetable.Table) timetable.Table { x.Days = days; return x }
	for _, c := range []struct {
		lines  int
		tables []timetable.Table
	}{
		{8, []timetable.Table{of(rest, table(t, "2027-01-01", "2027-12-31", day, pump)), of(sun, table(t, "2027-01-01", "2027-12-31", []float64{13 * hour, 14 * hour}, pump))}},
		{9, []timetable.Table{of(rest, table(t, "2027-01-01", "2029-12-31", day, pump)), of(sun, table(t, "2027-01-01", "2029-12-31", []float64{13 * hour}, pump))}}, // on to Monday noon
		{0, []timetable.Table{of(rest, table(t, "2027-01-01", "2027-07-14", day, pump)), of(sun, table(t, "2027-01-01", "2027-12-31", []float64{13 * hour}, pump)),
			of(rest, table(t, "2027-07-15", "2027-12-31", []float64{6 * hour}, pump))}},
	} {
		f := timetable.File{Plan: "x", Tables: c.tables}
		text, warnings := write(t, f)
		assert.Empty(t, warnings)
		if c.lines > 0 {
			assert.Equal(t, c.lines, count(text), text)
			assert.Contains(t, text, " * * 1-6 outlet outlets/1 on\n")
		}
		from, to := f.Covers()
		play(t, f, text, from, to)
		back, err := Timetable("outlets.cron", []byte(text), nursery)
		require.NoError(t, err)
		for d := from.AddDays(1); !to.Before(d); d = d.AddDays(1) {
			want, _ := f.On(d)
			got, ok := back.On(d)
			require.True(t, ok)
			for i, p := range switches(want) {
				a, err := p.Course(p.Points)
				require.NoError(t, err)
				b, err := got.Ports[i].Course(got.Ports[i].Points)
				require.NoError(t, err)
				for m := 0; m < 1440; m += 30 {
					require.Equal(t, a.Command(float64(60*m)), b.Command(float64(60*m)), "outlet %s on %v at minute %d", p.Name, d, m)
				}
			}
		}
	}
}
