package page

import (
	"context"
	"math"
	"os"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/job"
	"dayloom/photon/colour"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// Two channels that are switched: 100 from 6 to 18 h, 300 on top of it from 12 to 18 h. The box
// is 1440 min by 1000; 500, the round number above the limit, is its top.
func TestStackOfSwitchedChannels(t *testing.T) {
	s := NewStack("x", []Channel{
		{Full: []float64{100}, Curves: []curve.Curve{curve.Hold(6*3600, 18*3600, 1)}, Swatch: colour.Swatch{B: 255}, Lit: true},
		{Full: []float64{600}, Curves: []curve.Curve{curve.Hold(12*3600, 18*3600, 0.5)}, Swatch: colour.Swatch{R: 255, G: 255, B: 255}, Lit: true},
		{Full: []float64{0}, Curves: []curve.Curve{{}}},
	}, 420)
	assert.Equal(t, "M0 1000l360 0l0-200l360 0l0-600l360 0l0 800l360 0", s.Total)
	assert.Equal(t, []string{"1", "2", ""}, []string{s.Layers[0].No, s.Layers[1].No, s.Layers[2].No})
	assert.Equal(t, "50.00%", s.Layers[0].X, "the middle of 6 to 18 h")
	assert.Equal(t, "62.50%", s.Layers[1].X, "the middle of 12 to 18 h")
	assert.Equal(t, []string{"pale", "dark"}, []string{s.Layers[0].Tone, s.Layers[1].Tone})
	assert.Empty(t, s.Layers[2].Fill, "a dark channel is not drawn")
	assert.Equal(t, []string{"16.00%", "limit 420"}, []string{s.Limit, s.LimitText})
	dark := NewStack("x", nil, math.Inf(1))
	assert.Empty(t, dark.Limit)
	assert.Equal(t, "M0 1000l1440 0", dark.Total)
}

// What is left out of a line lies on what is drawn, and its ends stay.
func TestStraightKeepsTheLine(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(1, 60).Draw(t, "points")
		points := make([][2]float64, n)
		for i := range points {
			points[i] = [2]float64{float64(10 * i), rapid.Float64Range(0, 3).Draw(t, "y")}
		}
		got := straight(points)
		assert.Equal(t, points[0], got[0])
		assert.Equal(t, points[n-1], got[len(got)-1])
		for k := 0; k+1 < len(got); k++ {
			a, b := got[k], got[k+1]
			for _, p := range points {
				if p[0] >= a[0] && p[0] <= b[0] {
					assert.InDelta(t, a[1]+(b[1]-a[1])*(p[0]-a[0])/(b[0]-a[0]), p[1], slack*math.Hypot(1, (b[1]-a[1])/(b[0]-a[0]))+1e-9)
				}
			}
		}
	})
}

// Marks that lie over each other are pushed apart as long as there is room, and stay in the drawing.
func TestMarksArePushedApart(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var taken [][2]float64
		at := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) [2]float64 {
			return [2]float64{rapid.Float64Range(0, 700).Draw(t, "x"), rapid.Float64Range(40, 260).Draw(t, "y")}
		}), 1, 12).Draw(t, "marks")
		for _, p := range at {
			var v mark
			before := len(taken)
			v.push(p, [2]float64{0, 300}, &taken)
			assert.Equal(t, v.Pushed, v.Dx != 0 || v.Dy != 0)
			if len(taken) > before {
				here := taken[before]
				assert.True(t, here[1] > 0 && here[1] < 300)
				for _, o := range taken[:before] {
					assert.GreaterOrEqual(t, math.Hypot(o[0]-here[0], o[1]-here[1]), 17.0)
				}
			}
		}
	})
}

// Numbers on an axis are round and rise from nothing; there are at most so many steps.
func TestRuler(t *testing.T) {
	assert.Equal(t, []float64{0, 50, 100, 150, 200}, ruler(240, 8))
	assert.Equal(t, []float64{0, 0.2, 0.4, 0.6000000000000001, 0.8, 1}, ruler(1, 5))
	rapid.Check(t, func(t *rapid.T) {
		length, most := rapid.Float64Range(1e-3, 1e6).Draw(t, "length"), rapid.IntRange(2, 9).Draw(t, "most")
		got := ruler(length, most)
		assert.LessOrEqual(t, len(got), most+1)
		assert.GreaterOrEqual(t, 2.6*float64(len(got)), float64(most), "not needlessly few")
		assert.LessOrEqual(t, got[len(got)-1], length*(1+1e-8))
		assert.GreaterOrEqual(t, roof(length), length)
		assert.LessOrEqual(t, roof(length), 1.7*length)
	})
	assert.Equal(t, 1.0, roof(0))
}

// What the channels of a stack give adds up to the DLI and the peak PPFD that dli tells of the place, also
// while racks are parked aside, on a date of 23 hours, and over an area.
func TestStackAddsUpToTheDLI(t *testing.T) {
	for _, c := range []struct {
		plan   string
		on     plan.Date
		parked bool
	}{
		{"../../testdata/plans/keys/plan.yaml", plan.Date{Year: 2027, Month: 5, Day: 4}, true},
		{"../../testdata/plans/reef/plan.yaml", plan.Date{Year: 2027, Month: 3, Day: 28}, false},
		{"../../cmd/dayloom/starters/nursery/plan.yaml", plan.Date{Year: 2027, Month: 3, Day: 28}, false},
	} {
		j, err := job.Open(context.Background(), job.Question{File: c.plan, Read: os.ReadFile})
		require.NoError(t, err)
		m, err := newMaker(context.Background(), j, Question{Date: c.on})
		require.NoError(t, err)
		assert.Equal(t, c.parked, len(m.on.Field.Asides) > 0)
		field, age := m.on.Field.Spread(m.on.Age)
		for i, place := range slices.Concat(m.dli.Corals, m.dli.Areas) {
			full := light.Full(append(slices.Clone(field.Corals), means(field.Areas)...)[i], age)
			dli, weights, curves := 0.0, []float64(nil), []curve.Curve(nil)
			for _, ch := range m.channels(full, m.seen[i]) {
				dli += light.DLI(ch.Full, ch.DoseS)
				weights, curves = append(weights, ch.Full...), append(curves, ch.Curves...)
			}
			assert.InEpsilon(t, place.DLI, dli, 1e-9, "%s: %s", c.plan, place.Name)
			peak, _ := curve.Peak(curves, weights)
			assert.InEpsilon(t, place.Peak, peak, 1e-6, "%s: %s", c.plan, place.Name)
		}
	}
}

func means(areas []light.Area) (out [][]light.Cell) {
	for _, a := range areas {
		out = append(out, a.Mean)
	}
	return out
}
