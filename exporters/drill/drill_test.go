package drill

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

const hour = 3600.0

func response(t require.TestingT, kind string, lo, hi float64) dimmer.Response {
	r, err := dimmer.FromSpec(dimmer.Spec{Kind: kind, Range: [2]float64{lo, hi}})
	require.NoError(t, err)
	return r
}

func dims(t require.TestingT, name, channel string, points ...port.Point) timetable.Port {
	return timetable.Port{Port: port.Port{Controller: "rack", Name: name, Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Lamps: []port.Lamp{{Channel: channel, Response: response(t, "linear", 0, 10)}}},
		Points: points}
}

func outlet(t require.TestingT, name, channel string, points ...port.Point) timetable.Port {
	return timetable.Port{Port: port.Port{Controller: "outlets", Name: name, Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: channel, Response: response(t, "linear", 0, 1)}}},
		Points: points}
}

// bench is a coral under blue and white (100 and 50 µmol m⁻² s⁻¹ at full light),
// with limits DLI 1 to 6 and 120 µmol m⁻² s⁻¹.
func bench() (*plan.Plan, light.Field) {
	p := &plan.Plan{
		Channels: []plan.Channel{{Name: "blue"}, {Name: "white"}, {Name: "tubes"}},
		Zones:    []plan.Zone{{Name: "shelf", DLIMin: 1, DLIMax: 6, PPFDMax: 120}},
		Corals:   []plan.Coral{{Name: "a"}},
	}
	return p, light.Field{Corals: [][]light.Cell{{{PPFD: 100}, {PPFD: 50}, {PPFD: 20}}}}
}

func run(t require.TestingT, ports ...timetable.Port) []Outcome {
	p, f := bench()
	out, err := Run(p, f, timetable.Table{Ports: ports}, nil, 0)
	require.NoError(t, err)
	return out
}

func only(t require.TestingT, out []Outcome, k Kind, port string) Place {
	i := slices.IndexFunc(out, func(o Outcome) bool { return o.Kind == k && o.Port == port })
	require.GreaterOrEqual(t, i, 0, "%s of %s was drilled", k, port)
	return out[i].Places[0]
}

// blue: 2 h up to half, 6 h at half, 2 h down, from 08:00 to 18:00: 4 h of full light,
// 1.44 mol. white: level at 40 % from 10:00 to 16:00 but for a minute at both ends.
func blue(t require.TestingT) timetable.Port {
	return dims(t, "1", "blue", port.Point{Time: 8 * hour}, port.Point{Time: 10 * hour, Command: 5},
		port.Point{Time: 16 * hour, Command: 5}, port.Point{Time: 18 * hour})
}

func white(t require.TestingT) timetable.Port {
	return dims(t, "2", "white", port.Point{Time: 10 * hour}, port.Point{Time: 10*hour + 60, Command: 4},
		port.Point{Time: 16 * hour, Command: 4}, port.Point{Time: 16*hour + 60})
}

func TestFullLightByHand(t *testing.T) {
	out := run(t, blue(t))
	full := only(t, out, RestartFull, "")
	assert.InDelta(t, 1.44, full.NormalDLI, 1e-9, "8 h at a mean of half of 100")
	assert.InDelta(t, 50, full.NormalPeak, 1e-6)
	assert.InDelta(t, 8.64, full.DLI, 1e-9, "100 for 86,400 s")
	assert.InDelta(t, 100, full.Peak, 1e-9)
	assert.InDelta(t, 4*hour, full.ReachedS, 0.002, "1.44 mol at 100 take 4 h")
	assert.True(t, full.Over && full.Bleaches && !full.Under)
	assert.InDelta(t, 6, full.DLIRatio(), 1e-9)
	assert.Equal(t, full, only(t, out, WireOpen, "1"), "the only wire")
	dark := only(t, out, RestartDark, "")
	assert.Equal(t, [2]float64{0, 0}, [2]float64{dark.DLI, dark.Peak})
	assert.True(t, dark.Under && !dark.Over && !dark.Bleaches)
	assert.Zero(t, dark.ReachedS)
	assert.Equal(t, dark, only(t, out, ChannelDead, ""))
}

