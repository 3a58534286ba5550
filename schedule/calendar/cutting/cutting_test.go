package cutting

import (
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
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

// starter is the starter plan, keyed in, with fixed levels and a season in which the corals' light goes up and
// down by some 15 %.
func starter(t testing.TB) (*plan.Plan, light.Field, *acclimate.Programme) {
	p, problems := planfile.Load(os.ReadFile, "../../../cmd/dayloom/starters/nursery/plan.yaml")
	require.False(t, problems.HasErrors(), problems.Text(nil))
	for i, part := range p.Day {
		if part.Daylight != nil && part.Daylight.Peak.Auto {
			d := *part.Daylight
			d.Peak = plan.Level{Fraction: 0.45}
			p.Day[i].Daylight = &d
		}
	}
	for i := range p.Controllers {
		p.Controllers[i].TablesPerYear = 12
	}
	p.Season = &plan.Season{LatitudeDeg: 41, Share: 0.37}
	p.Acclimation, p.Calendar, p.Relamps = nil, nil, nil
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), problems.Text(nil))
	return p, f, acclimate.New(p, f, acclimate.Options{})
}

// Twelve tables for the starter's year: nobody is further off than by the calendar's months, each with its best
// day, and what is said of the cost holds for the days themselves.
func TestTwelveTablesForTheStarter(t *testing.T) {
	p, f, g := starter(t)
	from, to := date("2027-01-01"), date("2027-12-31")
	c := Of(p, f, g, from, to)
	require.Empty(t, c.Unfit)
	y := newYear(&c, p, f, g, from, 365, false)
	least, most, months := math.Inf(1), 0.0, 0.0
	for d := range 365 {
		v := y.measure[d][0].DLI
		least, most = min(least, v), max(most, v)
	}
	assert.InDelta(t, 0.15, (most-least)/(most+least), 0.02, "the season")
	for first := from; first.Year == 2027; first = plan.DateOf(first.UTC().AddDate(0, 1, 0)) {
		a, b, best := from.DaysUntil(first), from.DaysUntil(plan.DateOf(first.UTC().AddDate(0, 1, 0))), math.Inf(1)
		for r := a; r < b; r++ {
			worst := 0.0
			for d := a; d < b; d++ {
				worst = max(worst, y.dist(r, d))
			}
			best = min(best, worst)
		}
		months = max(months, best)
	}
	t.Logf("season ±%.1f %%, %d tables: greatest departure %.2f %% (%s on %v), by calendar months %.2f %%", 100*(most-least)/(most+least), len(c.Ranges), 100*c.Greatest, c.Name, c.On, 100*months)
	assert.Less(t, math.Abs(c.Greatest), months)

	worst := 0.0
	for d := from; !to.Before(d); d = d.AddDays(1) {
		own, played := dose.Of(p, f, day.Build(p, d, g.Book().On(d).Day), nil), dose.Of(p, f, c.Day(d), nil)
		for i := range own.Corals {
			worst = max(worst, math.Abs(played.Corals[i].DLI/own.Corals[i].DLI-1))
		}
	}
	assert.InDelta(t, math.Abs(c.Greatest), worst, 2e-4, "tubes age, which dose.Of is not told here")
	next := from
	for _, r := range c.Ranges {
		assert.Equal(t, next, r.From)
		assert.False(t, r.Day.Before(r.From) || r.To.Before(r.Day))
		next = r.To.AddDays(1)
	}
	assert.Equal(t, to.AddDays(1), next)
}

// One lamp that steps up by 10 % a week in five steps: with a limit of 15 % five tables keep it and are exact,
// two lose some of it.
func TestStepsThatDoNotFit(t *testing.T) {
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: []plan.Channel{{Name: "lamp", Dimmable: true}}, Corals: []plan.Coral{{Name: "fan"}}, Zones: []plan.Zone{{DLI: 10, Corals: []int{0}}},
		Day: []plan.DayPart{{Channels: []int{0}, Daylight: &plan.Daylight{Sunrise: plan.Ramp{From: 8 * 3600, To: 9 * 3600, Shape: curve.Linear},
			Peak: plan.Level{Fraction: 1}, Sunset: plan.Ramp{From: 18 * 3600, To: 19 * 3600, Shape: curve.Linear}}}},
		Controllers: []plan.Controller{{Ports: []plan.Port{{Channels: []int{0}}}}}}
	first := date("2027-03-01")
	for k := range 5 {
		p.Calendar = append(p.Calendar, plan.CalendarRule{From: first.AddDays(7 * k), To: first.AddDays(7*k + 6), Scale: math.Pow(1.1, float64(k-5)), Day: day.Usual})
	}
	f := light.Field{Corals: [][]light.Cell{{{PPFD: 200}}}}
	g := acclimate.New(p, f, acclimate.Options{})
	p.Controllers[0].TablesPerYear = 52
	c := Of(p, f, g, first, first.AddDays(34))
	assert.Empty(t, c.Unfit)
	assert.Len(t, c.Ranges, 5)
	assert.InDelta(t, 0, c.Greatest, 1e-12)
	p.Controllers[0].TablesPerYear = 20 // two for these dates: from one level to the next, and the others are off
	c = Of(p, f, g, first, first.AddDays(34))
	assert.Empty(t, c.Unfit)
	require.Len(t, c.Ranges, 2)
	assert.InDelta(t, 1-math.Pow(1.1, -2), math.Abs(c.Greatest), 1e-9)

	// a doubling on the very day on which the clocks change fits no table
	lisbon, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	p.Clock.Zone = lisbon
	p.Calendar = []plan.CalendarRule{{From: first, To: date("2027-03-27"), Scale: 0.5, Day: day.Usual}}
	c = Of(p, f, acclimate.New(p, f, acclimate.Options{}), first, first.AddDays(34))
	require.Len(t, c.Unfit, 1)
	assert.Equal(t, "fan", c.Unfit[0].Name)
	assert.Equal(t, date("2027-03-28"), c.Unfit[0].On)
	assert.InDelta(t, 1, c.Unfit[0].Rise, 1e-9)
}

