package light_test

import (
	"context"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
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

// survey is the field without complaint.
func survey(t *testing.T, p *plan.Plan) light.Field {
	t.Helper()
	f, problems := light.Survey(p)
	require.Empty(t, problems)
	return f
}

const alone = "coral,lit,ppfd\np,b@100%,80\nq,b@100%,40\nq,b@100%,44\np,b,80\n"

// Without a reading it is the model: on the axis I·T/(h + d/n)², the apparent depth (any
// optics text), with the stated uncertainty.
func TestTheModelAlone(t *testing.T) {
	p := load(t, alone, "readings: r.csv\n", "", "b: {flux: 10 umol/s, spectrum: {peak: 450 nm, width: 20 nm}}", "b: {like: a}")
	a := survey(t, p).Corals[0][0]
	assert.Equal(t, light.Model, a.Source)
	assert.InDelta(t, 0.20, a.Common, 1e-12)
	assert.InDelta(t, 0.15, a.Own, 1e-12)
	assert.InEpsilon(t, 100/math.Pi*0.9786/math.Pow(0.3+0.2/1.3453, 2), a.PPFD, 2e-3)
}

// What four answers were once given to, a place that was read: nearly the reading, times
// the meter's factor, and the same for the coral, the place and the grid under it.
func TestOneAnswerForAPlace(t *testing.T) {
	p := load(t, alone)
	f := survey(t, p)
	b := f.Corals[0][1]
	assert.Equal(t, light.Reading, b.Source)
	assert.InEpsilon(t, 100, b.PPFD, 0.01)
	assert.InEpsilon(t, 42*1.25, f.Corals[1][1].PPFD, 0.01)
	assert.Equal(t, light.Fitted, f.Corals[0][0].Source)
	var places []light.Place
	for _, c := range p.Corals {
		places = append(places, light.Place{X: c.X, Y: c.Y, Depth: c.Depth})
	}
	at, err := f.At(places)
	require.NoError(t, err)
	assert.Equal(t, f.Corals, at)
	grid, err := f.Grid(context.Background(), []int{0, 1}, spectrum.PAR, tank.Grid{X0: 0.4, Dx: 0.01, Nx: 21, Y0: 0.25, Dy: 1, Ny: 1, Depths: []float64{0.2}}, tank.Options{})
	require.NoError(t, err)
	for c, k := range []int{10, 20} { // p and q
		assert.InEpsilon(t, at[c][0].PPFD, grid.PPFD[0][k], 2e-3)
		assert.InEpsilon(t, at[c][1].PPFD, grid.PPFD[1][k], 0.02, "the lattice is an eighth of the length")
	}
	between := math.Sqrt(at[0][1].PPFD * at[1][1].PPFD)
	assert.InEpsilon(t, between, grid.PPFD[1][15], 0.05)
}

// A reading 1.3 times the model moves the model to 1.3^(V/(V+u²+p²)) at its place, V the
// stated variance, u the meter's and p the reading's own (JCGM 100:2008; package fit).
func TestAReadingCorrectsTheModel(t *testing.T) {
	p := load(t, alone)
	model, err := light.Predict(p, 0, spectrum.PAR, []light.Place{{X: 0.5, Y: 0.25, Depth: 0.2}})
	require.NoError(t, err)
	read := fmt.Sprintf("coral,lit,ppfd\np,b,80\np,a,%.3f\n", 1.3*model[0]/1.25)
	f, _ := light.Survey(load(t, read))
	assert.InEpsilon(t, math.Pow(1.3, 0.0625/(0.0625+0.0016+0.0016)), f.Corals[0][0].PPFD/model[0], 0.01)
	u := light.Deviation(f.Corals[0][:1], []float64{1})
	assert.InDelta(t, math.Sqrt(0.0625*0.0032/0.0657), u, 0.004)
	assert.Greater(t, light.Deviation(f.Corals[1][:1], []float64{1}), u, "less sure beside it")
}

// A reading tells of the lamp as it was on its date: at an age of 80 % it is a quarter
// more when new. One without a date is of new lamps.
func TestADatedReadingIsOfAnOldLamp(t *testing.T) {
	ages := func(plan.Date) []float64 { return []float64{1, 0.8} }
	dated := "coral,lit,ppfd,date\np,b,80,2027-01-01\nq,b,40,2027-01-01\n"
	f, problems := light.Dated(load(t, dated), ages)
	require.Empty(t, problems)
	assert.InEpsilon(t, 125, f.Corals[0][1].PPFD, 0.01)
	f, _ = light.Dated(load(t, strings.ReplaceAll(dated, "2027-01-01", "")), ages)
	assert.InEpsilon(t, 100, f.Corals[0][1].PPFD, 0.01)
}

// The light of the room is taken off the readings of its date.
func TestRoomLightIsTakenOff(t *testing.T) {
	f := survey(t, load(t, "coral,lit,ppfd,date\np,none,8,2027-01-01\np,b,88,2027-01-01\nq,b,48,2027-01-01\np,b,80,2027-01-02\n"))
	assert.InEpsilon(t, 100, f.Corals[0][1].PPFD, 0.01)
	assert.InEpsilon(t, 50, f.Corals[1][1].PPFD, 0.01)
}

func TestAChannelWithoutANumberIsAnError(t *testing.T) {
	_, problems := light.Survey(load(t, "coral,lit,ppfd\np,a,80\n"))
	require.Equal(t, 1, problems.Count(diag.Error))
	assert.Equal(t, "plan.yaml:14:3: channel b: nothing tells its light; a channel needs a flux with emitters, or readings; read it lit alone at some of the corals",
		problems[len(problems)-1].Error())
}

// Far from its readings a channel without emitters is a guess, and said to be one.
func TestAGuessIsSaid(t *testing.T) {
	f, problems := light.Survey(load(t, "coral,lit,ppfd\np,b@100%,80\np,b,81\n", "q: {x: 60 cm", "q: {x: 75 cm"))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Error(), "channel b: its light is little more than a guess at q (± ")
	assert.Greater(t, light.Deviation(f.Corals[1][1:], []float64{1}), 0.5)
	_, problems = light.Survey(load(t, "x_cm,y_cm,depth_cm,lit,ppfd\n2,48,38,b,80\n3,48,38,b,81\n", "q: {x: 60 cm", "q: {x: 99 cm"))
	require.Equal(t, 1, problems.Count(diag.Error))
	assert.Contains(t, problems[len(problems)-1].Error(), "channel b: nothing tells its light at p, q; a channel without emitters must be read within some 60 cm")
}