// One wire of two opens: the other goes on, and the hours count both.
func TestOneWireOfTwo(t *testing.T) {
	got := only(t, run(t, blue(t), white(t)), WireOpen, "1")
	normal := 1.44 + 50*0.4*6*hour*1e-6
	assert.InDelta(t, normal, got.NormalDLI, 1e-9, "6 h of 20 on top, its ramps of a minute making one minute")
	assert.InDelta(t, 8.64+normal-1.44, got.DLI, 1e-9)
	assert.InDelta(t, 120, got.Peak, 1e-5)
	assert.InDelta(t, normal/100*1e6, got.ReachedS, 0.01, "before white is lit, at 05:12")
}

// A driver fed through an outlet that is on from 08:00 to 18:00 is full for ten hours.
func TestAnOutletGuardsAnOpenWire(t *testing.T) {
	fed := blue(t)
	fed.Outlet = port.Ref{Controller: "outlets", Port: "9"}
	supply := outlet(t, "9", "", port.Point{Time: 8 * hour, Command: 1}, port.Point{Time: 18 * hour})
	out := run(t, fed, supply)
	named := supply
	named.Lamps = []port.Lamp{port.SwitchLamp("blue")} // an outlet may bear the name of the channel it feeds
	for _, got := range []Place{only(t, out, WireOpen, "1"), only(t, run(t, fed, named), WireOpen, "1")} {
		assert.InDelta(t, 1.44, got.NormalDLI, 1e-9)
		assert.InDelta(t, 3.6, got.DLI, 1e-9)
		assert.InDelta(t, 12*hour, got.ReachedS, 0.01, "four hours after 08:00")
	}
	for _, o := range out { // and a dead outlet is a dark lamp, a stuck one changes nothing
		if o.Controller == "outlets" && o.Kind == RestartDark {
			assert.Zero(t, o.Places[0].DLI)
		}
		if o.Controller == "outlets" && o.Kind == RestartFull {
			assert.InDelta(t, 1.44, o.Places[0].DLI, 1e-9)
		}
	}
}

func TestClocksByHand(t *testing.T) {
	out := run(t, blue(t))
	// From 12:00 it plays 13:00 to 24:00 and an hour of the next night: an hour of 50 is lost.
	assert.InDelta(t, 1.44-50*hour*1e-6, only(t, out, ClockAhead, "").DLI, 1e-9)
	behind := only(t, out, ClockBehind, "")
	assert.InDelta(t, 1.44+50*hour*1e-6, behind.DLI, 1e-9, "and comes twice when it is set back")
	// the day has 1.62 mol; 0.18 before its end 1.44 are reached: 0.18 mol are left in the
	// last two hours (17:00 to 19:00), whose ramp from 50 to 0 is just that
	assert.InDelta(t, 17*hour, behind.ReachedS, 0.1)
	assert.InDelta(t, 50, behind.Peak, 1e-5)
	assert.False(t, behind.Over || behind.Bleaches)
	noon := only(t, out, StopsAtNoon, "")
	assert.InDelta(t, 50*86400e-6, noon.DLI, 1e-9)
	assert.InDelta(t, 8*hour, noon.ReachedS, 0.002, "counted from noon")
	assert.True(t, noon.Bleaches)
	assert.InDelta(t, 1, noon.PeakRatio(), 1e-6)
	assert.Zero(t, only(t, out, StopsAtNight, "").DLI)
}

// Without its last point, 18:00 0 V, the ramp goes from 5 V at 16:00 to 0 V at 08:00.
func TestTheLastPointLostByHand(t *testing.T) {
	got := only(t, run(t, blue(t)), LastLost, "")
	assert.InDelta(t, (1*hour*50+6*hour*50+8*hour*50)*1e-6, got.DLI, 1e-9, "2 h up, 6 h level, 16 h down")
	assert.InDelta(t, 50, got.Peak, 1e-5)
	assert.True(t, got.Bleaches, "%g", got.DLIRatio())
}

func TestSwappedByHand(t *testing.T) {
	got := only(t, run(t, blue(t), white(t)), Swapped, "1 and 2")
	assert.InDelta(t, 100*0.4*6*hour*1e-6+50*4*hour*1e-6, got.DLI, 1e-9)
	assert.InDelta(t, 65, got.Peak, 1e-4, "40 of blue and 25 of white")
}

