package calendar_test

import (
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/shape/curve"
)

func date(s string) plan.Date {
	d, err := plan.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

// tank is a plan of one dimmable channel and one of tubes that burn 3.5 h a day.
func tank() *plan.Plan {
	return &plan.Plan{
		File:     "plan.yaml",
		Clock:    plan.Clock{Zone: time.UTC},
		Channels: []plan.Channel{{Name: "bar", Dimmable: true}, {Name: "tubes"}},
		Day: []plan.DayPart{
			{Channels: []int{0}, Daylight: &plan.Daylight{
				Sunrise: plan.Ramp{From: 8 * 3600, To: 10 * 3600, Shape: curve.Smooth},
				Peak:    plan.Level{Fraction: 0.8},
				Sunset:  plan.Ramp{From: 18 * 3600, To: 20 * 3600, Shape: curve.Smooth},
			}},
			{Channels: []int{1}, Switched: &plan.Switched{On: 12 * 3600, Off: 15.5 * 3600}},
		},
		Days: []plan.NamedDay{{Name: "quiet", Parts: []plan.DayPart{{Channels: []int{0}, Daylight: &plan.Daylight{
			Sunrise: plan.Ramp{From: 9 * 3600, To: 11 * 3600},
			Peak:    plan.Level{Fraction: 0.3},
			Sunset:  plan.Ramp{From: 15 * 3600, To: 17 * 3600},
		}}}}},
	}
}

// worn is the ageing table of the starter plan (common practice, no source: tubes are
// down 15-30 % by 9-12 months of daily use).
var worn = []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: 4000, Share: 0.88}, {Hours: 9000, Share: 0.78}}

func book(t testing.TB, p *plan.Plan) *calendar.Book {
	b, problems := calendar.New(p)
	require.False(t, problems.HasErrors(), problems.Text(nil))
	return b
}

func TestTheMostParticularRuleWins(t *testing.T) {
	p := tank()
	p.Calendar = []plan.CalendarRule{
		{Name: "harbour day", From: date("2027-06-20"), To: date("2027-06-20"), Scale: 0.4, Day: day.Usual},
		{Name: "summer", From: date("2027-06-01"), To: date("2027-08-31"), Scale: 0.9, Day: day.Usual},
		{Name: "quiet Sunday", Pattern: "0 0 * * 0", Scale: 0.6, Day: 0},
		{Name: "June", From: date("2027-06-01"), To: date("2027-06-30"), Scale: 0.8, Day: day.Usual},
	}
	b := book(t, p)
	for _, c := range []struct {
		on    string
		rule  int
		scale float64
		fit   int
	}{
		{"2027-05-31", -1, 1, 0}, // a Monday before the ranges
		{"2027-05-30", 2, 0.6, 1},
		{"2027-06-20", 0, 0.4, 4}, // a Sunday
		{"2027-06-21", 3, 0.8, 2},
		{"2027-07-04", 1, 0.9, 2}, // a Sunday in summer
		{"2027-08-31", 1, 0.9, 1},
		{"2027-09-01", -1, 1, 0},
	} {
		d := b.On(date(c.on))
		if c.rule < 0 {
			assert.Nil(t, d.Rule, c.on)
			assert.Nil(t, d.Day.Scale, c.on)
		} else {
			assert.Same(t, &p.Calendar[c.rule], d.Rule, c.on)
			assert.Equal(t, []float64{c.scale, c.scale}, d.Day.Scale, c.on)
		}
		assert.Len(t, d.Rules, c.fit, c.on)
	}
	rules := strings.Join(b.On(date("2027-06-20")).Rules, "\n")
	assert.Equal(t, `harbour day: a one-off date, applies: light at 40 %
June: a date range, gives way to harbour day: a one-off date is more particular
summer: a date range, gives way to harbour day: a one-off date is more particular
quiet Sunday: a day pattern, gives way to harbour day: a one-off date is more particular`, rules)
	assert.Contains(t, b.On(date("2027-06-21")).Rules[1], "gives way to June, which is further down in the plan")
}

