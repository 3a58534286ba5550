package compile

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/timetable"
	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
)

// lampAndOutlet is a dimmed lamp and a switched one under rules of the calendar.
func lampAndOutlet(t testing.TB, rules ...plan.CalendarRule) *plan.Plan {
	p := planOf([]plan.Controller{percent(t, "rack", 0), outlets(60, 1)},
		daylight(0.5, curve.Linear, 8, 10, 16, 18), plan.DayPart{Switched: &plan.Switched{On: 12 * hour, Off: 15.5 * hour}})
	for _, r := range rules {
		r.Day = day.Usual
		p.Calendar = append(p.Calendar, r)
	}
	return p
}

func booked(t testing.TB, p *plan.Plan) Curves {
	b, problems := calendar.New(p)
	require.False(t, problems.HasErrors())
	return func(d plan.Date) []curve.Curve { return day.Build(p, d, b.On(d).Day).Curves() }
}

// tablesOf are the tables as people read them.
func tablesOf(f timetable.File) (out []string) {
	for _, t := range f.Tables {
		out = append(out, strings.TrimSpace(fmt.Sprint(t.From, " ", t.To, " ", t.Days)))
	}
	return out
}

// A rule that follows weekdays costs one more table in a year, not a hundred; with a range and a single date beside
// it there are as few tables as can be (by hand).
func TestAWeeklyRuleCostsOneTable(t *testing.T) {
	quiet := plan.CalendarRule{Pattern: "0 0 * * 0", Scale: 0.6}
	from, to := date(t, "2027-01-01"), date(t, "2027-12-31")
	for _, c := range []struct {
		rules []plan.CalendarRule
		want  []string
	}{
		{nil, []string{"2027-01-01 2027-12-31"}},
		{[]plan.CalendarRule{quiet}, []string{"2027-01-01 2027-12-31 mon tue wed thu fri sat", "2027-01-01 2027-12-31 sun"}},
		{[]plan.CalendarRule{quiet, {Pattern: "0 0 * * 3", Scale: 0.6}}, []string{"2027-01-01 2027-12-31 mon tue thu fri sat", "2027-01-01 2027-12-31 wed sun"}},
		// on one Wednesday of its own day all days but Sunday begin a table, which are fewer than Wednesday's and theirs
		{[]plan.CalendarRule{quiet, {From: date(t, "2027-03-10"), To: date(t, "2027-03-10"), Scale: 0.5}},
			[]string{"2027-01-01 2027-03-09 mon tue wed thu fri sat", "2027-01-01 2027-12-31 sun", "2027-03-10 2027-03-10 mon tue wed thu fri sat", "2027-03-11 2027-12-31 mon tue wed thu fri sat"}},
		// Sundays in summer alone: the rest of the year they are like the others, which does not make two tables one
		{[]plan.CalendarRule{{Pattern: "0 0 * 6-8 0", Scale: 0.6}},
			[]string{"2027-01-01 2027-12-31 mon tue wed thu fri sat", "2027-01-01 2027-06-05 sun", "2027-06-06 2027-09-04 sun", "2027-09-05 2027-12-31 sun"}},
	} {
		p := lampAndOutlet(t, c.rules...)
		f := Build(p, []Span{{From: from, To: to}}, booked(t, p)).File
		require.NoError(t, f.Check())
		assert.Equal(t, c.want, tablesOf(f))
	}
	// without a rule for weekdays tables are runs of dates, also where Wednesdays alone would be fewer
	p := lampAndOutlet(t, plan.CalendarRule{From: date(t, "2027-01-06"), To: date(t, "2027-01-06"), Scale: 0.5})
	assert.Len(t, Build(p, []Span{{From: date(t, "2027-01-04"), To: date(t, "2027-01-10")}}, booked(t, p)).File.Tables, 3)
}

