package playback

import (
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

const hour = 3600.0

// trapezium is half light from 10:00 to 16:00, with two hours up and two down.
func trapezium() curve.Curve {
	return curve.Sum(curve.Ramp(8*hour, 10*hour, curve.Linear, 0, 1, 0.5), curve.Hold(10*hour, 16*hour, 0.5), curve.Ramp(16*hour, 18*hour, curve.Linear, 1, 0, 0.5))
}

// asked is a day on which each channel has a curve.
func asked(date plan.Date, curves ...curve.Curve) day.Day {
	d := day.Day{Date: date}
	for _, c := range curves {
		d.Channels = append(d.Channels, day.Channel{Curve: c, DoseS: c.Dose()})
	}
	return d
}

// reef is a plan of lamps that each give its one coral 100 µmol m⁻² s⁻¹ at full light.
func reef(clock plan.Clock, lamps ...string) (*plan.Plan, light.Field) {
	p := &plan.Plan{Clock: clock, Corals: []plan.Coral{{Name: "fan"}}, Zones: []plan.Zone{{Name: "all"}}}
	f := light.Field{Corals: [][]light.Cell{nil}}
	for _, name := range lamps {
		p.Channels = append(p.Channels, plan.Channel{Name: name})
		f.Corals[0] = append(f.Corals[0], light.Cell{PPFD: 100})
	}
	return p, f
}

// port is a port in percent that ramps through times in hours and commands.
func percent(t *testing.T, name, channel string, points ...float64) timetable.Port {
	t.Helper()
	r, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	p := timetable.Port{Port: port.Port{Controller: "rack", Name: name, Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 1}, Lamps: []port.Lamp{{Channel: channel, Response: r}}}}
	for i := 0; i < len(points); i += 2 {
		p.Points = append(p.Points, port.Point{Time: points[i] * hour, Command: points[i+1]})
	}
	return p
}

// outlet is a switch that is on from one hour to another.
func outlet(t *testing.T, channel string, on, off float64) timetable.Port {
	t.Helper()
	r, err := dimmer.Linear(0, 1)
	require.NoError(t, err)
	return timetable.Port{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: channel, Response: r}}},
		Points: []port.Point{{Time: on * hour, Command: 1}, {Time: off * hour, Command: 0}}}
}

func open(ports ...timetable.Port) timetable.File {
	return timetable.File{Tables: []timetable.Table{{From: first, Ports: ports}}}
}

var utc = plan.Clock{Zone: time.UTC}

func shown(t *testing.T, f timetable.File, p *plan.Plan, field light.Field, d day.Day, age []float64) Result {
	t.Helper()
	r, err := Play(f, p, Asked{Day: d, Field: field, Age: age})
	require.NoError(t, err)
	require.Len(t, r.Corals, 1)
	return r
}

// By hand: 100 µmol m⁻² s⁻¹ · 50 % · 8 h = 1.44 mol m⁻² d⁻¹. A point put to 60 % adds
// 10 % for half of the two hours before it and of the six after: a tenth of the dose.
func TestAnEditedPointIsNoticed(t *testing.T) {
	p, field := reef(utc, "a")
	d := asked(first, trapezium())
	r := shown(t, open(percent(t, "1", "a", 8, 0, 10, 50, 16, 50, 18, 0)), p, field, d, nil)
	assert.InDelta(t, 1.44, r.Corals[0].AskedDLI, 1e-9)
	assert.InDelta(t, 1.44, r.Corals[0].DeliveredDLI, 1e-9)
	assert.InDelta(t, 50, r.Corals[0].DeliveredPeak, 1e-6)
	assert.Less(t, r.Ports[0].Greatest, 1e-9)
	assert.True(t, r.Kept())

	r = shown(t, open(percent(t, "1", "a", 8, 0, 10, 60, 16, 50, 18, 0)), p, field, d, nil)
	assert.InDelta(t, 1.584, r.Corals[0].DeliveredDLI, 1e-9)
	assert.InDelta(t, 0.1, r.Corals[0].Departure(), 1e-9)
	assert.InDelta(t, 60, r.Corals[0].DeliveredPeak, 1e-6)
	assert.InDelta(t, 0.1, r.Ports[0].Greatest, 1e-9)
	assert.InDelta(t, 10*hour, r.Ports[0].GreatestAtS, 1)
	assert.InDelta(t, 0.5*8*hour, r.Ports[0].AskedS, 1e-6)
	assert.InDelta(t, 0.55*8*hour, r.Ports[0].DeliveredS, 1e-6)
	assert.False(t, r.Kept())
	// the limit is 1 %: 50.3 % for six hours and half of four is 0.6 % more, 50.6 % is 1.2 %
	assert.True(t, shown(t, open(percent(t, "1", "a", 8, 0, 10, 50.3, 16, 50.3, 18, 0)), p, field, d, nil).Kept())
	assert.False(t, shown(t, open(percent(t, "1", "a", 8, 0, 10, 50.6, 16, 50.6, 18, 0)), p, field, d, nil).Kept())
}

