package clock

import (
	"testing"
	"time"
	_ "time/tzdata" // where the machine has no zone data

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/plan"
)

func zone(t require.TestingT, name string) *time.Location {
	z, err := time.LoadLocation(name)
	require.NoError(t, err)
	return z
}

func date(t require.TestingT, s string) plan.Date {
	d, err := plan.ParseDate(s)
	require.NoError(t, err)
	return d
}

// ignoring is a day on standard time under a controller that follows summer time.
func ignoring(t require.TestingT, name string) Clock {
	return Of(plan.Clock{Zone: zone(t, name), ZoneName: name})
}

// sunday is the nth Sunday of a month, counted from the end when n is negative.
func sunday(year int, month time.Month, n int) plan.Date {
	d := plan.Date{Year: year, Month: month, Day: 1}
	if n < 0 {
		d = plan.DateOf(d.UTC().AddDate(0, 1, 0))
	}
	for d.Weekday() != time.Sunday {
		d = d.AddDays(1)
	}
	if n > 0 {
		n--
	}
	return d.AddDays(7 * n)
}

// IANA tz database: rule EU (from 1996 on: last Sunday of March and of October,
// 01:00 UTC, 1 h), rule LH (from 2008 on: first Sunday of April and of October,
// 02:00, 30 min), zone Australia/Brisbane (no summer time since 1992), zone
// Asia/Tokyo (none since 1951).
func TestChangesAreThoseOfTheLaw(t *testing.T) {
	for year := 2020; year <= 2050; year++ {
		from, to := plan.Date{Year: year, Month: 1, Day: 1}, plan.Date{Year: year, Month: 12, Day: 31}
		march, october := sunday(year, time.March, -1), sunday(year, time.October, -1)
		want := []Span{{from, march.AddDays(-1), 0}, {march, october.AddDays(-1), 3600}, {october, to, 0}}
		for _, name := range []string{"Europe/Lisbon", "Europe/Berlin", "Atlantic/Azores", "Europe/Dublin"} {
			assert.Equal(t, want, ignoring(t, name).Spans(from, to), name)
		}
		april, first := sunday(year, time.April, 1), sunday(year, time.October, 1)
		assert.Equal(t, []Span{{from, april.AddDays(-1), 1800}, {april, first.AddDays(-1), 0}, {first, to, 1800}},
			ignoring(t, "Australia/Lord_Howe").Spans(from, to))
		assert.Equal(t, []plan.Date{april, first}, ignoring(t, "Australia/Lord_Howe").Changes(from, to))
		for _, name := range []string{"Australia/Brisbane", "Asia/Tokyo", "UTC"} {
			assert.Equal(t, []Span{{from, to, 0}}, ignoring(t, name).Spans(from, to), name)
			assert.Empty(t, ignoring(t, name).Changes(from, to), name)
		}
	}
}

// The four ways of having two clocks, in Lisbon in summer and in winter.
func TestShiftOfEachPairOfClocks(t *testing.T) {
	z := zone(t, "Europe/Lisbon")
	for _, c := range []struct {
		follows, stays bool
		summer         float64
	}{{false, false, 3600}, {true, true, -3600}, {true, false, 0}, {false, true, 0}} {
		got := Of(plan.Clock{Zone: z, FollowsSummerTime: c.follows, ControllerStays: c.stays})
		assert.Equal(t, c.summer, got.ShiftOn(date(t, "2027-07-01")))
		assert.Equal(t, 0.0, got.ShiftOn(date(t, "2027-01-01")))
	}
}

// Standard time where the zone data make it hard to see. Offsets from the IANA
// tz database: Europe/Dublin marks winter as the exception; Africa/Casablanca is
// +01 and goes back to +00 in Ramadan (15 February to 22 March 2026);
// Africa/Windhoek had +02 with a winter at +01 until 2017 and +02 since;
// Europe/Istanbul went from +02 with summer time to +03 on 7 September 2016
// without moving the clock; Pacific/Apia went from -11 to +13, in summer time,
// over the night of 29 to 31 December 2011; Antarctica/Troll has a saving of 2 h.
func TestStandardTime(t *testing.T) {
	for _, c := range []struct {
		zone, at string
		hours    float64
	}{
		{"Europe/Dublin", "2027-01-15", 0}, {"Europe/Dublin", "2027-07-15", 0}, {"Europe/Dublin", "2045-07-15", 0},
		{"Africa/Casablanca", "2026-01-15", 1}, {"Africa/Casablanca", "2026-03-01", 1},
		{"Africa/Windhoek", "2016-07-01", 1}, {"Africa/Windhoek", "2016-12-01", 1}, {"Africa/Windhoek", "2027-01-01", 2},
		{"Europe/Istanbul", "2016-07-01", 2}, {"Europe/Istanbul", "2016-12-01", 3},
		{"Pacific/Apia", "2011-12-15", -11}, {"Pacific/Apia", "2012-01-15", 13}, {"Pacific/Apia", "2012-07-15", 13},
		{"Australia/Lord_Howe", "2027-01-15", 10.5}, {"Antarctica/Troll", "2027-07-15", 0},
		{"America/St_Johns", "2027-07-15", -3.5}, {"Asia/Kathmandu", "2027-07-15", 5.75}, {"UTC", "2027-07-15", 0},
	} {
		clock := ignoring(t, c.zone)
		noon := date(t, c.at).UTC().Add(12 * time.Hour)
		assert.Equal(t, c.hours*3600, float64(clock.offset(noon, false)), "%s %s", c.zone, c.at)
	}
	// The last Ramadan rule above as the plan's day lives it.
	assert.Equal(t, -3600.0, ignoring(t, "Africa/Casablanca").ShiftOn(date(t, "2026-03-01")))
}

