package planfile

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
)

// small is a plan with two channels of one lamp, written once, and two equal zones.
const small = `plan: 1
name: One lamp of two channels
clock: {zone: Europe/Lisbon}
tank: {length: 60 cm, width: 40 cm, depth: 35 cm}
channels:
  blue:
    flux: 60 umol/s
    power: 40 W
    spectrum: blue
    emitters:
      - panel: {at: [30 cm, 20 cm], size: [12 cm, 8 cm], height: 25 cm}
        beam: 100 deg
  white:
    like: blue
    flux: 30 umol/s
    spectrum: warm white
  red:
    power: 10 W
    spectrum: red
    emitters:
      - {like: white, beam: 60 deg}
zones:
  left: {dli: 6, within: 20 %, ppfd_max: 300, corals: {a: {x: 20 cm, y: 20 cm, depth: 20 cm}}}
  right: {like: left, corals: {b: {x: 40 cm, y: 20 cm, depth: 20 cm}}}
  floor: {like: right, dli: 4, area: {x: [10 cm, 50 cm], y: [10 cm, 30 cm], depth: 30 cm}}
day:
  - channels: [blue, white, red]
    sunrise: {from: "09:00", to: "11:00"}
    peak: 50 %
    sunset: {from: "17:00", to: "19:00"}
controllers:
  box: {signal: percent, ports: {1: {channel: blue}, 2: {channel: white}, 3: {channel: red}}}
`

func load(t *testing.T, text string) *plan.Plan {
	p, problems := Load(func(string) ([]byte, error) { return []byte(text), nil }, "plan.yaml")
	require.NotNil(t, p, "%v", problems)
	return p
}

func TestLikeTakesWhatIsNotSaid(t *testing.T) {
	// an emitter is like one that a channel lists itself, so red is like blue
	p := load(t, strings.Replace(small, "{like: white, beam", "{like: blue, beam", 1))
	blue, white, red := p.Channels[0], p.Channels[1], p.Channels[2]
	assert.Equal(t, blue.Emitters, white.Emitters)
	assert.Equal(t, 40.0, white.PowerW)
	assert.Equal(t, 30.0, white.Flux.UmolS, "what is said stays")
	assert.NotEqual(t, blue.Spectrum, white.Spectrum)
	assert.Equal(t, blue.Emitters[0].Size, red.Emitters[0].Size)
	assert.NotEqual(t, blue.Emitters[0].Light, red.Emitters[0].Light, "its own beam")
	left, right, floor := p.Zones[0], p.Zones[1], p.Zones[2]
	assert.Equal(t, [3]float64{6, 0.2, 300}, [3]float64{right.DLI, right.Within, right.PPFDMax})
	assert.Equal(t, [3]float64{4, 0.2, 300}, [3]float64{floor.DLI, floor.Within, floor.PPFDMax}, "like one that is like another")
	assert.Len(t, left.Corals, 1)
	assert.Len(t, right.Corals, 1)
	assert.Empty(t, floor.Corals, "corals are never taken")
	assert.Nil(t, right.Area)
}

// 10 W of red at the 1.7 µmol/J of the best LED fixtures (PLoS ONE 2014 9(6) e99010),
// nearly all of it within 400-700 nm.
func TestFluxFromPower(t *testing.T) {
	red := load(t, strings.Replace(small, "{like: white, beam", "{like: blue, beam", 1)).Channels[2]
	assert.InDelta(t, 17, red.Flux.TotalUmolS, 1e-9)
	assert.InDelta(t, 17, red.Flux.UmolS, 0.01)
	assert.True(t, red.Flux.Derived)
	assert.InDelta(t, 0.4, math.Hypot(red.Uncertainty.Common, red.Uncertainty.Own), 1e-12)
}

// A mix of a file's spectrum and a peak keeps their shares of the photons.
func TestSpectrumOfFilesAndPeaks(t *testing.T) {
	text := strings.Replace(strings.Replace(small, "{like: white, beam", "{like: blue, beam", 1),
		"spectrum: warm white", "spectrum: [{file: s.csv, share: 30 %}, {peak: 650 nm, width: 10 nm, share: 70 %}]", 1)
	p, problems := Load(func(path string) ([]byte, error) {
		if path == "s.csv" {
			return []byte("nm,power\n440,0\n450,1\n460,0\n"), nil
		}
		return []byte(text), nil
	}, "plan.yaml")
	require.NotNil(t, p, "%v", problems)
	assert.InDelta(t, 0.7, p.Channels[1].Spectrum.PhotonShare(spectrum.Band{Lo: 600, Hi: 700}, spectrum.Total), 1e-6)
	assert.InDelta(t, 0.3, p.Channels[1].Spectrum.PhotonShare(spectrum.Band{Lo: 440, Hi: 460}, spectrum.Total), 1e-6)
}

// Every plain word has a spectrum with light where its name says.
func TestPlainWords(t *testing.T) {
	want := map[string]spectrum.Band{
		"near-uv": {Lo: 370, Hi: 405}, "violet": {Lo: 400, Hi: 430}, "blue": {Lo: 430, Hi: 480}, "cyan": {Lo: 470, Hi: 520}, "green": {Lo: 500, Hi: 560},
		"amber": {Lo: 580, Hi: 610}, "red": {Lo: 610, Hi: 660}, "warm white": {Lo: 500, Hi: 700}, "cool white": {Lo: 440, Hi: 680}, "fluorescent": {Lo: 400, Hi: 630},
	}
	require.Len(t, lamps, len(want))
	for _, l := range lamps {
		s, err := spectrum.Peaks(l.peaks)
		require.NoError(t, err)
		assert.Greater(t, s.PhotonShare(want[l.word], spectrum.Total), 0.7, l.word)
		assert.Less(t, l.efficacy, s.PhotonsPerJoule(), "no more photons than all electricity would give as light: %s", l.word)
	}
}
