package compile

import (
	"bytes"
	"flag"
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/lowering"
	"dayloom/exporters/playback"
	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// A third of rapid's hundred draws serves from day to day; -rapid.checks=100 draws them all.
func init() { _ = flag.Set("rapid.checks", "33") }

// anyCase is a plan of one port of 2 to 96 points with one to three lamps, and a day of daylight and moonlight;
// and its lamps as the independent player knows them.
func anyCase(t *rapid.T) (*plan.Plan, []lamp) {
	hold, points := rapid.Bool().Draw(t, "hold"), rapid.OneOf(rapid.IntRange(2, 10), rapid.IntRange(2, 96)).Draw(t, "points")
	kind := port.Kind{Signal: port.Volts, Hold: hold, PointsPerDay: points, Step: rapid.SampledFrom([]float64{0.1, 0.05, 0.02}).Draw(t, "step"),
		Range: [2]float64{rapid.SampledFrom([]float64{0, 1}).Draw(t, "lowest"), 10}, TimeStep: rapid.SampledFrom([]float64{60, 60, 300, 900}).Draw(t, "time step")}
	var lamps []lamp
	q := plan.Port{Port: port.Port{Name: "1"}}
	for i := range rapid.SampledFrom([]int{1, 1, 2, 3}).Draw(t, "lamps") {
		l, own := anyLamp(t, kind)
		lamps, q.Lamps, q.Channels = append(lamps, l), append(q.Lamps, own), append(q.Channels, i)
	}
	p := planOf([]plan.Controller{{Name: "rack", Kind: kind, Ports: []plan.Port{q}}}, make([]plan.DayPart, len(lamps))...)
	p.Day = anyDay(t)
	for i := range p.Day {
		p.Day[i].Channels = q.Channels
	}
	p.Corals = []plan.Coral{{Name: "fan"}}
	return p, lamps
}

// anyLamp is a lamp that is never off, has a cut-in, with memory or without, or neither, with a straight response
// or a bent one. A ramp of too few points for a cut-in is refused in plans.
func anyLamp(t *rapid.T, k port.Kind) (lamp, port.Lamp) {
	draw := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	low := k.Range[0]
	l := lamp{table: [][2]float64{{low, 0}, {10, 1}}, off: math.Inf(-1), on: math.Inf(-1)}
	if rapid.Bool().Draw(t, "bent") {
		l.table = [][2]float64{{low, 0}, {draw("bend at", 3, 7), draw("knee", 0.2, 0.8)}, {10, 1}}
	}
	own, spec := port.Lamp{}, dimmer.Spec{Kind: "table", Range: k.Range, Points: l.table}
	switch c := rapid.IntRange(0, 3).Draw(t, "kind"); {
	case c == 1:
		l.table[0][1] = draw("floor", 0.01, 0.15)
		own.NeverOff = true
	case c > 1 && (k.Hold || k.PointsPerDay >= 4):
		l.off = math.Round(100*draw("off below", low+0.1, 2)) / 100
		l.on, spec.OffBelow = l.off, &l.off
		if c == 3 {
			l.on += math.Round(100*draw("hysteresis", 0.01, 0.5)) / 100
			own.OnFrom = l.on
		}
	}
	own.Response, _ = dimmer.FromSpec(spec)
	return l, own
}

// anyDay is daylight at any hour, perhaps twice, and moonlight, perhaps with the moon.
func anyDay(t *rapid.T) (parts []plan.DayPart) {
	draw := func(name string, lo, hi float64) float64 {
		return math.Round(12*rapid.Float64Range(lo, hi).Draw(t, name)) / 12
	}
	at := func(h float64) float64 { return math.Mod(h, 24) }
	for _, top := range rapid.SampledFrom([][]float64{{0.8}, {0.8}, {0.8}, {0.5, 0.3}, {}}).Draw(t, "daylight") {
		up := draw("from", 0, 23.9)
		full := up + draw("rise", 0.25, 4)
		down := full + draw("level", 0.25, 10)
		shape := rapid.SampledFrom([]curve.Shape{curve.Linear, curve.Smooth, curve.Solar, curve.Even}).Draw(t, "shape")
		parts = append(parts, daylight(rapid.Float64Range(0.02, top).Draw(t, "peak"), shape, at(up), at(full), at(down), at(down+draw("fall", 0.25, 4))))
	}
	if len(parts) == 0 || rapid.Bool().Draw(t, "moon") {
		m := moon(rapid.Float64Range(0.01, 0.2).Draw(t, "moonlight"), rapid.SampledFrom([]plan.Phase{plan.Constant, plan.Follow}).Draw(t, "phase"))
		from := draw("moon from", 0, 23.9)
		m.Moonlight.From, m.Moonlight.To = from*hour, at(from+draw("moon for", 0.5, 12))*hour
		parts = append(parts, m)
	}
	return parts
}

// Every table is what compile says of it, and verify ends as compile does: read back, what is claimed is what is
// found, by the proof and by an independent player, second by second; -rapid.checks=2000 draws more.
func TestWhatIsWrittenIsWhatItGives(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p, lamps := anyCase(t)
		d := plan.Date{Year: 2027, Month: 1, Day: rapid.IntRange(1, 28).Draw(t, "date")}
		asked := day.Build(p, d, day.Change{})
		field := light.Field{Corals: [][]light.Cell{make([]light.Cell, len(lamps))}}
		for i := range lamps {
			field.Corals[0][i].PPFD = 100
		}
		share := rapid.Float64Range(0.8, 1.2).Draw(t, "share of the target")
		p.Zones = []plan.Zone{{Name: "all", PPFDMax: math.Inf(1), DLIMax: math.Inf(1), Within: 0.1, DLI: light.DLI(light.Full(field.Corals[0], ones(len(lamps))), asked.Doses()) / share}}
		question := playback.Asked{Day: asked, Field: field, Met: dose.Of(p, field, asked, nil).AllMet()}

		built := Build(p, []Span{{From: d, To: d}}, daysOf(p))
		f, r := readAndPlayed(t, p, built.File, question)
		q := f.Tables[0].Ports[0]
		greatest := 0.0
		for i, l := range lamps {
			pl := player{points: q.Points, hold: q.Hold, lamp: l}
			pl.begin()
			pl.departs(t, asked.Channels[i].Curve, q.TimeStep, r.Ports[i])
			greatest = max(greatest, r.Ports[i].Greatest)
			if got := pl.dose(); i == 0 {
				told(t, built.Lowered[0].Result, got)
			} else {
				assert.InDelta(t, r.Ports[i].DeliveredS, got, 2+1e-4*got)
			}
		}
		assert.InDelta(t, *q.Claim, greatest, 3e-6, "the claim is what is found")
		assert.LessOrEqual(t, len(q.Points), q.PointsPerDay)
		passes(t, q, lamps[0].on)
	})
}