// Dates of a change are short or long: 23, 25, 23.5 and 24.5 hours; the date
// that Samoa skipped has none (IANA tz database, as above). Since 2024 Greenland
// changes at 22:00 to 24:00 of Saturday, so that its Saturdays are odd.
func TestLengthsOfDates(t *testing.T) {
	for _, c := range []struct {
		zone, date string
		hours      float64
	}{
		{"Europe/Lisbon", "2027-03-27", 24}, {"Europe/Lisbon", "2027-03-28", 23}, {"Europe/Lisbon", "2027-10-31", 25},
		{"Australia/Lord_Howe", "2027-04-04", 24.5}, {"Australia/Lord_Howe", "2027-10-03", 23.5},
		{"Australia/Brisbane", "2027-10-03", 24}, {"Pacific/Apia", "2011-12-30", 0}, {"Pacific/Apia", "2011-12-31", 24},
		{"America/Nuuk", "2027-03-27", 23}, {"America/Nuuk", "2027-10-30", 25}, {"America/Nuuk", "2027-10-31", 24},
	} {
		assert.Equal(t, c.hours*3600, ignoring(t, c.zone).LengthS(date(t, c.date)), "%s %s", c.zone, c.date)
		stays := Of(plan.Clock{Zone: zone(t, c.zone), FollowsSummerTime: true, ControllerStays: true})
		if c.zone != "Pacific/Apia" { // there the standard time itself jumped
			assert.Equal(t, 86400.0, stays.LengthS(date(t, c.date)), "a clock that stays has no odd dates")
		}
	}
}

var zones = []string{
	"Europe/Lisbon", "Europe/Dublin", "Europe/Istanbul", "Europe/London", "Europe/Moscow", "Atlantic/Azores",
	"Australia/Lord_Howe", "Australia/Brisbane", "Australia/Sydney", "Pacific/Auckland", "Pacific/Chatham",
	"Pacific/Apia", "Pacific/Kiritimati", "Africa/Casablanca", "Africa/Cairo", "Africa/Windhoek", "Asia/Beirut",
	"Asia/Tehran", "Asia/Pyongyang", "Asia/Kathmandu", "Asia/Gaza", "America/New_York", "America/Havana",
	"America/Asuncion", "America/Santiago", "America/Sao_Paulo", "America/Caracas", "America/Nuuk",
	"America/Scoresbysund", "America/Mexico_City", "Antarctica/Troll", "UTC",
}

// Over 16 years of all those zones and both kinds of controller: every instant
// (each quarter of an hour, and the seconds around each change) lies in exactly
// one span, dates never go back but by a clock put back over midnight, and the
// lengths of the dates add up to the time that passed.
func TestEveryInstantHasOneTable(t *testing.T) {
	from, to := plan.Date{Year: 2010, Month: 1, Day: 1}, plan.Date{Year: 2025, Month: 12, Day: 31}
	for _, name := range zones {
		for _, stays := range []bool{false, true} {
			c := Of(plan.Clock{Zone: zone(t, name), FollowsSummerTime: stays, ControllerStays: stays})
			spans := c.Spans(from, to)
			days := 0
			for i, s := range spans {
				days += s.From.DaysUntil(s.To) + 1
				require.False(t, s.To.Before(s.From), name)
				if i > 0 {
					require.Equal(t, spans[i-1].To.AddDays(1), s.From, name)
					require.NotEqual(t, spans[i-1].ShiftS, s.ShiftS, name)
				}
			}
			require.Equal(t, from.DaysUntil(to)+1, days, name)

			sum := 0.0
			for _, s := range spans {
				for d := s.From; !s.To.Before(d); d = d.AddDays(1) {
					sum += c.LengthS(d)
				}
			}
			start, end := c.Start(from), c.Start(to.AddDays(1))
			require.Equal(t, end.Sub(start).Seconds(), sum, name)
			covered(t, c, spans, start, end)
		}
	}
}