func TestANamedDayKeepsItsOwnPeak(t *testing.T) {
	p := tank()
	p.Calendar = []plan.CalendarRule{{Name: "quiet", From: date("2027-06-20"), To: date("2027-06-20"), Scale: 0.5, Day: 0}}
	p.Day[0].Daylight.Peak.Fraction = 0.7
	b := book(t, p)
	built := day.Build(p, date("2027-06-20"), b.On(date("2027-06-20")).Day)
	assert.InDelta(t, 0.15, built.Channels[0].Peak, 1e-12)
	// two ramps of 2 h and 4 h between them at 15 %: 0.15 · 6 h
	assert.InDelta(t, 0.15*6*3600, built.Channels[0].DoseS, 1e-6)
	assert.InDelta(t, 0.7, day.Build(p, date("2027-06-21"), b.On(date("2027-06-21")).Day).Channels[0].Peak, 1e-12)
}

// US Naval Observatory tables for 39 N, 105 W (testdata/published/sun-rise-set-published.csv):
// on 2015-08-02 the sun is up from 05:01 to 19:10, on 2015-01-02 from 07:19 to 16:49, whole
// minutes. The season takes its share of the difference of 4 h 39 min.
func TestSeasonFollowsTheSun(t *testing.T) {
	p := tank()
	p.Season = &plan.Season{LatitudeDeg: 39, Share: 0.5}
	b := book(t, p)
	longest, shortest := b.Stretch(date("2015-08-02")), b.Stretch(date("2015-01-02"))
	assert.InDelta(t, 0.5*(4*60+39), (longest-shortest)/60, 1)
	sum := 0.0
	for d := date("2015-01-01"); d.Year == 2015; d = d.AddDays(1) {
		sum += b.Stretch(d)
	}
	assert.InDelta(t, 0, sum/365, 1e-6, "the mean of a year is the plan's own day")
	lit := func(s string) float64 { return day.LitSeconds(p, 0, b.On(date(s)).Day) }
	assert.InDelta(t, longest-shortest, lit("2015-08-02")-lit("2015-01-02"), 1e-6)

	p.Season = &plan.Season{LatitudeDeg: -18, Share: 1} // south: the long day is in December
	b = book(t, p)
	assert.Greater(t, b.Stretch(date("2026-12-21")), 0.0)
	assert.Less(t, b.Stretch(date("2026-06-21")), 0.0)
}

func TestShareIsReadByStraightLinesAndHeld(t *testing.T) {
	for _, c := range []struct{ hours, want float64 }{{0, 1}, {2000, 0.94}, {4000, 0.88}, {6500, 0.83}, {9000, 0.78}, {20000, 0.78}} {
		assert.InDelta(t, c.want, calendar.Share(worn, c.hours), 1e-12)
	}
	assert.Equal(t, 0.9, calendar.Share([]plan.AgePoint{{Hours: 100, Share: 0.9}, {Hours: 200, Share: 0.8}}, 5))
	assert.Equal(t, 1.0, calendar.Share(nil, 5))
}

func TestHoursAreCountedFromTheSchedule(t *testing.T) {
	p := tank()
	p.Channels[1].Ageing, p.Channels[1].Installed = worn, date("2026-10-01")
	p.Calendar = []plan.CalendarRule{{Name: "dark", From: date("2026-10-11"), To: date("2026-10-20"), Scale: 0, Day: day.Usual}}
	b := book(t, p)
	// 100 days of which 10 were dark: 90 · 3.5 h; the share falls 12 % in 4000 h
	assert.InDelta(t, 1-0.12*90*3.5/4000, b.On(date("2027-01-09")).Age[1], 1e-12)
	assert.Equal(t, 1.0, b.On(date("2026-10-01")).Age[1])
	assert.Equal(t, 1.0, b.On(date("2026-05-01")).Age[1], "before they were put in")

	p.Channels[1].Installed, p.Channels[1].HoursRun = plan.Date{}, 4000
	b, problems := calendar.New(p)
	assert.Equal(t, 0.88, b.On(date("2031-01-09")).Age[1], "stands still without a date")
	assert.Contains(t, problems.Text(nil), "its age stays at 4000 h until it is relamped")
}

