package dose_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/spectrum"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

const hour = 3600.0

func lit(c curve.Curve) day.Channel { return day.Channel{Curve: c, DoseS: c.Dose()} }

// zone is a plan with one zone and one coral; limits as given, 0 and +Inf: none.
func zone(dli, within, least, most, ppfd float64) *plan.Plan {
	return &plan.Plan{
		Channels: []plan.Channel{{Name: "a"}, {Name: "b"}},
		Zones:    []plan.Zone{{Name: "z", DLI: dli, Within: within, DLIMin: least, DLIMax: most, PPFDMax: ppfd, Corals: []int{0}}},
		Corals:   []plan.Coral{{Name: "fan", X: 0.1, Y: 0.2, Depth: 0.3}},
	}
}

func field(cells ...light.Cell) light.Field {
	return light.Field{Bands: []spectrum.Band{spectrum.PAR}, Corals: [][]light.Cell{cells}}
}

// 200 µmol m⁻² s⁻¹ for 12 h is 8.64 mol m⁻² d⁻¹ (Torres and Lopez 2010, Purdue
// Extension HO-238-W, for the method); with 50 more for 2 h in its middle 9.00, and
// the peak 250.
func TestSumByHand(t *testing.T) {
	d := day.Day{Channels: []day.Channel{lit(curve.Hold(6*hour, 18*hour, 1)), lit(curve.Hold(11*hour, 13*hour, 0.5))}}
	f := field(light.Cell{PPFD: 200, Bands: []float64{200}, Source: light.Model}, light.Cell{PPFD: 100, Bands: []float64{100}, Source: light.Reading})
	c := dose.Of(zone(9, 0.1, 0, math.Inf(1), math.Inf(1)), f, d, nil).Corals[0]
	assert.InDelta(t, 9.00, c.DLI, 1e-12)
	assert.InDelta(t, 250, c.Peak, 1e-9)
	assert.Equal(t, 11*hour, c.PeakAtS)
	assert.InDelta(t, 12*hour, c.LitS, 0.01)
	assert.InDelta(t, 9.00, c.BandDLI[0], 1e-12)
	assert.Equal(t, dose.Met, c.Verdict)
	assert.Equal(t, light.Place{X: 0.1, Y: 0.2, Depth: 0.3}, c.At)

	aged := dose.Of(zone(9, 0.1, 0, math.Inf(1), math.Inf(1)), f, d, []float64{0.5, 1}).Corals[0]
	assert.InDelta(t, 4.32+0.36, aged.DLI, 1e-12, "age takes half of one lamp's light")
	assert.Equal(t, []float64{100, 100}, aged.Full)
}

// JCGM 100:2008 (GUM), 5.1.2 and 5.2.2: independent parts add in squares, fully
// correlated ones straight. Doses 8.64 and 4.32: two models of 25 % give √(2.16² +
// 1.08²); two readings of one 5 % meter give 0.05 · 12.96; scatter adds in squares.
func TestUncertaintyByHand(t *testing.T) {
	d := day.Day{Channels: []day.Channel{lit(curve.Hold(6*hour, 18*hour, 1)), lit(curve.Hold(6*hour, 18*hour, 0.5))}}
	sd := func(a, b light.Cell) float64 {
		a.PPFD, b.PPFD = 200, 200
		a.Bands, b.Bands = []float64{0}, []float64{0}
		return dose.Of(zone(9, 0.1, 0, math.Inf(1), math.Inf(1)), field(a, b), d, nil).Corals[0].SD
	}
	assert.InDelta(t, math.Hypot(2.16, 1.08), sd(light.Cell{Own: 0.25}, light.Cell{Own: 0.25}), 1e-12)
	split := light.Cell{Common: 0.2, Own: 0.15}
	assert.InDelta(t, math.Hypot(0.2*12.96, 0.15*math.Hypot(8.64, 4.32)), sd(split, split), 1e-12)
	assert.InDelta(t, 0.05*12.96, sd(light.Cell{Common: 0.05}, light.Cell{Common: 0.05}), 1e-12)
	assert.InDelta(t, math.Hypot(0.05*12.96, 0.02*8.64), sd(light.Cell{Common: 0.05, Own: 0.02}, light.Cell{Common: 0.05}), 1e-12)
}

// A lamp parked aside for half of its 12 h gives half as much meanwhile, and is off by the same share in both places:
// 0.25 · (4.32 + 2.16), straight and not in squares.
func TestUncertaintyOfALampAside(t *testing.T) {
	d := day.Day{Channels: []day.Channel{lit(curve.Hold(6*hour, 18*hour, 1)), lit(curve.Curve{})}}
	dark := light.Cell{Bands: []float64{0}}
	f := field(light.Cell{PPFD: 200, Bands: []float64{0}, Own: 0.25}, dark)
	f.Asides = []light.Aside{{From: 12 * hour, To: 24 * hour, Corals: [][]light.Cell{{{PPFD: 100, Bands: []float64{0}, Own: 0.25}, dark}}}}
	c := dose.Of(zone(9, 0.1, 0, math.Inf(1), math.Inf(1)), f, d, nil).Corals[0]
	assert.InDelta(t, 6.48, c.DLI, 1e-12)
	assert.InDelta(t, 1.62, c.SD, 1e-12)
	assert.Equal(t, []float64{200, 0}, c.Full)
}

