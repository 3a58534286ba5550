package compile

import (
	"bytes"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dayloom/exporters/playback"
	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// sixteen is sixteen lamps on four controllers of 24 points by the minute: 0.1 V with
// a cut-in, whole percent held, 16 bits, 8 bits on a logarithmic curve. The last lamp of
// the first so many controllers is moonlight that follows the moon.
func sixteen(t testing.TB, moons int) *plan.Plan {
	off := 1.2
	cutIn, err := dimmer.FromSpec(dimmer.Spec{Kind: "table", Range: [2]float64{0, 10}, OffBelow: &off, Points: [][2]float64{{1.2, 0.07}, {5, 0.45}, {10, 1}}})
	require.NoError(t, err)
	log, err := dimmer.Log(0, 255)
	require.NoError(t, err)
	kinds := []plan.Controller{
		{Name: "volts", Kind: port.Kind{Signal: port.Volts, Range: [2]float64{0, 10}, Step: 0.1}},
		{Name: "held", Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 1, Hold: true}},
		{Name: "fine", Kind: port.Kind{Signal: port.Counts, Range: [2]float64{0, 65535}, Step: 1}},
		{Name: "log", Kind: port.Kind{Signal: port.Counts, Range: [2]float64{0, 255}, Step: 1}},
	}
	responses := []dimmer.Response{cutIn, linear(t, 0, 100), linear(t, 0, 65535), log}
	shapes := []curve.Shape{curve.Smooth, curve.Linear, curve.Solar, curve.Even}
	var parts []plan.DayPart
	for i := range 16 {
		k := i / 4
		kinds[k].TimeStep, kinds[k].PointsPerDay = 60, 24
		kinds[k].Ports = append(kinds[k].Ports, plan.Port{Port: port.Port{Name: string(rune('1' + i%4)), Lamps: []port.Lamp{{Response: responses[k]}}}, Channels: []int{i}})
		up := 7 + float64(i)/8
		if i%4 == 3 && k < moons {
			parts = append(parts, moon(0.2, plan.Follow))
		} else {
			parts = append(parts, daylight(0.5+float64(i)/40, shapes[i%4], up, up+2.5, up+9, up+12))
		}
	}
	p := planOf(kinds, parts...)
	zone, err := time.LoadLocation("Europe/Lisbon")
	require.NoError(t, err)
	p.Clock = plan.Clock{Zone: zone, ZoneName: "Europe/Lisbon"}
	return p
}

func Benchmark16Ports24PointsOneMinuteGrid(b *testing.B) {
	p := sixteen(b, 0)
	d := date(b, "2027-01-15")
	for b.Loop() {
		Build(p, []Span{{From: d, To: d}}, daysOf(p))
	}
}

// A year by the date, across both changes of summer time, written as JSON and CSV: with
// one port, and one on each controller, of moonlight that differs every night.
func BenchmarkYearOf16PortsOneFollowingTheMoon(b *testing.B)  { benchmarkYear(b, sixteen(b, 1)) }
func BenchmarkYearOf16PortsFourFollowingTheMoon(b *testing.B) { benchmarkYear(b, sixteen(b, 4)) }

// everyDay is a plan in which every day differs from its first date on: the season moves
// the hours of six ports, and two follow the moon; 10 points each.
func everyDay(t testing.TB) (p *plan.Plan, curves Curves, from plan.Date) {
	p, from = sixteen(t, 0), date(t, "2027-01-01")
	p.Controllers = p.Controllers[:2]
	for i := range p.Controllers {
		p.Controllers[i].PointsPerDay = 10
		for k := range p.Controllers[i].Ports {
			p.Controllers[i].Ports[k].PointsPerDay = 10
		}
	}
	season := func(d plan.Date) []curve.Curve {
		n := float64(from.DaysUntil(d))
		longer := hour * math.Sin(2*math.Pi*n/365.25)
		var out []curve.Curve
		for i := range 8 {
			up, down := 8*hour+float64(i)*450-longer, 18*hour+float64(i)*450+longer
			if i%4 == 3 {
				out = append(out, curve.Hold(21*hour, 6*hour, 0.1+0.08*math.Sin(2*math.Pi*n/29.53)))
				continue
			}
			shape := curve.Shape(i % 4)
			level := 0.5 + float64(i)/20
			day := curve.Sum(curve.Ramp(up, up+2.5*hour, shape, 0, 1, level-0.07), curve.Hold(up+2.5*hour, down-3*hour, level-0.07), curve.Ramp(down-3*hour, down, shape, 1, 0, level-0.07))
			out = append(out, curve.Sum(day, curve.Hold(up, down, 0.07)))
		}
		return out
	}
	return p, season, from
}

func BenchmarkYearOf8Ports10PointsEveryDayDifferent(b *testing.B) {
	p, season, from := everyDay(b)
	for b.Loop() {
		Build(p, []Span{{From: from, To: from.AddDays(364)}}, season)
	}
}

func benchmarkYear(b *testing.B, p *plan.Plan) {
	from, to := date(b, "2027-01-01"), date(b, "2027-12-31")
	for b.Loop() {
		year(b, p, from, to)
	}
}

func year(b testing.TB, p *plan.Plan, from, to plan.Date) []byte {
	r := Build(p, dated(p, from, to), daysOf(p))
	var json, csv bytes.Buffer
	require.NoError(b, timetable.WriteJSON(&json, r.File))
	require.NoError(b, timetable.WriteCSV(&csv, r.File))
	return json.Bytes()
}

func BenchmarkReadAndVerifyAYearOf16Ports(b *testing.B) {
	p := sixteen(b, 4)
	from, to := date(b, "2027-01-01"), date(b, "2027-12-31")
	data := year(b, p, from, to)
	var cells [][]light.Cell
	for range 8 {
		p.Corals = append(p.Corals, plan.Coral{Name: "fan"})
		cells = append(cells, make([]light.Cell, 16))
		for i := range 16 {
			cells[len(cells)-1][i] = light.Cell{PPFD: 100}
		}
	}
	for b.Loop() {
		f, err := timetable.Read("timetable.json", data)
		require.NoError(b, err)
		r, err := playback.PlayRange(f, p, playback.Question{From: from, To: to,
			On: func(d plan.Date) playback.Asked {
				return playback.Asked{Day: day.Build(p, d, day.Change{}), Field: light.Field{Corals: cells}}
			},
			Limit: func(int, plan.Date) float64 { return 1 }, Before: func(int, plan.Date) float64 { return 0 }})
		require.NoError(b, err)
		require.True(b, r.Kept())
	}
}
