package report_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"flag"
	"math"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/report"
	"dayloom/photon/emitter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
)

// pond is two Lambertian points over a tank of clear water with dark walls; the
// left lamp is three times the right one.
func pond(t testing.TB) *plan.Plan {
	t.Helper()
	beam, err := emitter.Beam(2 * math.Pi / 3)
	require.NoError(t, err)
	flat, err := spectrum.Flat(400, 700)
	require.NoError(t, err)
	lamp := func(name string, x, flux float64) plan.Channel {
		return plan.Channel{Name: name, Spectrum: flat, Flux: plan.Flux{UmolS: flux, TotalUmolS: flux}, Uncertainty: plan.Uncertainty{Common: 0.2, Own: 0.15},
			Emitters: []emitter.Emitter{{At: [2]float64{x, 0.3}, Height: 0.3, Light: beam, Share: 1}}}
	}
	return &plan.Plan{
		Name: "Pond", Tank: plan.Tank{Box: tank.Box{Length: 1.2, Width: 0.6, Depth: 0.4}},
		Channels: []plan.Channel{lamp("left", 0.3, 90), lamp("right, small", 0.9, 30)},
		Zones: []plan.Zone{{Name: "all", Corals: []int{0, 1}},
			{Name: "floor", Area: &plan.Area{X: [2]float64{0.2, 1}, Y: [2]float64{0.1, 0.5}, Depth: 0.39}}},
		Corals: []plan.Coral{{Name: "one", X: 0.3, Y: 0.3, Depth: 0.1}, {Name: "two", X: 0.9, Y: 0.2, Depth: 0.2}},
	}
}

func ask(t testing.TB, p *plan.Plan) maps.Ask {
	t.Helper()
	a, err := maps.Full(p, nil, spectrum.PAR)
	require.NoError(t, err)
	return a
}

func grid(t testing.TB, p *plan.Plan, r maps.Region, spacing float64) (report.GridMap, maps.Map) {
	t.Helper()
	a := ask(t, p)
	g, err := r.Cells(spacing)
	require.NoError(t, err)
	f, _ := light.Survey(p)
	m, err := maps.OnGrid(context.Background(), f, a, g, nil)
	require.NoError(t, err)
	return report.NewGridMap(p, r, m, report.NewMapHead(p, a, "full")), m
}

var update = flag.Bool("update", false, "write the golden files again")

// golden compares with a file.
func golden(t *testing.T, name string, got []byte) {
	t.Helper()
	file := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(file, got, 0o644))
	}
	want, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, string(want), string(got))
}

func coralMap(t *testing.T, p *plan.Plan) report.CoralMap {
	t.Helper()
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), "%v", problems)
	c, err := maps.AtCorals(p, f, ask(t, p))
	require.NoError(t, err)
	return report.NewCoralMap(p, c, report.NewMapHead(p, c.Ask, "full"))
}

func TestMapTexts(t *testing.T) {
	p := pond(t)
	depth, y := 0.1, 0.3
	for name, r := range map[string]maps.Region{"plane": {Box: p.Tank.Box, Depth: &depth}, "section": {Box: p.Tank.Box, Y: &y}, "volume": {Box: p.Tank.Box}} {
		m, _ := grid(t, p, r, 0.05)
		var b bytes.Buffer
		require.NoError(t, report.Write(&b, "text", m))
		golden(t, "map_"+name+".txt", b.Bytes())
	}
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, "text", coralMap(t, p)))
	golden(t, "map_corals.txt", b.Bytes())
}

// The CSV of a volume, read back, is the map: every place once, x fastest, the
// channels adding up to the total.
func TestGridCSVReadsBack(t *testing.T) {
	p := pond(t)
	r, m := grid(t, p, maps.Region{Box: p.Tank.Box}, 0.1)
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, "csv", r))
	assert.Equal(t, strings.Count(b.String(), "\n"), strings.Count(b.String(), "\r\n"), "RFC 4180 line ends")
	rows, err := csv.NewReader(&b).ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"x_m", "y_m", "depth_m", "left_umol_m2_s", "right, small_umol_m2_s", "ppfd_umol_m2_s"}, rows[0])
	require.Len(t, rows, 1+12*6*4)
	for i, row := range rows[1:] {
		var v [6]float64
		for k, cell := range row {
			v[k], err = strconv.ParseFloat(cell, 64)
			require.NoError(t, err)
		}
		at := m.Place(i)
		assert.InDelta(t, at.X, v[0], 1e-6)
		assert.InDelta(t, at.Y, v[1], 1e-6)
		assert.InDelta(t, at.Depth, v[2], 1e-6)
		assert.InEpsilon(t, v[3]+v[4], v[5], 2e-5)
		assert.InEpsilon(t, m.Total(i), v[5], 1e-5)
	}
}