// Two ports of one channel share it; ageing counts.
func TestTwoPortsOfAChannelAndAge(t *testing.T) {
	p, f := bench()
	second := blue(t)
	second.Name = "2"
	out, err := Run(p, f, timetable.Table{Ports: []timetable.Port{blue(t), second}}, []float64{0.8, 1, 1}, 0)
	require.NoError(t, err)
	one := only(t, out, WireOpen, "2")
	assert.InDelta(t, 0.8*1.44, one.NormalDLI, 1e-9)
	assert.InDelta(t, 0.8*(1.44/2+8.64/2), one.DLI, 1e-9)
	assert.False(t, slices.ContainsFunc(out, func(o Outcome) bool { return o.Kind == Swapped }), "alike ports cannot be swapped")
}

func TestEveryFaultIsDrilled(t *testing.T) {
	out := run(t, blue(t), white(t), outlet(t, "1", "tubes", port.Point{Time: 12 * hour, Command: 1}, port.Point{Time: 15 * hour}))
	var kinds []Kind
	for _, o := range out {
		kinds = append(kinds, o.Kind)
		assert.NotEmpty(t, o.Kind.Help())
	}
	assert.Equal(t, Kinds, slices.Compact(kinds))
	assert.Len(t, out, 2+3+2*6+1+1)
	tubes := slices.IndexFunc(out, func(o Outcome) bool { return o.Kind == ChannelDead && o.Channel == "tubes" })
	assert.InDelta(t, 1.44+20*0.4*0+50*0.4*6*hour*1e-6, out[tubes].Places[0].DLI, 1e-9)
}

func TestWorstIsTheBrightestBeforeTheDarkest(t *testing.T) {
	p, f := bench()
	p.Corals = append(p.Corals, plan.Coral{Name: "b"})
	f.Corals = append(f.Corals, []light.Cell{{PPFD: 10}, {PPFD: 100}, {}})
	dim := dims(t, "2", "white", port.Point{Time: 10 * hour}, port.Point{Time: 11 * hour, Command: 1}, port.Point{Time: 12 * hour})
	out, err := Run(p, f, timetable.Table{Ports: []timetable.Port{blue(t), dim}}, nil, 0)
	require.NoError(t, err)
	i := slices.IndexFunc(out, func(o Outcome) bool { return o.Kind == Swapped })
	require.Less(t, out[i].Places[0].DLIRatio(), 0.6, "a loses most of its light")
	assert.Equal(t, 1, out[i].Worst, "but b, under a white that is as blue was, may bleach")
}

func anyTable(t *rapid.T) timetable.Table {
	points := func(switched bool) []port.Point {
		n := rapid.IntRange(1, 6).Draw(t, "n")
		minutes := rapid.SliceOfNDistinct(rapid.IntRange(0, 1439), n, n, rapid.ID).Draw(t, "minutes")
		slices.Sort(minutes)
		var out []port.Point
		for i, m := range minutes {
			c := float64(rapid.IntRange(0, 100).Draw(t, "tenths")) / 10
			if switched {
				c = float64(i % 2)
			}
			out = append(out, port.Point{Time: 60 * float64(m), Command: c})
		}
		return out
	}
	var out timetable.Table
	for i, channel := range []string{"blue", "white"} {
		p := dims(t, string(rune('1'+i)), channel, points(false)...)
		p.Hold = rapid.Bool().Draw(t, "hold")
		kind := rapid.SampledFrom([]string{"linear", "square", "log"}).Draw(t, "kind")
		p.Lamps[0].Response = response(t, kind, 0, 10)
		if rapid.Bool().Draw(t, "cut-in") {
			p.Lamps[0].Response, _ = p.Lamps[0].Response.WithOffBelow(1.2)
		}
		if rapid.Bool().Draw(t, "fed") {
			p.Outlet = port.Ref{Controller: "outlets", Port: "1"}
		}
		out.Ports = append(out.Ports, p)
	}
	out.Ports = append(out.Ports, outlet(t, "1", "tubes", points(true)...))
	return out
}