// A relamping from 78 % of new in steps of at most 15 %: ln(1/0.78)/ln 1.15 = 1.78, so
// two even steps of 1/0.78^½ = 1.1323 (arithmetic).
func TestRelampingStepsUp(t *testing.T) {
	p := tank()
	p.Channels[0].Ageing, p.Channels[0].HoursRun = worn, 9000
	p.Relamps = []plan.Relamp{{Channel: 0, On: date("2027-05-01"), StepMax: 0.15}}
	b := book(t, p)
	output := func(s string) float64 {
		d := b.On(date(s))
		return d.Age[0] * day.Build(p, d.Date, d.Day).Channels[0].Peak / 0.8
	}
	assert.InDelta(t, 0.78, output("2027-04-30"), 1e-12)
	assert.InDelta(t, math.Sqrt(0.78), output("2027-05-01"), 1e-12)
	assert.InDelta(t, math.Sqrt(0.78), output("2027-05-07"), 1e-2)
	assert.InDelta(t, 1, output("2027-05-08"), 1e-2)
	assert.Contains(t, b.On(date("2027-05-01")).Notes[0], "bar: new lamps held at 88.3 %")
	assert.Empty(t, b.On(date("2027-05-08")).Notes)
}

func TestRelampedTubesAreSteppedByHours(t *testing.T) {
	p := tank()
	p.Channels[1].Ageing, p.Channels[1].HoursRun = worn, 9000
	p.Relamps = []plan.Relamp{{Channel: 1, On: date("2027-05-01"), StepMax: plan.StepMax}}
	b, problems := calendar.New(p)
	assert.Contains(t, problems.Text(nil), "its peak PPFD jumps on that day")
	d := b.On(date("2027-05-01"))
	built := day.Build(p, d.Date, d.Day).Channels[1]
	assert.InDelta(t, 3.5*3600*math.Sqrt(0.78), built.DoseS, 1e-6)
	assert.Equal(t, 1.0, built.Peak)
}

func TestRelampingWaitsWhileLightRisesForAnotherCause(t *testing.T) {
	p := tank()
	p.Channels[0].Ageing, p.Channels[0].HoursRun = worn, 9000
	p.Relamps = []plan.Relamp{{Channel: 0, On: date("2027-05-01"), StepMax: plan.StepMax}}
	b := book(t, p).Rising([]calendar.Span{{date("2027-04-20"), date("2027-05-31")}})
	for d := date("2027-05-01"); d.Before(date("2027-06-01")); d = d.AddDays(1) {
		assert.InDelta(t, 0.78, b.On(d).Day.Scale[0], 1e-12)
	}
	assert.InDelta(t, math.Sqrt(0.78), b.On(date("2027-06-01")).Day.Scale[0], 1e-12)
}

// Whatever lamps, dates and steps: relamping never raises a channel's light
// for a day by more than the step over the day before.
func TestRelampingKeepsToTheStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := tank()
		step := rapid.Float64Range(0.02, 0.5).Draw(t, "step")
		ch := rapid.IntRange(0, 1).Draw(t, "channel")
		floor := rapid.Float64Range(0.3, 1).Draw(t, "floor")
		p.Channels[ch].Ageing = []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: rapid.Float64Range(100, 9000).Draw(t, "hours"), Share: floor}}
		p.Channels[ch].HoursRun = rapid.Float64Range(0, 9000).Draw(t, "run")
		first := date("2027-01-01")
		for range rapid.IntRange(1, 3).Draw(t, "n") {
			p.Relamps = append(p.Relamps, plan.Relamp{Channel: ch, On: first.AddDays(rapid.IntRange(1, 200).Draw(t, "on")), StepMax: step})
		}
		if rapid.Bool().Draw(t, "dated") {
			p.Channels[ch].Installed = first.AddDays(-rapid.IntRange(0, 400).Draw(t, "installed"))
		}
		b, _ := calendar.New(p)
		last := 0.0
		for i := range 300 {
			d := b.On(first.AddDays(i))
			dose := d.Age[ch] * day.Build(p, d.Date, d.Day).Channels[ch].DoseS
			if i > 0 && dose > last*(1+step)*(1+1e-9) {
				t.Fatalf("%s: %.6f after %.6f", d.Date, dose, last)
			}
			last = dose
		}
		if last < p.Channels[ch].Ageing[1].Share*1000 {
			t.Fatalf("the light does not come back: %g", last)
		}
	})
}

