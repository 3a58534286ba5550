package follow

import (
	"math"
	"slices"
	"testing"
	"time"
	_ "time/tzdata" // where the machine has no zone data

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/port"
)

func response(t require.TestingT, s dimmer.Spec) dimmer.Response {
	r, err := dimmer.FromSpec(s)
	require.NoError(t, err)
	return r
}

func volts(t require.TestingT, points ...port.Point) timetable.Port {
	return timetable.Port{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Lamps: []port.Lamp{{Channel: "blue", Response: response(t, dimmer.Spec{Kind: "linear", Range: [2]float64{0, 10}})}}},
		Points: points}
}

// cutIn is the same port with a lamp that is dark below 1.2 V and gives 7 % there.
func cutIn(t require.TestingT, points ...port.Point) timetable.Port {
	p, off := volts(t, points...), 1.2
	p.Lamps[0].Response = response(t, dimmer.Spec{Kind: "table", Range: p.Range, OffBelow: &off, Points: [][2]float64{{1.2, 0.07}, {5, 0.45}, {10, 1}}})
	return p
}

func date(t require.TestingT, s string) plan.Date {
	d, err := plan.ParseDate(s)
	require.NoError(t, err)
	return d
}

func lisbon(t require.TestingT) clock.Clock {
	z, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	return clock.Of(plan.Clock{Zone: z})
}

func follower(t require.TestingT, c clock.Clock, tables ...timetable.Table) *Follower {
	f, err := New(timetable.File{Tables: tables}, c)
	require.NoError(t, err)
	return f
}

func at(t require.TestingT, s string) time.Time {
	u, err := time.Parse(time.RFC3339, s)
	require.NoError(t, err)
	return u
}

// By hand: from 0 V at 08:00 to 1 V at 08:10, a tenth of a volt a minute, so each
// tenth is nearest from half a minute before the ramp reaches it.
func TestARampIsRoundedByHand(t *testing.T) {
	p := volts(t, port.Point{Time: 28800}, port.Point{Time: 29400, Command: 1}, port.Point{Time: 30000, Command: 1}, port.Point{Time: 30060})
	var want []port.Point
	for n := 1; n <= 10; n++ {
		want = append(want, port.Point{Time: float64(28800 + 60*n - 30), Command: float64(n) / 10})
	}
	for n := 9; n >= 0; n-- { // down again, six seconds a tenth
		want = append(want, port.Point{Time: float64(30000 + 6*(10-n) - 3), Command: float64(n) / 10})
	}
	assert.Equal(t, want, p.Stair(p.Points))
	s, err := stairsOf(timetable.Table{Ports: []timetable.Port{p}})
	require.NoError(t, err)
	shows := func(second float64) float64 { c, _ := s.at(0, second); return c }
	assert.Equal(t, []float64{0, 0.1, 0}, []float64{shows(0), shows(28830), shows(28829)})
	assert.Equal(t, 28830.0, s.after(100))
	assert.Equal(t, 86400.0, s.after(30057))
}

// By hand: a volt an hour from 0 V at 08:00. The ramp lights the lamp when it
// reaches 1.2 V, at 09:12; rounding would light it at 09:09, at 1.15 V.
func TestDarkStaysDarkToTheCutIn(t *testing.T) {
	p := cutIn(t, port.Point{Time: 8 * 3600}, port.Point{Time: 18 * 3600, Command: 10}, port.Point{Time: 19 * 3600, Command: 0})
	s := p.Stair(p.Points)
	lit := slices.IndexFunc(s, func(r port.Point) bool { return r.Command >= 1.2 })
	assert.Equal(t, port.Point{Time: 9*3600 + 12*60, Command: 1.2}, s[lit])
	dark := slices.IndexFunc(s[lit:], func(r port.Point) bool { return r.Command < 1.2 })
	assert.Equal(t, port.Point{Time: 18*3600 + 8*360 + 48*6, Command: 1.1}, s[lit+dark], "8.8 of 10 V down, at 6 minutes a volt")
}