// picked are the points of each port on a date, from timetable.csv read by its columns and by nothing of ours: the
// rows between whose dates it is and whose days have its name, or that have none.
func picked(t require.TestingT, rows [][]string, d plan.Date) (points map[string][]string, tables int) {
	points, seen := map[string][]string{}, map[string]bool{}
	name := strings.ToLower(d.UTC().Format("Mon"))
	for _, r := range rows[1:] {
		if r[0] <= d.String() && d.String() <= r[1] && (r[9] == "" || slices.Contains(strings.Split(r[9], " "), name)) {
			id := r[2] + "/" + r[3]
			points[id] = append(points[id], r[5]+" "+r[6])
			seen[r[0]+r[1]+r[9]] = true
		}
	}
	return points, len(seen)
}

// Of random rules for weekdays, ranges and single dates, with clocks that change, the table that
// is found for each date plays what the date's own day asks.
func TestEachDatesTableIsItsOwn(t *testing.T) {
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	rapid.Check(t, func(r *rapid.T) {
		p := lampAndOutlet(t, anyRules(r)...)
		p.Clock = plan.Clock{Zone: lisbon, ZoneName: "Europe/Lisbon"}
		if rapid.Bool().Draw(r, "late") { // daylight beyond midnight, so that a date depends on the one before
			p.Day[0] = daylight(0.5, curve.Linear, 14, 16, 23, 1)
			p.Day[0].Channels = []int{0}
		}
		from := plan.Date{Year: 2027, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 364).Draw(r, "from"))
		to := from.AddDays(rapid.IntRange(0, 35).Draw(r, "dates"))
		curves := booked(t, p)
		f := Build(p, dated(p, from, to), curves).File
		require.NoError(r, f.Check())
		require.LessOrEqual(r, len(f.Tables), from.DaysUntil(to)+1)

		var text, json bytes.Buffer
		require.NoError(r, timetable.WriteCSV(&text, f))
		require.NoError(r, timetable.WriteJSON(&json, f))
		back, err := timetable.Read("t.json", json.Bytes())
		require.NoError(r, err)
		rows, err := csv.NewReader(&text).ReadAll()
		require.NoError(r, err)
		for d := from; !to.Before(d); d = d.AddDays(1) {
			own := Build(p, []Span{{From: d, To: d, ShiftS: clock.Of(p.Clock).ShiftOn(d)}}, curves).File.Tables[0]
			got, tables := picked(r, rows, d)
			require.Equal(r, 1, tables, "%v", d)
			on, ok := back.On(d)
			require.True(r, ok)
			for i, q := range own.Ports {
				var want []string
				for _, x := range q.Points {
					want = append(want, timetable.TimeOfDay(x.Time)+" "+q.Text(x.Command))
				}
				require.Equal(r, want, got[q.Controller+"/"+q.Name], "%v", d)
				require.Equal(r, q.Points, on.Ports[i].Points, "%v", d)
			}
		}
	})
}

func anyRules(t *rapid.T) (out []plan.CalendarRule) {
	first := plan.Date{Year: 2027, Month: 1, Day: 1}
	for range rapid.IntRange(1, 3).Draw(t, "weekly rules") {
		r := plan.CalendarRule{Pattern: "0 0 * * " + rapid.SampledFrom([]string{"0", "6,0", "1-5", "3", "2,4"}).Draw(t, "weekdays"), Scale: rapid.SampledFrom([]float64{0, 0.5, 0.6}).Draw(t, "scale")}
		if rapid.Bool().Draw(t, "within dates") {
			r.From = first.AddDays(rapid.IntRange(0, 364).Draw(t, "rule from"))
			r.To = r.From.AddDays(rapid.IntRange(0, 60).Draw(t, "rule dates"))
		}
		out = append(out, r)
	}
	for range rapid.IntRange(0, 2).Draw(t, "ranges") {
		r := plan.CalendarRule{From: first.AddDays(rapid.IntRange(0, 400).Draw(t, "range from")), Scale: rapid.SampledFrom([]float64{0.8, 0.6}).Draw(t, "range scale")}
		r.To = r.From.AddDays(rapid.SampledFrom([]int{0, 0, 6, 30}).Draw(t, "range dates"))
		out = append(out, r)
	}
	return out
}