func ones(n int) []float64 { return slices.Repeat([]float64{1}, n) }

// readAndPlayed reads a timetable back from both its forms and plays it as compile does for its exit code, and as
// verify does for its own; these must be one.
func readAndPlayed(t *rapid.T, p *plan.Plan, built timetable.File, q playback.Asked) (f timetable.File, r playback.Result) {
	var json, csv bytes.Buffer
	require.NoError(t, timetable.WriteJSON(&json, built))
	require.NoError(t, timetable.WriteCSV(&csv, built))
	through := func(name string, b []byte) timetable.File {
		f, err := timetable.Read(name, b)
		require.NoError(t, err)
		f, differences := f.Through(p)
		require.Empty(t, differences)
		require.NoError(t, f.Check())
		return f
	}
	f = through("t.json", json.Bytes())
	none := func(int, plan.Date) float64 { return 0 }
	compiled, err := playback.PlayRange(f, p, playback.Question{From: f.Judged[0], To: f.Judged[1], On: func(plan.Date) playback.Asked { return q }, Limit: none, Before: none})
	require.NoError(t, err)
	ends := compiled.Faithful() && compiled.Met() && compiled.Gentle()
	r, err = playback.Play(f, p, q)
	require.NoError(t, err)
	assert.Equal(t, ends, r.Faithful() && r.Met, "verify of the json ends as compile does")

	plain := through("t.csv", csv.Bytes())
	require.False(t, plain.Claimed())
	q.Claims = playback.Claims{}
	for _, port := range built.Tables[0].Ports { // a fresh compilation: Build is the same for the same plan
		q.Claims[port.Ref()] = *port.Claim
	}
	second, err := playback.Play(plain, p, q)
	require.NoError(t, err)
	assert.Equal(t, ends, second.Faithful() && second.Met, "verify of the csv ends as compile does")
	return f, r
}

// told holds the dose that compile tells of against that of the player, and asks for a word where it is off.
func told(t *rapid.T, r lowering.Result, got float64) {
	assert.InDelta(t, r.DoseDelivered, got, 2+1e-4*got, "the dose told")
	said := slices.ContainsFunc(r.Notes, func(n lowering.Note) bool { return n.Kind == lowering.DoseOff })
	if off := math.Abs(got - r.DoseAsked); off > 0.005*r.DoseAsked+2+1e-4*got {
		assert.True(t, said, "the dose is off by %.0f s of %.0f s, and nothing says so", off, r.DoseAsked)
	}
}