// One lamp split into n channels stays unsure of what they have in common:
// √(0.20² + 0.15²/n).
func TestSplittingALampHardlyShrinksItsUncertainty(t *testing.T) {
	for n, want := range map[int]float64{1: 0.25, 4: 0.213600, 8: 0.206912} {
		p := zone(9, 0.1, 0, math.Inf(1), math.Inf(1))
		var d day.Day
		var cells []light.Cell
		for range n {
			d.Channels = append(d.Channels, lit(curve.Hold(6*hour, 18*hour, 1)))
			cells = append(cells, light.Cell{PPFD: 200 / float64(n), Bands: []float64{0}, Common: 0.20, Own: 0.15})
		}
		c := dose.Of(p, field(cells...), d, nil).Corals[0]
		assert.InDelta(t, want, c.SD/c.DLI, 1e-6, "%d channels", n)
	}
}

func TestVerdicts(t *testing.T) {
	inf := math.Inf(1)
	d := day.Day{Channels: []day.Channel{lit(curve.Hold(6*hour, 18*hour, 1)), lit(curve.Curve{})}}
	f := field(light.Cell{PPFD: 200, Bands: []float64{0}}, light.Cell{Bands: []float64{0}}) // 8.64, peak 200
	for _, x := range []struct {
		p    *plan.Plan
		want dose.Verdict
	}{
		{zone(8.64, 0.1, 0, inf, inf), dose.Met},
		{zone(7.85455, 0.1, 0, inf, inf), dose.Met}, // 10 % above, to rounding
		{zone(7.85, 0.1, 0, inf, inf), dose.High},
		{zone(9.61, 0.1, 0, inf, inf), dose.Low},
		{zone(9.61, 0.1, 8.7, inf, inf), dose.UnderLimit},
		{zone(8.64, 0.1, 0, 8.6, inf), dose.OverLimit},
		{zone(8.64, 0.1, 0, inf, 199), dose.OverLimit},
		{zone(8.64, 0.1, 0, inf, 200), dose.Met},
	} {
		r := dose.Of(x.p, f, d, nil)
		assert.Equal(t, x.want, r.Corals[0].Verdict, "%+v", x.p.Zones[0])
		assert.Equal(t, x.want == dose.Met, r.AllMet())
	}
	low := zone(12, 0.1, 9, inf, inf)
	r := dose.Of(low, f, d, nil)
	assert.Equal(t, dose.UnderLimit, r.Corals[0].Verdict)
	on := r.Toward(low, []float64{8.5})
	assert.Equal(t, dose.Met, on.Corals[0].Verdict, "a newcomer goes by its own target")
	assert.Equal(t, 8.5, on.Corals[0].Target)
	assert.Equal(t, dose.UnderLimit, r.Corals[0].Verdict, "and the result it came from stays")
}

// An area has the DLI of its mean and the peak of its brightest point.
func TestArea(t *testing.T) {
	p := zone(5, 0.1, 0, math.Inf(1), 250)
	p.Zones[0].Area = &plan.Area{X: [2]float64{0, 1}, Y: [2]float64{0.2, 1.2}, Depth: 0.3}
	d := day.Day{Channels: []day.Channel{lit(curve.Hold(6*hour, 18*hour, 1)), lit(curve.Curve{})}}
	dark := light.Cell{Bands: []float64{0}}
	f := field(dark, dark)
	a := light.Area{Mean: []light.Cell{{PPFD: 200, Bands: []float64{0}}, dark}}
	for _, v := range []float64{100, 200, 300} {
		a.Places = append(a.Places, light.Place{})
		a.Cells = append(a.Cells, []light.Cell{{PPFD: v, Bands: []float64{0}}, dark})
	}
	f.Areas = []light.Area{a}
	r := dose.Of(p, f, d, nil)
	require.Len(t, r.Areas, 1)
	assert.Equal(t, light.Place{X: 0.5, Y: 0.7, Depth: 0.3}, r.Areas[0].At)
	assert.InDelta(t, 8.64, r.Areas[0].DLI, 1e-12)
	assert.InDelta(t, 300, r.Areas[0].Peak, 1e-9)
	assert.Equal(t, dose.OverLimit, r.Areas[0].Verdict)
	assert.InDelta(t, 4.32, r.Areas[0].Least, 1e-9, "the 10th percentile of three is the least")
	assert.InDelta(t, 12.96, r.Areas[0].Most, 1e-9)
}

// DLI is the sum over channels of flux, peak and dose, whatever the curves; no moment
// is above the peak.
func TestDLIIsLinear(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		any := func(label string) curve.Curve {
			from, to := rapid.IntRange(0, 86399).Draw(t, label), rapid.IntRange(0, 86399).Draw(t, label)
			return curve.Ramp(float64(from), float64(to), curve.Shape(rapid.IntRange(0, 3).Draw(t, "shape")), 0, 1, rapid.Float64Range(0, 1).Draw(t, "peak"))
		}
		a, b := any("a"), any("b")
		d := day.Day{Channels: []day.Channel{lit(a), lit(b)}}
		fa, fb := rapid.Float64Range(0, 500).Draw(t, "fa"), rapid.Float64Range(0, 500).Draw(t, "fb")
		c := dose.Of(zone(1, 0.1, 0, math.Inf(1), math.Inf(1)), field(light.Cell{PPFD: fa, Bands: []float64{0}}, light.Cell{PPFD: fb, Bands: []float64{0}}), d, nil).Corals[0]
		assert.InDelta(t, (fa*a.Dose()+fb*b.Dose())*1e-6, c.DLI, 1e-9)
		s := float64(rapid.IntRange(0, 86399).Draw(t, "s"))
		assert.LessOrEqual(t, fa*a.At(s)+fb*b.At(s), c.Peak*(1+1e-6)+1e-9)
		assert.GreaterOrEqual(t, c.LitS, 0.0)
	})
}