// A reading that nothing else agrees with is set aside and named; so is one of a lamp
// that the model has no light of.
func TestReadingsSetAside(t *testing.T) {
	rows := alone + "p,a,80\nq,a,76\np,a,82\nq,a,77\n"
	f := survey(t, load(t, rows))
	g, problems := light.Survey(load(t, rows+"p,b,800\n"))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Error(), "r.csv:10:1: warning: read 800 where all else says 79.")
	assert.InEpsilon(t, f.Corals[0][1].PPFD, g.Corals[0][1].PPFD, 0.01)
	_, problems = light.Survey(load(t, alone+"q,a,5\n", "aim: [0, 0, -1]", "", "beam: 120 deg", "beam: 5 deg"))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Error(), "the model has no light of a at this place")
}

// The mean over an area is the mean of ever finer grids, and stable: a grid four times
// as fine moves neither mean nor percentiles by 1 %. Where only readings tell of a
// channel its spread is that of the field between them, and no evenness is made up.
func TestAreaIsStable(t *testing.T) {
	p := load(t, "x_cm,y_cm,depth_cm,lit,ppfd\n50,25,20,b,80\n90,25,20,b,40\n", "    corals:", "    area: {x: [40 cm, 100 cm], y: [0 cm, 50 cm], depth: 20 cm}\n    corals:")
	f := survey(t, p)
	require.Len(t, f.Areas, 1)
	area := f.Areas[0]
	var fine []light.Place
	n := 60
	for i := range n {
		for j := range n {
			fine = append(fine, light.Place{X: 0.4 + 0.6*(float64(i)+0.5)/float64(n), Y: 0.5 * (float64(j) + 0.5) / float64(n), Depth: 0.2})
		}
	}
	cells, err := f.At(fine)
	require.NoError(t, err)
	for ch := range p.Channels {
		var values, coarse []float64
		sum := 0.0
		for i := range cells {
			values = append(values, cells[i][ch].PPFD)
			sum += cells[i][ch].PPFD / float64(len(cells))
		}
		for _, c := range area.Cells {
			coarse = append(coarse, c[ch].PPFD)
		}
		assert.InEpsilon(t, sum, area.Mean[ch].PPFD, 0.01)
		for _, q := range []float64{0.1, 0.9} {
			assert.InDelta(t, light.Percentile(values, q), light.Percentile(coarse, q), 0.015*sum)
		}
		assert.Greater(t, light.Percentile(coarse, 0.9), 1.2*light.Percentile(coarse, 0.1))
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

// The sum of the daily integral: 200 µmol m⁻² s⁻¹ for 12 h is 8.64 mol m⁻² d⁻¹ (Torres and
// Lopez 2010).
func TestDLIOnce(t *testing.T) {
	cells := []light.Cell{{PPFD: 200, Bands: []float64{50}}, {PPFD: 100, Bands: []float64{10}}}
	dose := []float64{12 * 3600, 6 * 3600}
	assert.InDelta(t, 8.64+2.16, light.DLI(light.Full(cells, nil), dose), 1e-12)
	assert.InDelta(t, 8.64+1.08, light.DLI(light.Full(cells, []float64{1, 0.5}), dose), 1e-12)
	assert.InDelta(t, 2.16+0.216, light.DLI(light.InBand(cells, 0, nil), dose), 1e-12)
}

// A reading taken while the rack was pushed aside is of the lamp where it hung: pushed from over p to over q, q has what p has.
func TestAReadingOfARackPushedAside(t *testing.T) {
	rack := []string{"zones:\n", "racks: {main: {channels: [a], at: [0 cm, 0 cm], height: 0 cm, slide: {along: x, from: 0 cm, to: 30 cm}}}\nzones:\n"}
	head := strings.ReplaceAll(strings.ReplaceAll(alone, "\n", ",\n"), "ppfd,", "ppfd,rack")
	f := survey(t, load(t, head, rack...))
	at := func(x float64, moves ...plan.RackMove) plan.Reading {
		return plan.Reading{Coral: -1, X: x, Y: 0.25, Depth: 0.2, Lit: []plan.Lit{{Channel: 0, Fraction: 1}}, PPFD: 100, Racks: moves}
	}
	over, err := f.Expect(at(0.5), -1)
	require.NoError(t, err)
	beside, err := f.Expect(at(0.6), -1)
	require.NoError(t, err)
	pushed, err := f.Expect(at(0.6, plan.RackMove{By: [3]float64{0.1, 0, 0}}), -1)
	require.NoError(t, err)
	assert.InEpsilon(t, over.Value, pushed.Value, 1e-9)
	assert.Less(t, beside.Value, 0.95*over.Value)

	// It teaches the lamp, and is no reading of q as the plan has it.
	read := survey(t, load(t, head+fmt.Sprintf("q,a,%.4f,main=x+10cm\n", 1.2*pushed.Value), rack...))
	assert.InEpsilon(t, 1.2, read.Corals[0][0].PPFD/f.Corals[0][0].PPFD, 0.03)
	assert.Equal(t, light.Fitted, read.Corals[1][0].Source)

	// Of a channel without emitters nothing tells what the push changed.
	rack[1] = strings.Replace(rack[1], "[a]", "[a, b]", 1)
	_, problems := light.Survey(load(t, head+"q,b,44,main=x+10cm\n", rack...))
	require.Len(t, problems, 1)
	assert.Contains(t, problems[0].Error(), "the rack of b hung elsewhere")
}
