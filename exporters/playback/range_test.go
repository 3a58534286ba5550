package playback

import (
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

var first = plan.Date{Year: 2027, Month: time.March, Day: 1}

// levels is a written timetable of one port, a constant percentage each day, and the
// plan and question that go with it: one coral that gets 100 µmol m⁻² s⁻¹ at full
// light, so 8.64 mol m⁻² d⁻¹.
func levels(t *testing.T, percent ...float64) (timetable.File, *plan.Plan, Question) {
	t.Helper()
	r, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	var f timetable.File
	for i, v := range percent {
		d := first.AddDays(i)
		f.Tables = append(f.Tables, timetable.Table{From: d, To: d, Ports: []timetable.Port{
			{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: "lamp", Response: r}}},
				Points: []port.Point{{Time: 0, Command: v}}},
		}})
	}
	p := &plan.Plan{Clock: plan.Clock{Zone: time.UTC}, Channels: []plan.Channel{{Name: "lamp"}}, Corals: []plan.Coral{{Name: "fan"}}, Zones: []plan.Zone{{Name: "all"}}}
	field := light.Field{Corals: [][]light.Cell{{{PPFD: 100}}}}
	q := Question{From: first, To: first.AddDays(len(percent) - 1),
		On: func(date plan.Date) Asked {
			return Asked{Day: day.Day{Date: date, Channels: []day.Channel{{DoseS: 864 * percent[first.DaysUntil(date)], Curve: curve.Always(percent[first.DaysUntil(date)] / 100)}}}, Field: field}
		},
		Limit:  func(int, plan.Date) float64 { return 0.15 },
		Before: func(int, plan.Date) float64 { return 0 }}
	return f, p, q
}

func play(t *testing.T, percent ...float64) CoralRange {
	t.Helper()
	r, err := PlayRange(levels(t, percent...))
	require.NoError(t, err)
	require.Len(t, r.Corals, 1)
	return r.Corals[0]
}

// Expected by hand: 100 µmol m⁻² s⁻¹ · 0.4 · 86400 s = 3.456 mol m⁻² d⁻¹; 48/40 is a
// rise of 20 %.
func TestRangeByHand(t *testing.T) {
	c := play(t, 40, 40, 48, 50)
	assert.InDelta(t, 3.456, c.Least.Value, 1e-9)
	assert.InDelta(t, 4.320, c.Most.Value, 1e-9)
	assert.Equal(t, first.AddDays(2), c.Rise.Date)
	assert.InDelta(t, 0.20, c.Rise.Value, 1e-9)
	assert.InDelta(t, 0.20, c.Overnight.Value, 1e-9)
	assert.Equal(t, 1, c.DaysOver, "50/48 is no more than 15 %%")
	assert.Zero(t, c.DaysOff)
}

// Half the day at 80 % has the DLI of a whole day at 40 %, and twice its peak.
func TestAPeakRisesOnItsOwn(t *testing.T) {
	f, p, q := levels(t, 40, 40, 40)
	f.Tables[2].Ports[0].Points = []port.Point{{Time: 0, Command: 80}, {Time: 12 * 3600, Command: 0}}
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	assert.Equal(t, "peak PPFD", r.Corals[0].RiseOf)
	assert.InDelta(t, 1, r.Corals[0].Rise.Value, 1e-9)
	assert.False(t, r.Gentle())
}

// By hand: 40 % for 18 h from where the rack hangs (100) and for 6 h from where it is parked (200) is
// 0.4 · (100 · 18 + 200 · 6) · 3600 s = 4.32 mol m⁻² d⁻¹, at its brightest 0.4 · 200.
func TestAParkedRackIsPlayedFromBothPlaces(t *testing.T) {
	f, p, q := levels(t, 40, 40)
	on := q.On
	q.On = func(date plan.Date) Asked {
		a := on(date)
		a.Field.Asides = []light.Aside{{From: 6 * 3600, To: 12 * 3600, Corals: [][]light.Cell{{{PPFD: 200}}}}}
		return a
	}
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	for _, d := range r.Days {
		assert.InDelta(t, 4.32, d.Corals[0].DeliveredDLI, 1e-9)
		assert.InDelta(t, 4.32, d.Corals[0].AskedDLI, 1e-9)
		assert.InDelta(t, 80, d.Corals[0].DeliveredPeak, 1e-9)
		assert.InDelta(t, 80, d.Corals[0].AskedPeak, 1e-9)
	}
}

