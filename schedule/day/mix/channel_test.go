package mix

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/colour"
	"dayloom/photon/pigment"
	"dayloom/photon/spectrum"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/shape/curve"
)

// Photons by hand: 10 at 490 nm with 30 at 720 nm, which no pigment counts, and 10 at 560 nm.
func TestPhotonsByHand(t *testing.T) {
	a := channel(light.Spectral{NM: []float64{490, 720}, Photons: []float64{10, 30}}, 10)
	b := channel(light.Spectral{NM: []float64{560}, Photons: []float64{10}}, 10)
	assert.Equal(t, [Bins]float64{4: 10}, a.Bins)
	assert.Equal(t, [Bins]float64{8: 10}, b.Bins)
	assert.Equal(t, spectrum.PAR.Lo, Bin(0).Lo)
	assert.Equal(t, spectrum.PAR.Hi, Bin(Bins-1).Hi)
	s := Place{Channels: []Channel{a, b}}.Under([]float64{1, 1})
	assert.InDeltaSlice(t, []float64{0, 0, 0, 0.4, 0, 0, 0.6}, s.Bands, 1e-12)
	for i, p := range pigment.All() {
		assert.InDelta(t, (p.Excitation(490)+p.Excitation(560))/2, s.Pigments[i], 1e-12)
	}
}

// Noon is the moment of the most PPFD, whatever the levels: half of a strong lamp, of which a weak one at full is 1/500
// and does not count. Light that is seen but has no PPFD has no noon.
func TestNoonIsByPPFD(t *testing.T) {
	strong, weak := Channel{PPFD: 1000, XYZ: colour.XYZ{X: 1, Y: 1, Z: 1}}, Channel{PPFD: 1, XYZ: colour.XYZ{X: 1, Y: 1, Z: 3}}
	away, ok := Place{Channels: []Channel{strong, weak}}.OverLevels([][]float64{{0, 1}, {0.5, 0}}, nil)
	assert.True(t, ok)
	assert.Zero(t, away)
	near := Place{Channels: []Channel{{XYZ: colour.XYZ{X: 1, Y: 1, Z: 3}}}}
	_, ok = near.OverDay(day.Day{Channels: []day.Channel{{Curve: curve.Always(1)}}}, nil)
	assert.False(t, ok)
}

// Places of a plan of two tanks stand as its corals do, then its areas, each with the channels over it.
func TestPlacesOfTwoTanks(t *testing.T) {
	p, problems := planfile.Load(func(string) ([]byte, error) {
		return []byte(`plan: 1
name: x
clock: {zone: UTC}
tanks: {a: {length: 60 cm, width: 40 cm, depth: 40 cm}, b: {length: 60 cm, width: 40 cm, depth: 40 cm}}
channels:
  one: {tank: a, flux: 50 umol/s, spectrum: blue, emitters: [{point: {at: [30 cm, 20 cm], height: 20 cm}, beam: 90 deg}]}
  two: {tank: b, like: one}
zones:
  low: {tank: b, dli: 5, area: {x: [10 cm, 20 cm], y: [10 cm, 20 cm], depth: 30 cm}, corals: {fan: {x: 20 cm, y: 20 cm, depth: 20 cm}}}
  high: {tank: a, dli: 5, area: {x: [10 cm, 20 cm], y: [10 cm, 20 cm], depth: 20 cm}, corals: {star: {x: 20 cm, y: 20 cm, depth: 20 cm}}}
day:
  - {channels: [one, two], sunrise: {from: "08:00", to: "09:00"}, peak: 50 %, sunset: {from: "17:00", to: "18:00"}}
`), nil
	}, "plan.yaml")
	require.False(t, problems.HasErrors(), problems.Text(nil))
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors())
	places, err := At(p, f)
	require.NoError(t, err)
	require.Len(t, places, 4)
	for i, want := range []Place{{Name: "fan", Over: []int{1}}, {Name: "star", Zone: 1, Over: []int{0}},
		{Name: "low (middle of its area)", Area: true, Over: []int{1}}, {Name: "high (middle of its area)", Zone: 1, Area: true, Over: []int{0}}} {
		got := places[i]
		require.Len(t, got.Channels, 1)
		got.Channels = nil
		assert.Equal(t, want, got)
	}
}