func covered(t *testing.T, c Clock, spans []Span, start, end time.Time) {
	check := func(at time.Time) {
		n, m := 0, c.Controller(at)
		for _, s := range spans {
			if !m.Date.Before(s.From) && !s.To.Before(m.Date) {
				n++
			}
		}
		require.Equal(t, 1, n, "%v %v", c.zone, at)
	}
	for at := start; at.Before(end); {
		p := periodAt(c.zone, at)
		stop := end
		if !p.end.IsZero() && p.end.Before(end) {
			stop = p.end
		}
		check(at)
		check(stop.Add(-time.Second))
		// between its ends a period is plain: look at a day behind its start and before its end
		for q := range 96 {
			if u := at.Add(time.Duration(q) * 15 * time.Minute); u.Before(stop) {
				check(u)
			}
			if u := stop.Add(-time.Duration(q) * 15 * time.Minute); u.After(at) && u.Before(end) {
				check(u)
			}
		}
		at = stop
	}
}

// A clock shows at the instant of a moment that moment again, unless the moment
// was skipped; it is then shown later, by what was skipped.
func TestMomentsAndInstants(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := Of(plan.Clock{Zone: zone(t, rapid.SampledFrom(zones).Draw(t, "zone")),
			FollowsSummerTime: rapid.Bool().Draw(t, "follows"), ControllerStays: rapid.Bool().Draw(t, "stays")})
		d := plan.Date{Year: 2010, Month: 1, Day: 1}.AddDays(rapid.IntRange(0, 9490).Draw(t, "day"))
		m := Moment{d, float64(rapid.IntRange(0, 86399).Draw(t, "second"))}
		for _, wall := range []bool{false, true} {
			at := c.instant(m, wall)
			got := show(at, c.offset(at, wall))
			ahead := float64(m.Date.DaysUntil(got.Date))*86400 + got.Second - m.Second
			require.GreaterOrEqual(t, ahead, 0.0)
			if ahead > 0 { // skipped: the offset changed just then, by as much
				require.Equal(t, ahead, float64(c.offset(at, wall)-c.offset(at.Add(-time.Duration(ahead)*time.Second), wall)))
			} else { // and it is the first time it is shown
				require.NotEqual(t, m, show(at.Add(-time.Hour), c.offset(at.Add(-time.Hour), wall)))
			}
		}
		// What the controller plays is what the day's clock shows, but on dates of a change.
		at := c.ControllerInstant(m)
		if c.LengthS(m.Date) == 86400 && c.ShiftOn(m.Date) == float64(c.offset(at, !c.controllerStands)-c.offset(at, c.dayMoves)) {
			require.Equal(t, c.Day(at), c.Played(c.Controller(at)))
		}
	})
}

// Times of RFC 5545, 3.3.5: 01:30 on a date when the clock goes back is the
// first of two; 02:30 on a date when it goes forward (New York, 11 March 2007)
// is 03:30 by the new time, 07:30 UTC.
func TestTimesTwiceAndNever(t *testing.T) {
	c := ignoring(t, "America/New_York")
	twice := c.ControllerInstant(Moment{date(t, "2007-11-04"), 5400})
	assert.Equal(t, "2007-11-04T05:30:00Z", twice.Format(time.RFC3339))
	never := c.ControllerInstant(Moment{date(t, "2007-03-11"), 2*3600 + 1800})
	assert.Equal(t, "2007-03-11T07:30:00Z", never.Format(time.RFC3339))
	assert.Equal(t, Moment{date(t, "2007-03-11"), 3*3600 + 1800}, c.Controller(never))
	assert.Equal(t, Moment{date(t, "2007-03-11"), 2*3600 + 1800}, c.Day(never))
}

func TestPlayedGoesOverMidnight(t *testing.T) {
	c := ignoring(t, "Europe/Lisbon")
	assert.Equal(t, Moment{date(t, "2027-06-30"), 23*3600 + 1800}, c.Played(Moment{date(t, "2027-07-01"), 1800}))
	c = Of(plan.Clock{Zone: zone(t, "Europe/Lisbon"), FollowsSummerTime: true, ControllerStays: true})
	assert.Equal(t, Moment{date(t, "2027-07-02"), 1800}, c.Played(Moment{date(t, "2027-07-01"), 23*3600 + 1800}))
	assert.Equal(t, Moment{date(t, "2027-07-01"), 5}, Clock{}.Played(Moment{date(t, "2027-07-01"), 5}))
	assert.Empty(t, c.Spans(date(t, "2027-07-02"), date(t, "2027-07-01")))
}

func BenchmarkSpansOfTenYears(b *testing.B) {
	c := ignoring(b, "Europe/Dublin")
	for b.Loop() {
		c.Spans(plan.Date{Year: 2027, Month: 1, Day: 1}, plan.Date{Year: 2036, Month: 12, Day: 31})
	}
}
