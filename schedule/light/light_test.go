package light_test

import (
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/diag"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/planfile"
)

const base = `plan: 1
name: x
clock: {zone: UTC}
tank: {length: 100 cm, width: 50 cm, depth: 40 cm}
meter: {in_water_factor: 1.25, uncertainty: 4 %}
readings: r.csv
channels:
  a:
    flux: 100 umol/s
    spectrum: {peak: 450 nm, width: 20 nm}
    emitters:
      - point: {at: [50 cm, 25 cm], height: 30 cm}
        beam: 120 deg
  b: {flux: 10 umol/s, spectrum: {peak: 450 nm, width: 20 nm}}
zones:
  z:
    dli: 5
    corals:
      p: {x: 50 cm, y: 25 cm, depth: 20 cm}
      q: {x: 60 cm, y: 25 cm, depth: 20 cm}
day:
  - channels: [a, b]
    sunrise: {from: "08:00", to: "09:00"}
    peak: 100 %
    sunset: {from: "17:00", to: "18:00"}
`

// load reads the plan above with a readings file, and edits old, new in pairs.
func load(t *testing.T, readings string, edits ...string) *plan.Plan {
	t.Helper()
	text := strings.NewReplacer(edits...).Replace(base)
	p, problems := planfile.Load(func(path string) ([]byte, error) {
		switch path {
		case "plan.yaml":
			return []byte(text), nil
		case "r.csv":
			return []byte(readings), nil
		}
		return nil, os.ErrNotExist
	}, "plan.yaml")
	require.NotNil(t, p, problems)
	return p
}

// A reading times the meter's factor, over the light fraction it was taken at, is the
// channel's light there; repeated readings give their mean and its scatter. The axis
// of the model is the apparent depth, I·T/(h + d/n)² (any optics text).
func TestReadingsWinOverTheModel(t *testing.T) {
	p := load(t, "coral,lit,ppfd\np,b@100%,80\nq,b@100%,40\nq,b@100%,44\np,b,80\n")
	f, problems := light.Survey(p)
	require.Empty(t, problems)
	a, b := f.Corals[0][0], f.Corals[0][1]
	assert.Equal(t, light.Model, a.Source)
	assert.InDelta(t, 0.20, a.Common, 1e-12)
	assert.InDelta(t, 0.15, a.Model, 1e-12)
	assert.InEpsilon(t, 100/math.Pi*0.9786/math.Pow(0.3+0.2/1.3453, 2), a.PPFD, 2e-3)
	assert.Equal(t, light.Reading, b.Source)
	assert.InDelta(t, 100, b.PPFD, 1e-9)
	assert.Equal(t, 0.04, b.Meter)
	q := f.Corals[1][1]
	assert.InDelta(t, 42*1.25, q.PPFD, 1e-9)
	assert.InDelta(t, 2/42., q.Own, 1e-9, "s of 40 and 44 is √8, over √2")
}

func TestAPlaceWithoutANumberIsAnError(t *testing.T) {
	_, problems := light.Survey(load(t, "coral,lit,ppfd\np,b@100%,80\n"))
	require.Equal(t, 1, problems.Count(diag.Error))
	assert.Equal(t, "plan.yaml:14:3: channel b: no light is known at q; a channel needs a flux with emitters, or readings at every coral; add a reading of it lit alone at each of them",
		problems[0].Error())
}

func TestChannelsThatDoNotAddUpAreNoticed(t *testing.T) {
	both := "coral,lit,ppfd\np,a,50\np,b,80\nq,b,40\np,a b,%s\n"
	_, problems := light.Survey(load(t, strings.Replace(both, "%s", "131", 1)))
	require.Empty(t, problems, "within 5 %")
	_, problems = light.Survey(load(t, strings.Replace(both, "%s", "100", 1)))
	require.Len(t, problems, 1)
	assert.Equal(t, "r.csv:5:1: warning: all lit together read 100 at p where the channels read alone add up to 130; look for a dimmer, heat or labelling fault before relying on either",
		problems[0].Error())
}

// The mean over an area is the mean of ever finer grids, and stable: a grid four
// times as fine moves neither mean nor percentiles by 1 %.
func TestAreaIsStable(t *testing.T) {
	p := load(t, "x_cm,y_cm,depth_cm,lit,ppfd\n50,25,20,b,80\n60,25,20,b,40\n", "    corals:", "    area: {x: [40 cm, 100 cm], y: [0 cm, 50 cm], depth: 20 cm}\n    corals:")
	f, problems := light.Survey(p)
	require.Empty(t, problems)
	require.Len(t, f.Areas, 1)
	area := f.Areas[0]
	assert.InDelta(t, 60*1.25, area.Mean[1].PPFD, 1e-9, "readings inside the area stand for a channel without emitters")
	var fine []light.Place
	n := 200
	for i := range n {
		for j := range n {
			fine = append(fine, light.Place{X: 0.4 + 0.6*(float64(i)+0.5)/float64(n), Y: 0.5 * (float64(j) + 0.5) / float64(n), Depth: 0.2})
		}
	}
	values, err := light.Predict(p, 0, f.Bands[1], fine)
	require.NoError(t, err)
	sum := 0.0
	for _, v := range values {
		sum += v / float64(len(values))
	}
	assert.InEpsilon(t, sum, area.Mean[0].PPFD, 0.01)
	var coarse []float64
	for _, cells := range area.Cells {
		coarse = append(coarse, cells[0].PPFD)
	}
	for _, q := range []float64{0.1, 0.9} {
		assert.InDelta(t, light.Percentile(values, q), light.Percentile(coarse, q), 0.01*sum)
	}
}

// A bar in front of the tank, aimed in over the rim between dark walls: the mean over
// the whole plane is that of rays to each of 1,800 places, whose sums photon/tank holds
// against rays of another make.
func TestAreaUnderABarBesideTheTank(t *testing.T) {
	p := load(t, "x_cm,y_cm,depth_cm,lit,ppfd\n50,25,20,b,80\n60,25,20,b,40\n",
		"{length: 100 cm, width: 50 cm, depth: 40 cm}", "{length: 240 cm, width: 60 cm, depth: 38 cm}",
		"point: {at: [50 cm, 25 cm], height: 30 cm}", "line: {from: [-30 cm, -40 cm], to: [270 cm, -40 cm], height: 50 cm}",
		"beam: 120 deg", "beam: 90 deg\n        aim: [0, 1, -1]",
		"    corals:", "    area: {x: [0 cm, 240 cm], y: [0 cm, 60 cm], depth: 20 cm}\n    corals:")
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors())
	var at []light.Place
	for i := range 60 {
		for j := range 30 {
			at = append(at, light.Place{X: 0.04 * (float64(i) + 0.5), Y: 0.02 * (float64(j) + 0.5), Depth: 0.2})
		}
	}
	values, err := light.Predict(p, 0, f.Bands[1], at)
	require.NoError(t, err)
	mean := 0.0
	for _, v := range values {
		mean += v / float64(len(values))
	}
	assert.InEpsilon(t, mean, f.Areas[0].Mean[0].PPFD, 0.005)
}