// Every number against sums of the light itself at 20,000 moments.
func TestAgainstSampling(t *testing.T) {
	p, f := bench()
	rapid.Check(t, func(t *rapid.T) {
		table := anyTable(t)
		s, err := newSystem(p, table)
		require.NoError(t, err)
		f := f
		if rapid.Bool().Draw(t, "aside") { // a rack hangs elsewhere, up to midnight and beyond by the controller's clock
			from := float64(rapid.IntRange(0, 1300).Draw(t, "from")) * 60
			a := light.Aside{From: from, To: min(from+float64(rapid.IntRange(1, 700).Draw(t, "for"))*60, port.Day), Corals: [][]light.Cell{{{PPFD: 30}, {PPFD: 90}, {PPFD: 5}}}}
			f.Asides = []light.Aside{a}
			s = s.aside(f.Spans(), float64(rapid.SampledFrom([]int{0, 3600, -1800}).Draw(t, "shift")))
		}
		places := placesOf(p, f, s, nil)[0].full
		faults := s.faults()
		ft := faults[rapid.IntRange(0, len(faults)-1).Draw(t, "fault")]
		d := s.day(ft)
		hung := func(at float64) []float64 {
			full := places[0]
			for _, span := range s.spans {
				if now := at + ft.begin; now >= span[0] && now < span[1] || now-port.Day >= span[0] && now-port.Day < span[1] || now+port.Day < span[1] {
					full = places[1]
				}
			}
			return full
		}
		lit := func(at float64) (y float64) {
			for k, l := range d.lamps {
				y += hung(at)[k] * l.At(at)
			}
			return y
		}
		const n = 20000
		sum, top := 0.0, 0.0
		for i := range n {
			y := lit((float64(i) + 0.5) * port.Day / n)
			sum, top = sum+y*port.Day/n*1e-6, max(top, y)
		}
		dli, peak := d.sums(places)
		assert.InDelta(t, sum, dli, 170*port.Day/n*30*1e-6, "at most a step off at each jump")
		assert.GreaterOrEqual(t, peak, top-1e-4)
		near := math.Inf(1) // the peak is a value, not a bound
		for _, b := range d.breaks {
			for _, e := range []float64{-1e-5, 1e-5} {
				near = min(near, math.Abs(lit(min(max(b+e, 0), port.Day-1e-5))-peak))
			}
		}
		assert.Less(t, near, 1e-3)

		part := rapid.Float64Range(0.01, 0.99).Draw(t, "part")
		if dli > 1e-3 {
			at, got := d.reached(places, part*dli), 0.0
			for i, from := range d.breaks[:len(d.breaks)-1] {
				to := min(d.breaks[i+1], at)
				for k, l := range d.lamps {
					if to > from {
						got += hung((from + to) / 2)[k] * l.Integral(from, to) * 1e-6
					}
				}
			}
			assert.InDelta(t, part*dli, got, 170e-6*0.002)
		}
	})
}

// However the clock of a lone controller is off all day, the light of 24 h is the same.
func TestAMovedDayHasTheSameLight(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := anyTable(t).Ports[0]
		c, err := p.Course(p.Points)
		require.NoError(t, err)
		at := rapid.Float64Range(0, port.Day).Draw(t, "at")
		assert.InDelta(t, p.Light(c, port.Steady(1))[0].Dose(), p.Light(c.From(at), port.Steady(1))[0].Dose(), 1e-6)
	})
}

func BenchmarkRun8PortsOneCoral(b *testing.B) {
	var ports []timetable.Port
	for i := range 8 {
		p := blue(b)
		p.Name = string(rune('1' + i))
		p.Lamps = []port.Lamp{{Channel: []string{"blue", "white", "tubes"}[i%3], Response: p.Lamps[0].Response}}
		ports = append(ports, p)
	}
	for b.Loop() {
		run(b, ports...)
	}
}

// A rack aside from 12:00 to 14:00, where its lamps give the coral a fifth: by hand.
func TestARackAside(t *testing.T) {
	p, f := bench()
	f.Asides = []light.Aside{{From: 12 * hour, To: 14 * hour, Corals: [][]light.Cell{{{PPFD: 20}, {}, {}}}}}
	out, err := Run(p, f, timetable.Table{Ports: []timetable.Port{blue(t)}}, nil, 0)
	require.NoError(t, err)
	full := only(t, out, RestartFull, "")
	assert.InDelta(t, 1.44-2*hour*0.5*80e-6, full.NormalDLI, 1e-9)
	assert.InDelta(t, 8.64-2*hour*80e-6, full.DLI, 1e-9)
	assert.InDelta(t, 50, full.NormalPeak, 1e-6)
}
