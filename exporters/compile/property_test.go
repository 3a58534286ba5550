package compile

import (
	"bytes"
	"flag"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/proof"
	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/curve"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/port"
)

var cases = flag.Int("ports", 100, "how many random ports are compiled and played")

// lamp is a lamp as the independent player knows it.
type lamp struct {
	table   [][2]float64 // command, light
	off, on float64
}

// light is the lamp's answer while it is lit.
func (l lamp) light(c float64) float64 {
	for i := 1; i < len(l.table); i++ {
		a, b := l.table[i-1], l.table[i]
		if c <= b[0] {
			return a[1] + (b[1]-a[1])*max(c-a[0], 0)/(b[0]-a[0])
		}
	}
	return l.table[len(l.table)-1][1]
}

// anyCase is a port of 2 to 24 points with a day of daylight and, perhaps, moonlight.
func anyCase(t *rapid.T) (*plan.Plan, lamp) {
	draw := func(name string, lo, hi float64) float64 { return rapid.Float64Range(lo, hi).Draw(t, name) }
	l := lamp{table: [][2]float64{{0, 0}, {10, 1}}, off: math.Inf(-1), on: math.Inf(-1)}
	if rapid.Bool().Draw(t, "bent") {
		l.table = [][2]float64{{0, 0}, {4, draw("knee", 0.1, 0.6)}, {10, 1}}
	}
	q := port.Port{Kind: port.Kind{Signal: port.Volts, Range: [2]float64{0, 10}, TimeStep: 60, Hold: rapid.Bool().Draw(t, "hold"),
		Step: rapid.SampledFrom([]float64{0.1, 0.05, 0.02}).Draw(t, "step"), PointsPerDay: rapid.IntRange(8, 24).Draw(t, "points")}}
	spec := dimmer.Spec{Kind: "table", Range: q.Range, Points: l.table}
	own := port.Lamp{}
	switch rapid.IntRange(0, 2).Draw(t, "kind") {
	case 1:
		l.off = math.Round(10*draw("off below", 0.2, 2)) / 10
		l.on, spec.OffBelow = l.off, &l.off
	case 2:
		l.table[0][1] = 0.05
		own.NeverOff = true
	}
	own.Response, _ = dimmer.FromSpec(spec)
	q.Lamps = []port.Lamp{own}
	up, down := draw("up", 6, 9), draw("down", 17, 20)
	shape := rapid.SampledFrom([]curve.Shape{curve.Linear, curve.Smooth, curve.Solar, curve.Even}).Draw(t, "shape")
	parts := []plan.DayPart{daylight(draw("peak", 0.3, 1), shape, up, up+draw("rise", 0.5, 3), down, down+draw("fall", 0.5, 3))}
	c := plan.Controller{Name: "rack", Kind: q.Kind, Ports: []plan.Port{{Port: q, Channels: []int{0}}}}
	c.Ports[0].Name = "1"
	p := planOf([]plan.Controller{c}, parts...)
	if rapid.Bool().Draw(t, "moon") {
		m := moon(draw("moonlight", 0.02, 0.2), plan.Constant)
		m.Moonlight.From, m.Moonlight.To, m.Channels = 23.5*hour, 5*hour, []int{0}
		p.Day = append(p.Day, m)
	}
	p.Corals, p.Zones = []plan.Coral{{Name: "fan"}}, []plan.Zone{{Name: "all", PPFDMax: math.Inf(1)}}
	return p, l
}

// Every table is what compile says of it: read back it is faithful, what it claims is what
// is found, and an independent player, step by step, finds no more and the same dose.
func TestWhatIsWrittenIsWhatItGives(t *testing.T) {
	seen := 0
	rapid.Check(t, func(t *rapid.T) {
		if seen++; seen > *cases {
			return
		}
		p, l := anyCase(t)
		d := plan.Date{Year: 2027, Month: 1, Day: 15}
		built := Build(p, []Span{{From: d, To: d}}, daysOf(p)).File
		var b bytes.Buffer
		require.NoError(t, timetable.WriteJSON(&b, built))
		f, err := timetable.Read("t.json", b.Bytes())
		require.NoError(t, err)
		f, differences := f.Through(p)
		require.Empty(t, differences)
		asked := day.Build(p, d, day.Change{})
		r, err := proof.Play(f, p, proof.Asked{Day: asked, Field: light.Field{Corals: [][]light.Cell{{{PPFD: 100}}}}, Met: true})
		require.NoError(t, err)
		q := f.Tables[0].Ports[0]
		if r.Faithful() {
			assert.InDelta(t, r.Ports[0].DeliveredS, r.Ports[0].AskedS, 0.01*r.Ports[0].AskedS+1e-6)
		}
		assert.InDelta(t, *q.Claim, r.Ports[0].Greatest, 3e-6, "the claim is what is found")
		assert.LessOrEqual(t, len(q.Points), q.PointsPerDay)
		alone(t, q, l, asked.Channels[0].Curve, r.Ports[0])
	})
}

// alone plays a port second by second.
func alone(t *rapid.T, q timetable.Port, l lamp, want curve.Curve, got proof.Port) {
	const per = 5.0
	command := func(s float64) float64 {
		n := len(q.Points)
		i := n - 1
		for k, p := range q.Points {
			if p.Time <= s {
				i = k
			}
		}
		a, b := q.Points[i], q.Points[(i+1)%n]
		if q.Points[0].Time > s {
			a = q.Points[n-1]
			b = q.Points[0]
			a.Time -= 86400
		} else if i == n-1 {
			b.Time += 86400
		}
		if q.Hold || n == 1 {
			return a.Command
		}
		return a.Command + (b.Command-a.Command)*(s-a.Time)/(b.Time-a.Time)
	}
	lit, dose := false, 0.0
	for round := range 2 {
		dose = 0
		for s := per / 2; s < 86400; s += per {
			c := command(s)
			lit = c >= l.on || lit && c >= l.off
			y := 0.0
			if lit {
				y = l.light(c)
			}
			if dose += y * per; round == 0 {
				continue
			}
			if off := math.Abs(y - want.At(s)); off > got.Greatest+1e-5 { // only in a jump's own time step may it be more
				jumps := math.Abs(want.At(s+60)-want.At(s-60)) > 1e-3 || math.Abs(command(s+per)-command(s-per)) > q.Step
				assert.True(t, jumps, "%.4f off at %.0f s, %.4f found", off, s, got.Greatest)
			}
		}
	}
	assert.InDelta(t, got.DeliveredS, dose, 20+2e-3*dose)
}
