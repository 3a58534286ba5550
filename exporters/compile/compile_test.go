package compile

import (
	"bytes"
	"runtime"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// rows are the points of a port of the first table, as h:mm and command.
func rows(t *testing.T, f timetable.File, controller, port string) map[string]float64 {
	t.Helper()
	for _, p := range f.Tables[0].Ports {
		if p.Controller == controller && p.Name == port {
			out := map[string]float64{}
			for _, q := range p.Points {
				out[timetable.TimeOfDay(q.Time)] = q.Command
			}
			return out
		}
	}
	t.Fatalf("no port %s of %s", port, controller)
	return nil
}

func built(t *testing.T, p *plan.Plan) Result {
	t.Helper()
	d := date(t, "2027-01-15")
	return Build(p, []Span{{From: d, To: d, ShiftS: clock.Of(p.Clock).ShiftOn(d)}}, daysOf(p))
}

// A trapezium in whole percent has its own four corners as points, and a switch its two
// times (by hand).
func TestCornersOfATrapezium(t *testing.T) {
	p := planOf([]plan.Controller{percent(t, "rack", 0), outlets(60, 1)},
		daylight(0.5, curve.Linear, 8, 10, 16, 18), plan.DayPart{Switched: &plan.Switched{On: 12 * hour, Off: 15.5 * hour}})
	r := built(t, p)
	assert.Equal(t, map[string]float64{"08:00": 0, "10:00": 50, "16:00": 50, "18:00": 0}, rows(t, r.File, "rack", "1"))
	assert.Equal(t, map[string]float64{"12:00": 1, "15:30": 0}, rows(t, r.File, "outlets", "1"))
	require.Len(t, r.Lowered, 2)
	assert.InDelta(t, 0.5*8*hour, r.Lowered[0].Result.DoseAsked, 1e-6)
	assert.Equal(t, timetable.Clock{Zone: "UTC"}, r.File.Clock)
}

// Two ports of a channel each follow the whole of it, whatever their controllers.
func TestTwoPortsForOneChannel(t *testing.T) {
	held := percent(t, "held", 0)
	held.Hold, held.PointsPerDay = true, 4
	r := built(t, planOf([]plan.Controller{percent(t, "rack", 0), held}, daylight(0.5, curve.Linear, 8, 10, 16, 18)))
	require.Len(t, r.File.Tables[0].Ports, 2)
	for _, l := range r.Lowered {
		assert.InEpsilon(t, 0.5*8*hour, l.Result.DoseDelivered, 0.005, l.Controller)
	}
}

// neverDark is a 1-10 V driver of channel a with its outlet 1, in the plan by the names given.
func neverDark(t *testing.T, switches plan.Controller) *plan.Plan {
	c := plan.Controller{Name: "drivers", Kind: port.Kind{Signal: port.Volts, Range: [2]float64{1, 10}, Step: 0.1, PointsPerDay: 12, TimeStep: 60}, Ports: []plan.Port{
		{Port: port.Port{Name: "1", Outlet: port.Ref{Controller: "outlets", Port: "1"}, Lamps: []port.Lamp{{Response: lowest(t)}}}, Channels: []int{0}},
	}}
	return planOf([]plan.Controller{c, switches}, daylight(0.5, curve.Linear, 8, 9, 17, 18))
}

// By hand: up to half light in an hour, the lamp's 10 % is reached after 12 min; until
// then 12 min · 10 % / 2 are asked, which is 10 % for 6 min. So on at 08:06, and off at
// 17:54. With an outlet of its own for the channel it is the same.
func TestOutletOfALampThatIsNeverDark(t *testing.T) {
	for _, channel := range []int{-1, 0} {
		r := built(t, neverDark(t, outlets(60, channel)))
		assert.Equal(t, map[string]float64{"08:06": 1, "17:54": 0}, rows(t, r.File, "outlets", "1"))
		require.Len(t, r.Lowered, 1, "the outlet follows its port, not the channel")
		assert.InEpsilon(t, 0.5*9*hour, r.Lowered[0].Result.DoseDelivered, 0.005)
	}
	// on coarser steps of its own: the nearest of them
	assert.Equal(t, map[string]float64{"08:00": 1, "18:00": 0}, rows(t, built(t, neverDark(t, outlets(900, -1))).File, "outlets", "1"))
	assert.Equal(t, map[string]float64{"08:10": 1, "17:50": 0}, rows(t, built(t, neverDark(t, outlets(600, -1))).File, "outlets", "1"))
}

// A lamp that can be dark by itself has its supply for every step in which it shows
// light; of two on one outlet either is enough.
func TestOutletOfLampsThatCanBeDark(t *testing.T) {
	c := percent(t, "rack", 0, 1)
	for i := range c.Ports {
		c.Ports[i].Outlet = port.Ref{Controller: "outlets", Port: "1"}
	}
	p := planOf([]plan.Controller{c, outlets(3600, -1)}, daylight(0.5, curve.Linear, 8, 10, 16, 18), daylight(0.5, curve.Linear, 9.5, 10, 18, 19.25))
	assert.Equal(t, map[string]float64{"08:00": 1, "20:00": 0}, rows(t, built(t, p).File, "outlets", "1"))
	p.Day = nil // nothing is lit: off all day
	assert.Equal(t, map[string]float64{"00:00": 0}, rows(t, built(t, p).File, "outlets", "1"))
}

func TestAnOutletThatFeedsNothingIsLeftOut(t *testing.T) {
	p := planOf([]plan.Controller{percent(t, "rack", 0), outlets(60, -1)}, daylight(0.5, curve.Linear, 8, 10, 16, 18))
	assert.Len(t, built(t, p).File.Tables[0].Ports, 1)
}

// Days that are the same are one table, however long; the moon makes one a night where
// its level is told apart.
func TestEqualDaysAreOneTable(t *testing.T) {
	p := planOf([]plan.Controller{percent(t, "rack", 0, 1)}, daylight(0.5, curve.Linear, 8, 10, 16, 18), moon(0.9, plan.Constant))
	from, to := date(t, "2027-01-01"), date(t, "2027-01-30")
	r := Build(p, dated(p, from, to), daysOf(p))
	require.Len(t, r.File.Tables, 1)
	assert.Equal(t, to, r.File.Tables[0].To)
	require.Len(t, r.Lowered, 2)
	p.Day[1].Moonlight.Phase = plan.Follow
	r = Build(p, dated(p, from, to), daysOf(p))
	assert.Greater(t, len(r.File.Tables), 20, "most nights differ by a percent")
}

func TestOpenEnded(t *testing.T) {
	p := planOf([]plan.Controller{percent(t, "rack", 0)}, daylight(0.5, curve.Linear, 8, 10, 16, 18))
	d := date(t, "2027-01-15")
	r := Build(p, []Span{{From: d}}, daysOf(p))
	require.Len(t, r.File.Tables, 1)
	assert.Equal(t, d, r.File.Tables[0].From)
	assert.True(t, r.File.Tables[0].To.IsZero())
	assert.Empty(t, r.Notes)
	// Lisbon's clock moves on 28 March 2027 (IANA tz database); a controller that stays does not
	zone, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	p.Clock = plan.Clock{Zone: zone, ZoneName: "Europe/Lisbon"}
	r = Build(p, []Span{{From: d}}, daysOf(p))
	require.Len(t, r.Notes, 1)
	assert.Contains(t, r.Notes[0], "From 2027-03-28 the controller's clock is 60 min ahead of the plan")
	assert.Empty(t, Build(p, []Span{{From: d, To: d}}, daysOf(p)).Notes)
	p.Clock.ControllerStays = true
	assert.Empty(t, Build(p, []Span{{From: d}}, daysOf(p)).Notes)
}

// Zones without summer time, with it north and south, with half an hour of it, with
// winter as the exception, with a month of exception, and far from UTC (IANA tz database).
var zones = []string{"UTC", "Europe/Lisbon", "Europe/Dublin", "Australia/Lord_Howe", "Australia/Brisbane", "America/St_Johns", "America/Nuuk",
	"Pacific/Auckland", "Pacific/Chatham", "Pacific/Kiritimati", "Africa/Casablanca", "Africa/Cairo", "Asia/Kathmandu", "Antarctica/Troll"}

// Every moment of a year has exactly one table, and it gives the light that the plan's
// own clock asks for then, for every zone and kind of clock. On the dates of a change
// the hours before it run by the new table already.
func TestEveryMomentHasOneTable(t *testing.T) {
	from, to := date(t, "2027-01-01"), date(t, "2027-12-31")
	for _, name := range zones {
		for k := range 4 {
			p := planOf([]plan.Controller{percent(t, "rack", 0)}, daylight(0.5, curve.Linear, 8, 10, 16, 18))
			zone, err := time.LoadLocation(name)
			require.NoError(t, err)
			p.Clock = plan.Clock{Zone: zone, ZoneName: name, FollowsSummerTime: k&1 > 0, ControllerStays: k&2 > 0}
			r := Build(p, dated(p, from, to), daysOf(p))
			oneTable(t, name, clock.Of(p.Clock), r.File, daysOf(p)(from)[0], from, to)
		}
	}
}

func oneTable(t *testing.T, name string, c clock.Clock, f timetable.File, asked curve.Curve, from, to plan.Date) {
	end, compared := c.Start(to.AddDays(1)), 0
	for at := c.Start(from); at.Before(end); at = at.Add(2*time.Hour + 35*time.Minute) {
		m, found := c.Controller(at), -1
		for i, table := range f.Tables {
			if !m.Date.Before(table.From) && !table.To.Before(m.Date) {
				require.Equal(t, -1, found, "%s: %v is covered twice", name, at)
				found = i
			}
		}
		require.GreaterOrEqual(t, found, 0, "%s: %v is not covered", name, at)
		if own := c.Day(at); c.Played(m) == own {
			lamps, err := f.Tables[found].Light()
			require.NoError(t, err)
			require.InDelta(t, asked.At(own.Second), lamps[0][0].At(m.Second), 1e-9, "%s at %v", name, at)
			compared++
		}
	}
	require.Greater(t, compared, 3300, name) // of 3390
}

// The same bytes whatever the number of processors.
func TestSameOnAnyNumberOfProcessors(t *testing.T) {
	text := func(n int) string {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(n))
		var b bytes.Buffer
		p := sixteen(t, 4)
		require.NoError(t, timetable.WriteJSON(&b, Build(p, dated(p, date(t, "2027-03-26"), date(t, "2027-03-30")), daysOf(p)).File))
		return b.String()
	}
	assert.Equal(t, text(1), text(4))
}

// Ports that can hold the same share the work, and are told of each for itself.
func TestPortsAlike(t *testing.T) {
	p := planOf([]plan.Controller{percent(t, "rack", 0, 0)}, daylight(0.5, curve.Linear, 8, 10, 16, 18))
	b := newBuilder(p)
	d := date(t, "2027-01-15")
	b.collect([]Span{{From: d, To: d}}, daysOf(p))
	assert.Len(t, b.jobs, 1)
	p.Controllers = append(p.Controllers, percent(t, "held", 0))
	p.Controllers[1].Hold = true
	b = newBuilder(p)
	b.collect([]Span{{From: d, To: d}}, daysOf(p))
	assert.Len(t, b.jobs, 2)
	assert.Len(t, built(t, p).Lowered, 3)
}