func TestAge(t *testing.T) {
	p, field := reef(utc, "a")
	r := shown(t, open(percent(t, "1", "a", 8, 0, 10, 50, 16, 50, 18, 0)), p, field, asked(first, trapezium()), []float64{0.8})
	assert.InDelta(t, 0.8*1.44, r.Corals[0].AskedDLI, 1e-9)
	assert.InDelta(t, 0.8*1.44, r.Corals[0].DeliveredDLI, 1e-9)
	assert.InDelta(t, 40, r.Corals[0].AskedPeak, 1e-6)
}

// A channel without a port is dark; one that has nothing to do is not missed.
func TestMissingPort(t *testing.T) {
	p, field := reef(utc, "a", "b", "spare")
	r := shown(t, open(percent(t, "1", "a", 8, 0, 10, 50, 16, 50, 18, 0)), p, field, asked(first, trapezium(), trapezium(), curve.Curve{}), nil)
	assert.Equal(t, []string{"b"}, r.Missing)
	assert.InDelta(t, 2.88, r.Corals[0].AskedDLI, 1e-9)
	assert.InDelta(t, 1.44, r.Corals[0].DeliveredDLI, 1e-9)
	assert.False(t, r.Kept())
}

// Each of two supplies gives half of the lamps' light: one that fails costs half.
func TestTwoPortsForOneChannel(t *testing.T) {
	p, field := reef(utc, "a")
	r := shown(t, open(percent(t, "1", "a", 8, 0, 10, 50, 16, 50, 18, 0), percent(t, "2", "a", 0, 0)), p, field, asked(first, trapezium()), nil)
	assert.InDelta(t, 0.72, r.Corals[0].DeliveredDLI, 1e-9)
	assert.InDelta(t, 25, r.Corals[0].DeliveredPeak, 1e-6)
	require.Len(t, r.Ports, 2)
	assert.InDelta(t, 0.5, r.Ports[1].Greatest, 1e-9)
}

// A lamp at 10 % and more, cut by an outlet outside 8:00 to 18:00: by hand 10 % all day
// would be 0.864 mol m⁻² d⁻¹, of which the ten hours keep 0.36; the trapezium above
// 10 % adds 40/50 of its 1.44. The outlet is no lamp, also where it has the channel's name.
func TestAnOutletCutsTheSupply(t *testing.T) {
	p, field := reef(utc, "a")
	lamp := percent(t, "1", "a", 8, 10, 10, 50, 16, 50, 18, 10)
	d := asked(first, trapezium())
	r := shown(t, open(lamp), p, field, d, nil)
	assert.InDelta(t, 0.864+1.152, r.Corals[0].DeliveredDLI, 1e-9)
	lamp.Outlet = port.Ref{Controller: "outlets", Port: "1"}
	for _, channel := range []string{"", "a"} {
		r = shown(t, open(lamp, outlet(t, channel, 8, 18)), p, field, d, nil)
		assert.InDelta(t, 0.36+1.152, r.Corals[0].DeliveredDLI, 1e-9)
		assert.InDelta(t, 50, r.Corals[0].DeliveredPeak, 1e-6)
		require.Len(t, r.Ports, 1)
		assert.InDelta(t, 0.1, r.Ports[0].Greatest, 1e-6, "10 % where the curve begins from nothing")
		assert.InDelta(t, (0.1*10+0.4*8)*hour, r.Ports[0].DeliveredS, 1e-6)
	}
	r = shown(t, open(lamp, outlet(t, "", 10, 16)), p, field, d, nil)
	assert.InDelta(t, 100*0.5*6*hour*1e-6, r.Corals[0].DeliveredDLI, 1e-9)
	assert.InDelta(t, 0.5, r.Ports[0].Greatest, 1e-6, "dark until just before 10:00")
}

// What is held can jump on its grid of times and at none but that: half a minute beside the
// grid it may be early or late by the rest of its time step, a minute late is all of it.
func TestJumps(t *testing.T) {
	p, field := reef(utc, "tubes")
	d := asked(first, curve.Hold(12*hour, 15*hour, 1))
	r := shown(t, open(outlet(t, "tubes", 12+1.0/60, 15)), p, field, asked(first, curve.Hold(12*hour+30, 15*hour, 1)), nil)
	assert.Zero(t, r.Ports[0].Greatest)
	r = shown(t, open(outlet(t, "tubes", 12+1.0/60, 15)), p, field, d, nil)
	assert.Equal(t, 1.0, r.Ports[0].Greatest)
	// a held port's own steps are counted: 50 % at once, where the ramp begins at nothing
	q := percent(t, "1", "a", 8, 50, 18, 0)
	q.Hold = true
	p, field = reef(utc, "a")
	assert.InDelta(t, 0.5, shown(t, open(q), p, field, asked(first, trapezium()), nil).Ports[0].Greatest, 1e-6)
	// and the light just before such a step: dark until 10:00 is half off then
	q = percent(t, "1", "a", 10, 50, 17, 0)
	q.Hold = true
	r = shown(t, open(q), p, field, asked(first, trapezium()), nil)
	assert.InDelta(t, 0.5, r.Ports[0].Greatest, 1e-6)
	assert.InDelta(t, 10*hour, r.Ports[0].GreatestAtS, 1e-3)
}

