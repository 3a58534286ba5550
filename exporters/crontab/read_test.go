package crontab

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// nursery has the outlets of lisbon: 1 for the tubes, 2 without a channel.
var nursery = &plan.Plan{Name: "Quay Street", Channels: []plan.Channel{{Name: "blue"}, {Name: "tubes"}},
	Controllers: []plan.Controller{
		{Name: "rack", Ports: []plan.Port{{Port: port.Port{Controller: "rack", Name: "1"}}}},
		{Name: "outlets", Kind: port.Switched(), Ports: []plan.Port{
			{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Switched(), Lamps: []port.Lamp{port.SwitchLamp("tubes")}}, Channels: []int{1}},
			{Port: port.Port{Controller: "outlets", Name: "2", Kind: port.Switched()}},
		}},
	}}

// What is read back plays as what was written, at every minute of every date; only
// before the first change of the first date nothing is known.
func TestReadBackPlaysTheSame(t *testing.T) {
	f := lisbon(t)
	text, _ := write(t, f)
	got, err := Timetable("outlets.cron", []byte(text), nursery)
	require.NoError(t, err)
	assert.False(t, got.NeedsPlan())
	assert.Equal(t, "tubes", got.Tables[0].Ports[0].Channels())
	require.Equal(t, f.Tables[0].From, got.Tables[0].From)
	require.Equal(t, f.Tables[3].To, got.Tables[len(got.Tables)-1].To)
	for d := f.Tables[0].From; !f.Tables[3].To.Before(d); d = d.AddDays(1) {
		want, _ := f.On(d)
		back, ok := got.On(d)
		require.True(t, ok)
		for i, p := range switches(want) {
			a, err := p.Course(p.Points)
			require.NoError(t, err)
			b, err := back.Ports[i].Course(back.Ports[i].Points)
			require.NoError(t, err)
			for m := range 1440 {
				require.Equal(t, a.Command(float64(60*m)), b.Command(float64(60*m)), "outlet %s on %v at minute %d", p.Name, d, m)
			}
		}
	}
}

func TestOneTableIsReadAsOne(t *testing.T) {
	f := timetable.File{Plan: "x", Tables: []timetable.Table{table(t, "2027-01-01", "", []float64{12 * hour, 15.5 * hour}, []float64{0, 10 * hour})}}
	text, _ := write(t, f)
	got, err := Timetable("outlets.cron", []byte(text), nursery)
	require.NoError(t, err)
	require.Len(t, got.Tables, 1)
	assert.True(t, got.Tables[0].To.IsZero())
	assert.Equal(t, switches(f.Tables[0])[0].Points, got.Tables[0].Ports[0].Points)
}

func TestRefused(t *testing.T) {
	text, _ := write(t, lisbon(t))
	lines := strings.SplitAfter(text, "\n")
	without := func(i int) string { return strings.Join(append(append([]string{}, lines[:i]...), lines[i+1:]...), "") }
	for _, c := range []struct{ name, text, want string }{
		{"empty", "", "o.cron:1: the file is empty"},
		{"without its head", without(0), "o.cron:1: the first line must say"},
		{"a line lost", without(7), "o.cron:1: there should be 31 lines that switch outlets, but 30 are there"},
		{"cut", strings.Join(lines[:20], ""), "o.cron:1: there should be 31 lines"},
		{"cut within a line", strings.TrimSuffix(text, "n\n"), `o.cron:47: "0 20 1-14 11 * outlet outlets/2 o" is not a line`},
		{"cut before the line end", strings.TrimSuffix(text, "\n"), "the last line has no line end"},
		{"hour 24", strings.Replace(text, "0 12 15-30", "0 24 15-30", 1), `o.cron:8: "0 24 15-30 11 * outlet outlets/1 on" is not a line such as`},
		{"a day of the week", strings.Replace(text, "15-30 11 * outlet", "15-30 11 1 outlet", 1), "o.cron:8: "},
		{"day 32", strings.Replace(text, "15-30 11", "15-32 11", 1), "o.cron:8: "},
		{"another outlet", strings.Replace(text, "outlets/1 on", "outlets/7 on", 1), "o.cron:8: the plan has no switched outlet outlets/7"},
		{"a dimmer", strings.Replace(text, "outlets/1 on", "rack/1 on", 1), "o.cron:8: the plan has no switched outlet rack/1"},
		{"no such date", strings.Replace(text, "2026-11-15 to", "2026-11-31 to", 1), "o.cron:1: "},
		{"backwards", strings.Replace(text, "from 2026-11-15 to 2027-11-14", "from 2026-11-15 to 2025-11-14", 1), "o.cron:1: the last date"},
		{"two years", strings.Replace(text, "to 2027-11-14", "to 2028-11-14", 1), "o.cron:1: the lines are for 2026-11-15 to 2028-11-14"},
		{"open", strings.Replace(text, "to 2027-11-14, in", "on, in", 1), "o.cron:1: lines for some days only need a last date"},
		{"no outlet at all", "# Switched outlets of x, from 2027-01-01 on, in 0 lines.\n", "o.cron:1: no line switches an outlet"},
	} {
		require.NotEqual(t, text, c.text, c.name)
		_, err := Timetable("o.cron", []byte(c.text), nursery)
		assert.ErrorContains(t, err, c.want, c.name)
	}
}

func FuzzTimetable(f *testing.F) {
	text, _ := write(f, lisbon(f))
	f.Add([]byte(text))
	f.Add([]byte("# Switched outlets of x, from 2027-01-01 on, in 1 lines.\n0 12 * * * outlet outlets/1 on\n"))
	f.Add([]byte("# Switched outlets of x, from 2027-02-01 to 2027-02-03, in 2 lines.\n0 12 2 2 * outlet outlets/1 on\n0 0 1-2 2 * outlet outlets/2 off\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		got, err := Timetable("o.cron", data, nursery)
		if err != nil {
			return
		}
		for i, table := range got.Tables {
			if i > 0 && table.From != got.Tables[i-1].To.AddDays(1) {
				t.Fatal("dates do not follow each other")
			}
			for _, p := range table.Ports {
				if _, err := p.Course(p.Points); err != nil {
					t.Fatal(err)
				}
			}
		}
	})
}
