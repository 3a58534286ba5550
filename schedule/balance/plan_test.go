package balance_test

import (
	"context"
	"math"
	"math/rand/v2"
	"time"

	"dayloom/photon/spectrum"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/diag"
)

var inf = math.Inf(1)

const hour = 3600.0

var ctx = context.Background()

// sketch is a plan with its field, built without emitters: the fluxes are given.
type sketch struct {
	p *plan.Plan
	f light.Field
}

func newSketch(channels int) *sketch {
	s := &sketch{p: &plan.Plan{File: "plan.yaml", Clock: plan.Clock{Zone: time.UTC}, Balance: plan.Balance{PowerMaxW: inf, Spend: plan.HalfSpent}}}
	s.f.Bands = []spectrum.Band{spectrum.NearUV, spectrum.PAR, spectrum.FarRed}
	for c := range channels {
		s.p.Channels = append(s.p.Channels, plan.Channel{Name: string(rune('a' + c)), PowerW: 100, Dimmable: true})
	}
	return s
}

// day lights a channel at peak from 10:00 to 20:00 (36 000 s at full), the peak to be found.
func (s *sketch) day(channel int) {
	s.daylight(channel, 10, 10, 20, 20, curve.Linear)
}

func (s *sketch) daylight(channel int, a, b, c, d float64, shape curve.Shape) {
	s.p.Day = append(s.p.Day, plan.DayPart{Channels: []int{channel}, Daylight: &plan.Daylight{
		Sunrise: plan.Ramp{From: a * hour, To: b * hour, Shape: shape},
		Sunset:  plan.Ramp{From: c * hour, To: d * hour, Shape: shape},
		Peak:    plan.Level{Auto: true},
	}})
}

// coral adds a zone with one coral that gets full[c] from each channel at full output.
func (s *sketch) coral(name string, dli float64, full ...float64) *plan.Zone {
	z := plan.Zone{Name: "zone-" + name, DLI: dli, Within: 0.1, DLIMax: inf, PPFDMax: inf, Corals: []int{len(s.p.Corals)}}
	s.p.Corals = append(s.p.Corals, plan.Coral{Name: name, Zone: len(s.p.Zones)})
	s.p.Zones = append(s.p.Zones, z)
	s.f.Corals = append(s.f.Corals, cells(full))
	return &s.p.Zones[len(s.p.Zones)-1]
}

func cells(full []float64) (out []light.Cell) {
	for _, v := range full {
		out = append(out, light.Cell{PPFD: v, Bands: []float64{0, v, 0}, Source: light.Model, Own: 0.25})
	}
	return out
}

// area adds a zone that is a row of sample points.
func (s *sketch) area(name string, dli float64, points [][]float64) *plan.Zone {
	a := light.Area{Zone: len(s.p.Zones), Nx: len(points), Ny: 1, Mean: cells(make([]float64, len(points[0])))}
	for i, full := range points {
		a.Places = append(a.Places, light.Place{X: float64(i) / 100})
		a.Cells = append(a.Cells, cells(full))
		for c, v := range full {
			a.Mean[c].PPFD += v / float64(len(points))
		}
	}
	s.p.Zones = append(s.p.Zones, plan.Zone{Name: name, DLI: dli, Within: 0.1, DLIMax: inf, PPFDMax: inf, Area: &plan.Area{X: [2]float64{0, 1}, Y: [2]float64{0, 1}}})
	s.f.Areas = append(s.f.Areas, a)
	return &s.p.Zones[len(s.p.Zones)-1]
}

func (s *sketch) switched(channel int, from, to, least float64) {
	s.p.Channels[channel].Dimmable = false
	s.p.Day = append(s.p.Day, plan.DayPart{Channels: []int{channel}, Switched: &plan.Switched{
		AutoOn: true, AutoOff: true, Window: &plan.Window{From: from * hour, To: to * hour, AtLeast: least * hour}}})
}

// lamps is a tank of n channels whose light falls off with the distance along it.
func lamps(n, corals int, seed uint64) *sketch {
	rnd := rand.New(rand.NewPCG(seed, 1))
	s := newSketch(n)
	shapes := []curve.Shape{curve.Linear, curve.Smooth, curve.Solar, curve.Even}
	for c := range n {
		up := 8 + 3*rnd.Float64()
		down := 17 + 2*rnd.Float64()
		s.daylight(c, up, up+1+2*rnd.Float64(), down, down+1+2*rnd.Float64(), shapes[c%4])
		s.p.Channels[c].PowerW = 40 + 160*rnd.Float64()
	}
	for i := range corals {
		name := string(rune('A'+i%26)) + string(rune('a'+i/26))
		z := s.coral(name, 3+9*rnd.Float64(), s.fall(rnd, rnd.Float64())...)
		z.PPFDMax = 250 + 150*rnd.Float64()
	}
	return s
}

func (s *sketch) fall(rnd *rand.Rand, x float64) []float64 {
	n := len(s.p.Channels)
	full := make([]float64, n)
	for c := range full {
		d := (x - (float64(c)+0.5)/float64(n)) / 0.15
		full[c] = (20 + 200/(1+d*d)) * (0.8 + 0.4*rnd.Float64())
	}
	return full
}

func errors(l diag.List) string { return l.Text(nil) }