// The JSON of a grid is the same map, its lists shaped as it says.
func TestGridJSONReadsBack(t *testing.T) {
	p := pond(t)
	depth := 0.1
	r, m := grid(t, p, maps.Region{Box: p.Tank.Box, Depth: &depth}, 0.1)
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, "json", r))
	var got struct {
		Plan, At, Band string
		Grid           struct {
			Shape    [3]int
			X        []float64            `json:"x_m"`
			Y        []float64            `json:"y_m"`
			Depth    []float64            `json:"depth_m"`
			Total    []float64            `json:"ppfd_umol_m2_s"`
			Channels map[string][]float64 `json:"channels_umol_m2_s"`
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &got), b.String())
	assert.Equal(t, []string{"Pond", "full", "400-700"}, []string{got.Plan, got.At, got.Band})
	g := got.Grid
	assert.Equal(t, [3]int{len(g.Depth), len(g.Y), len(g.X)}, g.Shape)
	require.Len(t, g.Total, g.Shape[0]*g.Shape[1]*g.Shape[2])
	for i, v := range g.Total {
		at := m.Place(i)
		assert.InDelta(t, at.X, g.X[i%12], 1e-6)
		assert.InDelta(t, at.Y, g.Y[i/12], 1e-6)
		assert.InEpsilon(t, g.Channels["left"][i]+g.Channels["right, small"][i], v, 2e-5)
	}
}

// At the corals the light is that of the lamp's own law: over coral one the left
// lamp stands upright, E = Φ/π · T / (h + d/n)² (any optics text), n = 1.34.
func TestCoralMapJSON(t *testing.T) {
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, "json", coralMap(t, pond(t))))
	var got struct {
		Corals []struct {
			Name, Zone string
			X          float64                       `json:"x_m"`
			Depth      float64                       `json:"depth_m"`
			Full       map[string]float64            `json:"ppfd_full_umol_m2_s"`
			Bands      map[string]map[string]float64 `json:"bands"`
			Source     map[string]string             `json:"source"`
			Total      float64                       `json:"total_umol_m2_s"`
		}
		Zones []struct {
			Zone string
			Area bool
			Min  float64 `json:"min_umol_m2_s"`
			Max  float64 `json:"max_umol_m2_s"`
		}
	}
	require.NoError(t, json.Unmarshal(b.Bytes(), &got))
	require.Len(t, got.Corals, 2)
	one := got.Corals[0]
	want := 90 / math.Pi * (1 - math.Pow(0.34/2.34, 2)) / math.Pow(0.3+0.1/1.34, 2)
	assert.InEpsilon(t, want, one.Full["left"], 1e-6)
	assert.Equal(t, one.Full["left"], one.Bands["400-700"]["left"])
	assert.Zero(t, one.Bands["380-400"]["left"])
	assert.Equal(t, "model", one.Source["left"])
	assert.InEpsilon(t, one.Full["left"]+one.Full["right, small"], one.Total, 1e-12)
	require.Len(t, got.Zones, 2)
	assert.True(t, got.Zones[1].Area)
	assert.InEpsilon(t, max(one.Total, got.Corals[1].Total), got.Zones[0].Max, 1e-12)
}

func TestSweepReport(t *testing.T) {
	s := maps.Sweep{Path: "channels.left.flux"}
	zones := func(v float64) []maps.Zone {
		st := maps.Stats{Min: v, P10: v, Mean: v, P90: v, Max: v}
		return []maps.Zone{{Name: "a", Stats: st}, {Name: "b", Area: true, Stats: st}}
	}
	r := report.NewSweep(s, []maps.Step{{Value: "1 umol/s", Zones: zones(1)}, {Value: "2 umol/s", Zones: zones(2)}},
		report.NewMapHead(pond(t), ask(t, pond(t)), "full"))
	var b bytes.Buffer
	require.NoError(t, report.Write(&b, "csv", r))
	assert.Equal(t, strings.ReplaceAll(`zone,value,min_umol_m2_s,p10_umol_m2_s,mean_umol_m2_s,p90_umol_m2_s,max_umol_m2_s
a,1 umol/s,1.00,1.00,1.00,1.00,1.00
a,2 umol/s,2.00,2.00,2.00,2.00,2.00
b (area),1 umol/s,1.00,1.00,1.00,1.00,1.00
b (area),2 umol/s,2.00,2.00,2.00,2.00,2.00
`, "\n", "\r\n"), b.String())
}

// One op writes the 547,200 rows of a 240 × 60 × 38 cm tank at 1 cm, two channels.
func BenchmarkGridCSV547200Rows2Channels(b *testing.B) {
	p := pond(b)
	p.Tank.Box = tank.Box{Length: 2.4, Width: 0.6, Depth: 0.38}
	r, _ := grid(b, p, maps.Region{Box: p.Tank.Box}, 0.01)
	b.ReportAllocs()
	for b.Loop() {
		require.NoError(b, r.CSV(discard{}))
	}
}

type discard struct{}

func (discard) Write(p []byte) (int, error) { return len(p), nil }