// In spring the days grow by themselves; that is taken off the step. From 75.6 % of new
// two steps of 15 % would just do (0.756 · 1.15² = 1.0); with days growing they do not.
func TestRelampingLeavesRoomForTheSeason(t *testing.T) {
	p := tank()
	p.Channels[1].Ageing, p.Channels[1].HoursRun = []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: 1000, Share: 1 / (1.15 * 1.15)}}, 1000
	p.Relamps = []plan.Relamp{{Channel: 1, On: date("2027-03-20"), StepMax: plan.StepMax}}
	steps := func() (n int) {
		b := book(t, p)
		last := 0.0
		for d := date("2027-03-19"); d.Before(date("2027-05-01")); d = d.AddDays(1) {
			on := b.On(d)
			dose := on.Age[1] * day.Build(p, d, on.Day).Channels[1].DoseS
			if last > 0 {
				assert.LessOrEqual(t, dose, last*1.15*(1+1e-9), d.String())
			}
			if dose > last*1.05 {
				n++
			}
			last = dose
		}
		return n - 1 // the first day of all is no step
	}
	assert.Equal(t, 2, steps())
	p.Season = &plan.Season{LatitudeDeg: 40, Share: 0.5}
	assert.Equal(t, 3, steps())
}

func TestReminders(t *testing.T) {
	p := tank()
	p.Channels[1].Ageing, p.Channels[1].Installed = worn, date("2026-10-01")
	p.Relamps = []plan.Relamp{{Channel: 1, On: date("2036-01-01"), StepMax: plan.StepMax}}
	b := book(t, p)
	all := b.Reminders(date("2026-10-01"), date("2036-12-31"))
	require.GreaterOrEqual(t, len(all), 2)
	// 80 % is 8000 h in the table, at 3.5 h a day 2286 days: the first date below it is one later
	assert.Equal(t, date("2026-10-01").AddDays(2286), all[0].Date)
	assert.Contains(t, all[0].Title, "due for change")
	assert.Equal(t, date("2036-01-01"), all[1].Date)
	assert.Contains(t, all[1].Title, "Change the lamps of tubes")
	assert.Empty(t, b.Reminders(date("2026-10-01"), date("2026-12-31")))
}

// A day pattern within a range is more particular than a range above or below it; rules that give way where
// only the order decides are named with their dates, one-off dates within a range are not.
func TestRulesThatGiveWay(t *testing.T) {
	p := tank()
	p.Calendar = []plan.CalendarRule{
		{Name: "quiet Sunday", Pattern: "0 0 * * 0", Scale: 0.6, Day: day.Usual, Pos: plan.Pos{Line: 7, Col: 3}},
		{Name: "June Sundays", Pattern: "0 0 * * 0", From: date("2027-06-01"), To: date("2027-06-30"), Scale: 0.5, Day: day.Usual},
		{Name: "summer", From: date("2027-06-01"), To: date("2027-07-31"), Scale: 0.9, Day: day.Usual},
		{Name: "harbour day", From: date("2027-07-01"), To: date("2027-07-01"), Scale: 0.4, Day: day.Usual},
	}
	b := book(t, p)
	assert.Same(t, &p.Calendar[1], b.On(date("2027-06-06")).Rule)
	assert.Same(t, &p.Calendar[2], b.On(date("2027-06-07")).Rule)
	problems := b.Yields()
	require.Len(t, problems, 1, problems.Text(nil))
	assert.Contains(t, problems[0].Error(), "plan.yaml:7:3: warning: calendar: quiet Sunday gives way to summer on 4 dates from 2027-07-04 to 2027-07-25: a date range is more particular than a day pattern")
	p.Calendar = p.Calendar[1:2]
	assert.Empty(t, book(t, p).Yields())
}