// A quiet Sunday beside the season: Sundays have tables of their own among the twelve, every date has one range, what
// is said of the cost holds, and no other sharing of the tables does better.
func TestTwelveTablesWithAQuietSunday(t *testing.T) {
	p, f, _ := starter(t)
	p.Calendar = []plan.CalendarRule{{Pattern: "0 0 * * 0", Scale: 0.6, Day: day.Usual}}
	g := acclimate.New(p, f, acclimate.Options{})
	from, to := date("2027-01-01"), date("2027-12-31")
	c := Of(p, f, g, from, to)
	require.Empty(t, c.Unfit)
	assert.LessOrEqual(t, len(c.Ranges), 12)
	sundays := 0
	for _, r := range c.Ranges {
		assert.True(t, r.Has(r.Day), "%v", r)
		if r.Days.String() == "sun" {
			sundays++
		} else {
			assert.Equal(t, "mon tue wed thu fri sat", r.Days.String())
		}
	}
	worst := 0.0
	for d := from; !to.Before(d); d = d.AddDays(1) {
		n := 0
		for _, r := range c.Ranges {
			if r.Has(d) {
				n++
			}
		}
		require.Equal(t, 1, n, "%v", d)
		worst = max(worst, costOn(p, f, g, c, d))
	}
	t.Logf("%d tables, %d of Sundays: greatest departure %.2f %%", len(c.Ranges), sundays, 100*c.Greatest)
	assert.InDelta(t, math.Abs(c.Greatest), worst, 1e-9)

	y := newYear(&c, p, f, g, from, 365, false)
	groups := c.weekdays()
	require.Len(t, groups, 2)
	a, b := y.part(groups[0], 12, true), y.part(groups[1], 12, true)
	best := math.Inf(1)
	for n := 1; n < 12; n++ {
		best = min(best, max(a.least(n), b.least(12-n)))
	}
	few := share([]part{a, b}, 12)
	assert.InDelta(t, best, max(a.least(few[0]), b.least(few[1])), 1e-12)
}

// costOn is the greatest departure of a coral or area on a date, by dose.Of.
func costOn(p *plan.Plan, f light.Field, g *acclimate.Programme, c Cutting, d plan.Date) (worst float64) {
	on := g.Book().On(d)
	_, here := on.Moved(p, f)
	own, played := dose.Of(p, here, day.Build(p, d, on.Day), on.Age), dose.Of(p, here, c.Day(d), on.Age)
	for i := range own.Corals {
		worst = max(worst, math.Abs(played.Corals[i].DLI/own.Corals[i].DLI-1))
	}
	for i := range own.Areas {
		worst = max(worst, math.Abs(played.Areas[i].DLI/own.Areas[i].DLI-1))
	}
	return worst
}

// A rack parked aside for some hours counts in the cost of a date, as it does in its light.
func TestAParkedRackCounts(t *testing.T) {
	p, f, _ := starter(t)
	p.Racks = []plan.Rack{{Name: "main", Channels: []int{0}}}
	from, last := date("2027-03-01"), date("2027-03-20")
	p.RackMoves = []plan.RackMove{{Rack: 0, On: last, By: [3]float64{0.5, 0, 0}, From: 16 * 3600, To: 20 * 3600}}
	for i := range p.Controllers {
		p.Controllers[i].TablesPerYear = 20
	}
	g := acclimate.New(p, f, acclimate.Options{})
	c := Of(p, f, g, from, last)
	worst := 0.0
	for d := from; !last.Before(d); d = d.AddDays(1) {
		worst = max(worst, costOn(p, f, g, c, d))
	}
	assert.InDelta(t, worst, math.Abs(c.Greatest), 1e-9)
	y := newYear(&c, p, f, g, from, 20, false)
	there, aside := y.spans, y.dist(0, 19)
	y.spans = make([][][2]float64, 20) // as if it had stayed
	places := y.places[19]
	for i := range places {
		places[i].full = places[i].full[:len(p.Channels)]
	}
	require.Len(t, there[19], 1)
	assert.Greater(t, math.Abs(aside-y.dist(0, 19)), 1e-4)
}
