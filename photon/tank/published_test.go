package tank_test

import (
	"encoding/csv"
	"fmt"
	"math"
	"os"
	"strconv"
	"strings"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
)

func published(t *testing.T, name string) [][]string {
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(rows), 1)
	return rows[1:]
}

func number(t *testing.T, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// sizes reads "h=0.3 q=0.1".
func sizes(t *testing.T, text string) map[string]float64 {
	out := map[string]float64{}
	for _, field := range strings.Fields(text) {
		name, value, _ := strings.Cut(field, "=")
		out[name] = number(t, value)
	}
	return out
}

// bare is air instead of water, so wide that no wall is near: half of the
// height is laid under the surface, which n = 1 makes no difference.
var bare = tank.Box{Length: 40, Width: 40, Depth: 1}

func inAir(t *testing.T, e emitter.Emitter, flux, h, x, y float64) float64 {
	e.Height, e.Share = h/2, 1
	got, err := bare.At(tank.Source{Emitters: []emitter.Emitter{e}, Flux: flux, Index: 1}, []tank.Place{{X: x, Y: y, Depth: h / 2}})
	require.NoError(t, err)
	require.LessOrEqual(t, got.Moved, tank.Settled)
	return got.PPFD[0]
}

// Source: testdata/published/line-and-point-sources.csv: 1e-8 for points,
// 1e-3 for lines, which are sampled.
func TestLinesAndPointsInAir(t *testing.T) {
	lines, points := 0, 0
	for _, row := range published(t, "line-and-point-sources.csv") {
		s, want := sizes(t, row[1]), number(t, row[2])
		if row[0] == "strip_lambertian" {
			e := emitter.Emitter{Kind: emitter.Line, Light: beam(t, 120),
				From: [2]float64{20 + s["x0"], 20}, To: [2]float64{20 + s["x0"] + s["L"], 20}}
			require.InEpsilon(t, want, inAir(t, e, s["flux"], s["h"], 20, 20+s["q"]), 1e-3, row[1])
			lines++
			continue
		}
		e := emitter.Emitter{At: [2]float64{20, 20}, Light: beam(t, s["beam_deg"])}
		require.InEpsilon(t, want, inAir(t, e, s["flux"], s["h"], 20+s["q"], 20), 1e-8, row[1])
		points++
	}
	require.Equal(t, []int{5, 6}, []int{lines, points})
}

// Source: testdata/published/view-factors.csv (Howell's catalogue): a
// Lambertian panel of one flux unit a square metre lights a parallel element
// by the configuration factor; 1e-3, the panel is sampled.
func TestPanelIsARectangleFactor(t *testing.T) {
	rows := published(t, "view-factors.csv")
	require.Len(t, rows, 8)
	for _, row := range rows {
		s := sizes(t, row[1])
		x0, x1, y0, y1 := s["x0"], s["x1"], s["y0"], s["y1"]
		if row[0] == "rect_parallel_corner" {
			x1, y1 = s["a"], s["b"]
		}
		e := emitter.Emitter{Kind: emitter.Panel, Light: beam(t, 120), Size: [2]float64{x1 - x0, y1 - y0},
			At: [2]float64{20 + (x0+x1)/2, 20 + (y0+y1)/2}}
		require.InEpsilon(t, number(t, row[2]), inAir(t, e, (x1-x0)*(y1-y0), s["h"], 20, 20), 1e-3, row[1])
	}
}

// Source: testdata/published/refracted-point-source.csv, 1e-6, through the
// whole package: a lamp over the middle of dark, wide water.
func TestRefractedPointInATank(t *testing.T) {
	for _, row := range published(t, "refracted-point-source.csv") {
		h, d, m, a, x := number(t, row[0]), number(t, row[1]), number(t, row[2]), number(t, row[3]), number(t, row[4])
		e := emitter.Emitter{At: [2]float64{20, 20}, Height: h, Share: 1, Light: beam(t, 2*math.Acos(math.Pow(0.5, 1/m))*180/math.Pi)}
		s := tank.Source{Emitters: []emitter.Emitter{e}, Flux: 100, Index: sea, Transmit: absorb(a)}
		got, err := bare.At(s, []tank.Place{{X: 20 + x, Y: 20, Depth: d}})
		require.NoError(t, err)
		require.InEpsilon(t, number(t, row[7]), got.PPFD[0], 1e-6)
	}
}

// Source: testdata/published/two-lamps-in-a-tank.csv, to the four digits given.
func TestTwoLampsGlassAndDark(t *testing.T) {
	rows := published(t, "two-lamps-in-a-tank.csv")
	require.Len(t, rows, 4)
	for _, row := range rows {
		at := tank.Place{X: number(t, row[0]), Y: number(t, row[1]), Depth: number(t, row[2])}
		for column, kind := range map[int]tank.WallKind{3: tank.Glass, 4: tank.Dark} {
			box := walled(1, .5, .4, tank.Wall{Kind: kind})
			var sum float64
			for _, s := range twoLamps(t) {
				got, err := box.At(s, []tank.Place{at})
				require.NoError(t, err)
				sum += got.PPFD[0]
			}
			require.InDelta(t, number(t, row[column]), sum, 0.0501, fmt.Sprint(row))
		}
	}
}

const sea = 1.34

func walled(length, width, depth float64, w tank.Wall) tank.Box {
	return tank.Box{Length: length, Width: width, Depth: depth, Left: w, Right: w, Front: w, Back: w}
}

func twoLamps(t testing.TB) []tank.Source {
	m3 := beam(t, 2*math.Acos(math.Cbrt(0.5))*180/math.Pi)
	return []tank.Source{
		{Flux: 100, Index: sea, Transmit: absorb(0.3), Emitters: []emitter.Emitter{{At: [2]float64{.5, .25}, Height: .3, Light: beam(t, 120), Share: 1}}},
		{Flux: 50, Index: sea, Transmit: absorb(0.3), Emitters: []emitter.Emitter{{At: [2]float64{.2, .1}, Height: .2, Light: m3, Share: 1}}},
	}
}
