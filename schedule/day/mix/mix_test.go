package mix_test

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

const text = `plan: 1
name: x
clock: {zone: UTC}
tank: {length: 100 cm, width: 50 cm, depth: 40 cm}
readings: r.csv
channels:
  white: {flux: 100 umol/s, spectrum: {file: d65.csv}}
  warm:
    flux: 80 umol/s
    spectrum: {peak: 600 nm, width: 80 nm}
    ageing: [[0 h, 100 %], [1000 h, 50 %]]
    emitters: [{point: {at: [50 cm, 25 cm], height: 30 cm}, beam: 120 deg}]
zones:
  z:
    dli: 5
    corals:
      p: {x: 50 cm, y: 25 cm, depth: 20 cm}
day:
  - channels: [white]
    sunrise: {from: "08:00", to: "09:00"}
    peak: 100 %
    sunset: {from: "17:00", to: "18:00"}
  - channels: [warm]
    sunrise: {from: "07:00", to: "08:00"}
    peak: 50 %
    sunset: {from: "18:00", to: "19:00"}
`

// place is the coral of the plan above, and its day.
func place(t testing.TB) (mix.Place, day.Day) {
	t.Helper()
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		switch path {
		case "plan.yaml":
			return []byte(text), nil
		case "r.csv":
			return []byte("coral,lit,ppfd\np,white,100\n"), nil
		case "d65.csv":
			return os.ReadFile("../../../testdata/published/illuminant-d65-from-300nm.csv")
		}
		return nil, os.ErrNotExist
	}, "plan.yaml")
	require.NotNil(t, p, problems)
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), problems)
	places, err := mix.At(p, f)
	require.NoError(t, err)
	require.Len(t, places, 1)
	return places[0], day.Build(p, plan.Date{Year: 2027, Month: 3, Day: 1}, day.Change{})
}

// A channel known by readings alone shines in its lamp's own colour: D65 is what the CIE
// says of it (CIE 15: x 0.3127, y 0.3290, 6504 K; Ra and Rf 100 by definition), as far as
// straight lines between the rows of its table go.
func TestDaylightIsDaylight(t *testing.T) {
	pl, _ := place(t)
	s := pl.Under([]float64{0.5, 0})
	assert.InDelta(t, 50, s.PPFD, 0.1)
	assert.InDelta(t, 0.3127, s.XY.X, 3e-4)
	assert.InDelta(t, 0.3290, s.XY.Y, 3e-4)
	require.NotNil(t, s.Temperature)
	assert.InDelta(t, 6504, s.Temperature.K, 15)
	require.NotNil(t, s.Rendering)
	assert.True(t, s.Rendering.Valid())
	assert.InDelta(t, 100, s.Rendering.Ra, 0.3)
	assert.InDelta(t, 100, s.Fidelity.Rf, 0.3)
	sum := 0.0
	for _, share := range s.Bands {
		sum += share
	}
	assert.InDelta(t, 1, sum, 1e-9)
	for _, share := range s.Pigments {
		assert.Greater(t, share, 0.1)
		assert.Less(t, share, 0.9)
	}
}

// The dark has no colour, and nothing is made up for it.
func TestDark(t *testing.T) {
	pl, _ := place(t)
	s := pl.Under([]float64{0, 0})
	assert.False(t, s.Lit)
	assert.Nil(t, s.Temperature)
	assert.Nil(t, s.Rendering)
	for _, share := range append(s.Bands, s.Pigments...) {
		assert.Zero(t, share)
	}
}

// A day's colours are the mixes of their moments.
func TestCourseIsItsMoments(t *testing.T) {
	pl, d := place(t)
	age := []float64{1, 0.7}
	for _, m := range pl.Course(d, age, 1800) {
		s := pl.Under(mix.Levels(d, age, m.T))
		assert.InDelta(t, s.PPFD, m.PPFD, 1e-9)
		if xy, ok := m.XYZ.Chromaticity(); assert.Equal(t, s.Lit, ok) && ok {
			assert.InDelta(t, 0, xy.Distance(s.XY), 1e-12)
		}
	}
}

// The warm lamp rises first, so the drift is from the mix at noon to the warm lamp alone:
// at the first minute that counts, and as long as it is alone.
func TestDrift(t *testing.T) {
	pl, d := place(t)
	got, ok := pl.OverDay(d, nil)
	require.True(t, ok)
	noon := pl.Under(mix.Levels(d, nil, 43200))
	alone := pl.Under([]float64{0, 1})
	assert.InDelta(t, noon.XY.Distance(alone.XY), got.Distance, 1e-12)
	assert.GreaterOrEqual(t, got.NoonT, 9*3600.0)
	assert.True(t, got.T >= 7*3600 && got.T <= 8*3600 || got.T >= 18*3600 && got.T <= 19*3600, got.T)
	older := pl.Under([]float64{1, 0.25})
	assert.InDelta(t, noon.XY.Distance(older.XY), pl.OverAge(d, []float64{1, 1}, []float64{1, 0.5}), 1e-12)
	_, ok = pl.OverDay(day.Day{Channels: make([]day.Channel, 2)}, nil)
	assert.False(t, ok, "a dark day")
	assert.Equal(t, []float64{1, 0.5}, mix.Peaks(d, nil))
}

// A red light is the farther from white the less white there is.
func TestMoreWhiteIsNearerToWhite(t *testing.T) {
	pl, _ := place(t)
	white := pl.Under([]float64{1, 0})
	last := math.Inf(1)
	for _, share := range []float64{0, 0.1, 0.3, 0.6, 1} {
		away := pl.Under([]float64{share, 1}).XY.Distance(white.XY)
		assert.Less(t, away, last)
		last = away
	}
}

// Over dates the drift of a day is the farthest of each date's own, and noon's is from the first date's.
func TestWatch(t *testing.T) {
	pl, d := place(t)
	later := plan.Date{Year: 2028, Month: 3, Day: 1}
	aged := []float64{1, 0.5}
	got := mix.Watch([]mix.Dated{
		{Date: d.Date, Day: d, Places: []mix.Place{pl}},
		{Date: later, Day: d, Age: aged, Places: []mix.Place{pl}},
	})
	assert.InDelta(t, pl.OverAge(d, nil, aged), got.Noon.Distance, 1e-12)
	assert.Equal(t, later, got.Noon.Date)
	young, _ := pl.OverDay(d, nil)
	old, _ := pl.OverDay(d, aged)
	assert.InDelta(t, max(young.Distance, old.Distance), got.Day.Distance, 1e-12)
	assert.Equal(t, "p", got.Day.Place)
	assert.Zero(t, mix.Watch(nil))
}

// A day known by the levels of its moments drifts as far as the day itself.
func TestOverLevels(t *testing.T) {
	pl, d := place(t)
	var moments [][]float64
	for at := 0.0; at < 86400; at += 60 {
		moments = append(moments, mix.Levels(d, nil, at))
	}
	want, _ := pl.OverDay(d, []float64{1, 0.5})
	got, ok := pl.OverLevels(moments, []float64{1, 0.5})
	require.True(t, ok)
	assert.InDelta(t, want.Distance, got, 1e-12)
	_, ok = pl.OverLevels([][]float64{{0, 0}}, nil)
	assert.False(t, ok)
}