// A chore is on its dates and changes no light: 2027-02-07 is a Sunday.
func TestChores(t *testing.T) {
	p := tank()
	p.Chores = []plan.Chore{{Name: "wipe the lamps", Pattern: "0 0 * * 0"}, {Name: "order salt", From: date("2027-02-10"), To: date("2027-02-10")}}
	b := book(t, p)
	var got []string
	for _, r := range b.Reminders(date("2027-02-01"), date("2027-02-14")) {
		got = append(got, r.Date.String()+" "+r.Title)
	}
	assert.Equal(t, []string{"2027-02-07 wipe the lamps", "2027-02-10 order salt", "2027-02-14 wipe the lamps"}, got)
	assert.Equal(t, b.Usual(date("2027-02-07")).Change, b.On(date("2027-02-07")).Change)
}

func TestTheEndOfALongDimRangeIsAWarning(t *testing.T) {
	p := tank()
	p.Calendar = []plan.CalendarRule{
		{Name: "holiday", From: date("2027-07-01"), To: date("2027-07-14"), Scale: 0.5, Day: day.Usual},
		{Name: "party", From: date("2027-08-01"), To: date("2027-08-02"), Scale: 0.5, Day: day.Usual},
		{Name: "summer", From: date("2027-06-01"), To: date("2027-08-31"), Scale: 0.9, Day: day.Usual},
	}
	_, problems := calendar.New(p)
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].What, "holiday is 14 days at 50 %, so on 2027-07-15 the light rises by 100 % in a day")
}

func TestABadPatternIsAnError(t *testing.T) {
	p := tank()
	p.Calendar = []plan.CalendarRule{{Pattern: "every day", Pos: plan.Pos{Line: 7, Col: 3}}}
	_, problems := calendar.New(p)
	require.True(t, problems.HasErrors())
	assert.Contains(t, problems[0].Error(), "plan.yaml:7:3")
}

func example(t testing.TB) *plan.Plan {
	p, problems := planfile.Load(os.ReadFile, "../../testdata/plans/quay/plan.yaml")
	require.False(t, problems.HasErrors(), problems.Text(nil))
	return p
}

func BenchmarkFiveYearsOfTheExample(b *testing.B) {
	p := example(b)
	for b.Loop() {
		bk, _ := calendar.New(p)
		for d := date("2026-09-01"); d.Year < 2031 || d.Month < 9; d = d.AddDays(1) {
			dated := bk.On(d)
			day.Build(p, d, dated.Day)
		}
	}
}

// Lumen maintenance is projected as Φ = exp(−αt) (US Department of Energy on LM-80 and
// TM-21). At 10 h a day that is 4.2 % a year for L70 at 30,000 h, 2.6 % for L70 and 1.6 %
// for L80 at 50,000 h: the book comes to it by counting a year's hours day by day in a
// table of points 5,000 h apart.
func TestAYearOfLEDs(t *testing.T) {
	for _, c := range []struct{ keeps, at, loss float64 }{{0.7, 30000, 0.042}, {0.7, 50000, 0.026}, {0.8, 50000, 0.016}} {
		p := tank()
		p.Day[0].Daylight.Sunset = plan.Ramp{From: 16 * 3600, To: 18 * 3600} // 8 to 18
		for h := 0.0; h <= c.at; h += 5000 {
			p.Channels[0].Ageing = append(p.Channels[0].Ageing, plan.AgePoint{Hours: h, Share: math.Pow(c.keeps, h/c.at)})
		}
		p.Channels[0].Installed = date("2026-03-01")
		assert.InDelta(t, 1-c.loss, book(t, p).On(date("2027-03-01")).Age[0], 6e-4)
	}
}