// Lisbon's clock is an hour ahead of standard time from 28 March 2027 to 30 October (IANA
// tz database). A plan on standard time is kept by a table an hour later then; the winter
// table is as much light, but 25 of 50 % off where two hours rise.
func TestSummerTime(t *testing.T) {
	zone, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	p, field := reef(plan.Clock{Zone: zone}, "a")
	winter := percent(t, "1", "a", 8, 0, 10, 50, 16, 50, 18, 0)
	summer := percent(t, "1", "a", 9, 0, 11, 50, 17, 50, 19, 0)
	f := open(winter)
	f.Tables[0].To = plan.Date{Year: 2027, Month: 3, Day: 27}
	f.Tables = append(f.Tables, timetable.Table{From: plan.Date{Year: 2027, Month: 3, Day: 28}, To: plan.Date{Year: 2027, Month: 4, Day: 30}, Ports: []timetable.Port{summer}})
	for _, date := range []plan.Date{{Year: 2027, Month: 3, Day: 27}, {Year: 2027, Month: 3, Day: 28}, {Year: 2027, Month: 3, Day: 29}, {Year: 2027, Month: 4, Day: 30}} {
		r := shown(t, f, p, field, asked(date, trapezium()), nil)
		assert.InDelta(t, 1.44, r.Corals[0].DeliveredDLI, 1e-9, date)
		assert.Less(t, r.Ports[0].Greatest, 1e-9, date)
		r = shown(t, open(winter), p, field, asked(date, trapezium()), nil)
		want := 0.25
		if date.Month == 3 && date.Day == 27 {
			want = 0
		}
		assert.InDelta(t, want, r.Ports[0].Greatest, 1e-9, date)
	}
	_, err = Play(f, p, Asked{Day: asked(plan.Date{Year: 2027, Month: 5, Day: 3}, trapezium()), Field: field})
	assert.ErrorContains(t, err, "nothing for 2027-05-03; it covers 2027-03-01 to 2027-04-30")
}

// The table of a date may list its ports in another order than the first one.
func TestPortsInAnotherOrder(t *testing.T) {
	p, field := reef(utc, "a", "b")
	lit, dark := percent(t, "1", "a", 8, 0, 10, 50, 16, 50, 18, 0), percent(t, "2", "b", 0, 0)
	f := open(lit, dark)
	f.Tables[0].To = first
	f.Tables = append(f.Tables, timetable.Table{From: first.AddDays(1), Ports: []timetable.Port{dark, lit}})
	field.Corals[0][1].PPFD = 900
	r := shown(t, f, p, field, asked(first.AddDays(1), trapezium(), curve.Curve{}), nil)
	assert.InDelta(t, 1.44, r.Corals[0].DeliveredDLI, 1e-9)
	assert.Equal(t, "a", r.Ports[0].Channel)
	assert.Equal(t, 4, r.Ports[0].Points)
}

// Nothing asked is kept by nothing alone.
func TestNothingAsked(t *testing.T) {
	p, field := reef(utc, "a")
	assert.True(t, shown(t, open(percent(t, "1", "a", 0, 0)), p, field, asked(first, curve.Curve{}), nil).Kept())
	assert.False(t, shown(t, open(percent(t, "1", "a", 0, 1)), p, field, asked(first, curve.Curve{}), nil).Kept())
}

// Outlets alone, as a crontab has them: 3 h asked; 2.9 h is 3.3 % less. What is dimmed is
// not looked at, and a switched channel that no port switches is told.
func TestPlaySwitched(t *testing.T) {
	p, _ := reef(utc, "a", "tubes")
	p.Channels[0].Dimmable = true
	d := asked(first, trapezium(), curve.Hold(12*hour, 15*hour, 1))
	r, err := PlaySwitched(open(outlet(t, "tubes", 12, 15)), p, d)
	require.NoError(t, err)
	require.Len(t, r.Ports, 1)
	assert.InDelta(t, 3*hour, r.Ports[0].DeliveredS, 1e-6)
	assert.True(t, r.Ports[0].Kept())
	assert.Empty(t, r.Missing)
	r, err = PlaySwitched(open(outlet(t, "tubes", 12.1, 15)), p, d)
	require.NoError(t, err)
	assert.False(t, r.Ports[0].Kept())
	r, err = PlaySwitched(open(outlet(t, "", 12, 15)), p, d)
	require.NoError(t, err)
	assert.Equal(t, []string{"tubes"}, r.Missing)
	assert.Empty(t, r.Ports)
}