// Ports whose points lie on the step, with every kind of response.
func anyPort(t *rapid.T) timetable.Port {
	p := timetable.Port{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Hold: rapid.Bool().Draw(t, "hold")}, Lamps: []port.Lamp{{Channel: "blue"}}}}
	var top int
	switch rapid.IntRange(0, 3).Draw(t, "signal") {
	case 0:
		p.Range, p.Step, top = [2]float64{0, 10}, 0.1, 100
	case 1:
		p.Range, p.Step, top = [2]float64{1, 10}, 0.05, 180
	case 2:
		p.Signal, p.Range, p.Step, top = port.Percent, [2]float64{0, 100}, 1, 100
	case 3:
		p.Signal, p.Range, p.Step, top = port.Counts, [2]float64{0, 65535}, 1, 65535
	}
	spec := dimmer.Spec{Kind: rapid.SampledFrom([]string{"linear", "square", "log", "table"}).Draw(t, "kind"), Range: p.Range}
	if spec.Kind == "table" {
		span := p.Range[1] - p.Range[0]
		off := p.Range[0] + 0.117*span // not on the step
		spec.OffBelow, spec.Points = &off, [][2]float64{{p.Range[0], 0.05}, {p.Range[0] + 0.4*span, 0.5}, {p.Range[1], 0.9}}
	}
	p.Lamps[0].Response = response(t, spec)
	n := rapid.IntRange(1, 8).Draw(t, "n")
	minutes := rapid.SliceOfNDistinct(rapid.IntRange(0, 1439), n, n, rapid.ID).Draw(t, "minutes")
	slices.Sort(minutes)
	for _, m := range minutes {
		p.Points = append(p.Points, port.Point{Time: 60 * float64(m), Command: min(math.Round((p.Range[0]+float64(rapid.IntRange(0, top).Draw(t, "level"))*p.Step)*1e9)/1e9, p.Range[1])})
	}
	return p
}

// The staircase against package port, which integrates the ramps in closed form:
// each rung is at most half a second off, which is worth half a second of its
// change of light; several in a second are worth that second's whole change.
func TestTheStaircaseKeepsTheDose(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPort(t)
		played, err := p.Play(p.Points, nil)
		require.NoError(t, err)
		s := p.Stair(p.Points)
		dose, slack := 0.0, 1e-6
		for i, r := range s {
			next, later := port.Day+s[0].Time, s[(i+1)%len(s)]
			if i+1 < len(s) {
				next = later.Time
			}
			light := p.Lamps[0].Response.Fraction(r.Command)
			dose += light * (next - r.Time)
			slack += math.Abs(p.Lamps[0].Response.Fraction(later.Command) - light)
			assert.True(t, r.Time >= 0 && r.Time < port.Day && r.Time == math.Trunc(r.Time))
			assert.True(t, i == 0 || r.Time > s[i-1].Time, "rising")
			onStep := (r.Command - p.Range[0]) / p.Step
			assert.InDelta(t, math.Round(onStep), onStep, 1e-6, "on the step")
		}
		assert.InDelta(t, played[0].Dose(), dose, slack)
	})
}

// Never more than a step from the ramp, a second before or after allowed.
func TestTheStaircaseStaysByTheRamp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyPort(t)
		course, err := p.Course(p.Points)
		require.NoError(t, err)
		s, err := stairsOf(timetable.Table{Ports: []timetable.Port{p}})
		require.NoError(t, err)
		second := rapid.Float64Range(0, 86399).Draw(t, "second")
		near := func(d float64) float64 { return course.Command(second + d) }
		lo, hi := min(near(-1), near(0), near(1)), max(near(-1), near(0), near(1))
		shows, _ := s.at(0, second)
		assert.GreaterOrEqual(t, shows, lo-p.Step*1.000001)
		assert.LessOrEqual(t, shows, hi+p.Step*1.000001)
	})
}

// Whoever applies what Next says, from any instant on, has what At says.
func TestChangesAddUpToTheState(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		first := date(t, "2027-03-20").AddDays(rapid.IntRange(0, 16).Draw(t, "first"))
		a, b := anyPort(t), anyPort(t)
		a2, b2 := a, b
		a2.Points, b2.Points = a.Points[:1], b.Points[1:]
		if len(b2.Points) == 0 {
			b2.Points = b.Points
		}
		b.Name, b2.Name = "2", "2"
		f := follower(t, lisbon(t), timetable.Table{From: first, To: first.AddDays(1), Ports: []timetable.Port{a, b}},
			timetable.Table{From: first.AddDays(2), Ports: []timetable.Port{b2, a2}}) // in another order
		from := f.Begins().Add(time.Duration(rapid.IntRange(0, 3*86400).Draw(t, "from")) * time.Second)
		to := from.Add(time.Duration(rapid.IntRange(0, 3600).Draw(t, "long")) * time.Second)
		state := map[string]float64{}
		for _, c := range f.At(from) {
			state[c.Port] = c.Command
		}
		for u := from; ; {
			next, changes := f.Next(u)
			if changes == nil || next.After(to) {
				break
			}
			require.True(t, next.After(u))
			for _, c := range changes {
				require.True(t, c.At.Equal(next))
				require.NotEqual(t, state[c.Port], c.Command, "told without need")
				state[c.Port] = c.Command
			}
			u = next
		}
		for _, c := range f.At(to) {
			require.Equal(t, c.Command, state[c.Port], "port %s", c.Port)
		}
	})
}