// 1 % is not what a coral that usually has 100 % is used to: the base is a twentieth, 5 %.
func TestWhatComesBackIsNoEndlessRise(t *testing.T) {
	f, p, q := levels(t, 1, 1, 1, 1, 1, 1, 1, 5.5)
	q.Usual = func(int, plan.Date) acclimate.Measure { return acclimate.Measure{DLI: 8.64, Peak: 100} }
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	assert.InDelta(t, 0.1, r.Corals[0].Rise.Value, 1e-9)
	assert.True(t, r.Gentle())
}

func TestQuietDayIsNoRise(t *testing.T) {
	c := play(t, 100, 100, 60, 100, 100)
	assert.Zero(t, c.Rise.Value)
	assert.Zero(t, c.DaysOver)
	assert.InDelta(t, 100.0/60-1, c.Overnight.Value, 1e-9)
	assert.Equal(t, first.AddDays(3), c.Overnight.Date)
}

// Seven dim days and a coral is used to them; six and it is not.
func TestDimWeekIsForgotten(t *testing.T) {
	assert.Zero(t, play(t, 100, 60, 60, 60, 60, 60, 60, 100).DaysOver)
	assert.Equal(t, 1, play(t, 100, 60, 60, 60, 60, 60, 60, 60, 100).DaysOver)
}

// Creeping up day by day is judged against the brightest day before, not the first:
// 2/50 is the greatest step.
func TestRiseLooksAtTheMostBefore(t *testing.T) {
	c := play(t, 50, 52, 54, 56, 58, 60)
	assert.Zero(t, c.DaysOver)
	assert.InDelta(t, 0.04, c.Rise.Value, 1e-9)
}

func TestNewcomerRisesFromWhereItCame(t *testing.T) {
	f, p, q := levels(t, 40, 40, 40)
	q.Before = func(_ int, date plan.Date) float64 {
		if date.Before(first.AddDays(1)) {
			return 2.5
		}
		return 0
	}
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	assert.InDelta(t, 3.456/2.5-1, r.Corals[0].Rise.Value, 1e-9)
	assert.Equal(t, first.AddDays(1), r.Corals[0].Rise.Date)
	assert.False(t, r.Gentle())
}

func TestDaysBeforeTheRangeCount(t *testing.T) {
	f, p, q := levels(t, 40, 40, 60)
	q.From = first.AddDays(2)
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	assert.InDelta(t, 0.5, r.Corals[0].Rise.Value, 1e-9)
	assert.InDelta(t, 60*0.0864, r.Corals[0].Least.Value, 1e-9, "days before are not shown")
}

func TestChangedCommandIsOff(t *testing.T) {
	f, p, q := levels(t, 40, 40, 40)
	f.Tables[1].Ports[0].Points[0].Command = 41
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	assert.Equal(t, 1, r.Corals[0].DaysOff)
	assert.InDelta(t, 0.025, r.Corals[0].Off.Value, 1e-9)
	assert.Equal(t, first.AddDays(1), r.Corals[0].Off.Date)
	assert.False(t, r.Kept())
}

func TestRangeOutsideTheFile(t *testing.T) {
	f, p, q := levels(t, 40, 40)
	q.To = q.To.AddDays(3)
	q.On = func(date plan.Date) Asked {
		return Asked{Day: day.Day{Date: date, Channels: []day.Channel{{}}}, Field: light.Field{Corals: [][]light.Cell{{{PPFD: 100}}}}}
	}
	_, err := PlayRange(f, p, q)
	require.ErrorContains(t, err, "the timetable has nothing for 2027-03-04; it covers 2027-03-01 to 2027-03-02")
}

func TestRangeIsTheSameOnAnyNumberOfCores(t *testing.T) {
	want := play(t, 10, 30, 20, 25, 40)
	defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(1))
	assert.Equal(t, want, play(t, 10, 30, 20, 25, 40))
}

// 10 % where 20 % is allowed is less to be told of than 4 % where 5 % is.
func TestTheRiseNearestItsLimitIsTold(t *testing.T) {
	f, p, q := levels(t, 50, 55, 55, 55, 57.2)
	q.Limit = func(_ int, date plan.Date) float64 {
		if date == first.AddDays(1) {
			return 0.20
		}
		return 0.05
	}
	r, err := PlayRange(f, p, q)
	require.NoError(t, err)
	assert.Equal(t, first.AddDays(4), r.Corals[0].Rise.Date)
	assert.Equal(t, 0.05, r.Corals[0].Limit)
}