func on(from, to float64) timetable.Port {
	r, _ := dimmer.Linear(0, 1)
	return timetable.Port{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: "tubes", Response: r}}},
		Points: []port.Point{{Time: from, Command: 1}, {Time: to}}}
}

// Lisbon puts its clock forward on 28 March 2027 at 01:00 UTC (IANA tz database,
// rule EU): an outlet that is on from 00:30 to 02:30 on that clock is on for one
// hour that night, and one that is on from 01:10 to 01:50 is not on at all.
func TestTheNightOfSummerTime(t *testing.T) {
	f := follower(t, lisbon(t), timetable.Table{From: date(t, "2027-03-27"), Ports: []timetable.Port{on(1800, 9000)}})
	var got []string
	for u := at(t, "2027-03-27T12:00:00Z"); len(got) < 4; {
		next, changes := f.Next(u)
		got = append(got, changes[0].At.Format(time.RFC3339)+" "+changes[0].Shown)
		u = next
	}
	assert.Equal(t, []string{"2027-03-28T00:30:00Z on", "2027-03-28T02:30:00+01:00 off", "2027-03-29T00:30:00+01:00 on", "2027-03-29T02:30:00+01:00 off"}, got)

	f = follower(t, lisbon(t), timetable.Table{From: date(t, "2027-03-27"), Ports: []timetable.Port{on(4200, 6600)}})
	_, changes := f.Next(at(t, "2027-03-27T12:00:00Z"))
	assert.Equal(t, "2027-03-29T01:10:00+01:00", changes[0].At.Format(time.RFC3339))

	// On 31 October 2027 the hour from 01:00 comes twice, and so does the light.
	_, changes = f.Next(at(t, "2027-10-31T00:20:00Z"))
	assert.Equal(t, "2027-10-31T01:50:00+01:00", changes[0].At.Format(time.RFC3339))
	_, changes = f.Next(changes[0].At)
	assert.Equal(t, "2027-10-31T01:10:00Z", changes[0].At.Format(time.RFC3339))
}

func TestBeforeAndAfterTheTimetable(t *testing.T) {
	f := follower(t, lisbon(t), timetable.Table{From: date(t, "2027-01-02"), To: date(t, "2027-01-03"), Ports: []timetable.Port{on(3600, 7200)}})
	assert.Equal(t, "2027-01-02T00:00:00Z", f.Begins().UTC().Format(time.RFC3339))
	assert.Equal(t, "2027-01-04T00:00:00Z", f.Ends().UTC().Format(time.RFC3339))
	assert.Empty(t, f.At(at(t, "2027-01-01T23:59:59Z")))
	next, changes := f.Next(at(t, "2026-12-25T00:00:00Z"))
	assert.True(t, next.Equal(f.Begins()))
	assert.Len(t, changes, 1, "every port is told at the beginning")
	assert.NotEmpty(t, f.At(at(t, "2027-01-03T23:59:59Z")))
	assert.Empty(t, f.At(f.Ends()))
	_, changes = f.Next(at(t, "2027-01-03T02:00:00Z"))
	assert.Empty(t, changes)
}

func TestNothingEverChanges(t *testing.T) {
	f := follower(t, lisbon(t), timetable.Table{From: date(t, "2027-01-02"), Ports: []timetable.Port{volts(t, port.Point{Time: 60, Command: 4})}})
	next, changes := f.Next(at(t, "2027-03-01T00:00:00Z"))
	assert.True(t, next.IsZero())
	assert.Empty(t, changes)
	assert.True(t, f.Ends().IsZero())
}

func TestCSVCannotBeFollowed(t *testing.T) {
	_, err := New(timetable.File{Tables: []timetable.Table{{Ports: []timetable.Port{
		{Port: port.Port{Name: "1"}},
	}}}}, clock.Clock{})
	assert.ErrorContains(t, err, "follow timetable.json")
}

func BenchmarkNext24PointsPort(b *testing.B) {
	var points []port.Point
	for i := range 24 {
		points = append(points, port.Point{Time: 3600 * float64(i), Command: float64(i % 11)})
	}
	f := follower(b, lisbon(b), timetable.Table{From: date(b, "2027-01-01"), Ports: []timetable.Port{volts(b, points...)}})
	u := f.Begins()
	for b.Loop() {
		u, _ = f.Next(u)
	}
}
