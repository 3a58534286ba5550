package tank_test

import (
	"context"
	"math"
	"runtime"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
)

func beam(t require.TestingT, deg float64) emitter.Distribution {
	d, err := emitter.Beam(deg * math.Pi / 180)
	require.NoError(t, err)
	return d
}

func absorb(a float64) func(float64) float64 {
	return func(path float64) float64 { return math.Exp(-a * path) }
}

var glassBox = tank.Box{Length: 2.4, Width: 0.6, Depth: 0.38,
	Left:  tank.Wall{Kind: tank.Glass},
	Right: tank.Wall{Kind: tank.Glass},
	Front: tank.Wall{Kind: tank.Glass},
	Back:  tank.Wall{Kind: tank.Glass},
}

// rack is the bench case: twelve channels of forty samples each, half of them
// lines (two of twenty samples), half of them forty points, at 20 to 30 cm,
// beams of 60, 90 and 120 deg. testdata/bench/volume_numpy.py has the same.
func rack(t testing.TB) []tank.Source {
	var out []tank.Source
	for c := range 12 {
		light := beam(t, []float64{60, 90, 120}[c%3])
		height := 0.20 + 0.02*float64(c%6)
		s := tank.Source{Flux: 100 + 20*float64(c), Index: 1.34, Transmit: absorb(0.05 * float64(c+1))}
		if c%2 == 0 {
			for _, y := range []float64{0.2, 0.4} {
				s.Emitters = append(s.Emitters, emitter.Emitter{Kind: emitter.Line,
					From: [2]float64{0.1, y}, To: [2]float64{2.3, y}, Height: height, Light: light, Share: 0.5})
			}
		} else {
			for i := range 40 {
				s.Emitters = append(s.Emitters, emitter.Emitter{
					At:     [2]float64{0.06 + 0.12*float64(i%20), 0.15 + 0.3*float64(i/20)},
					Height: height, Light: light, Share: 1.0 / 40})
			}
		}
		out = append(out, s)
	}
	return out
}

func everyCentimetre() tank.Grid {
	g := tank.Grid{X0: 0.005, Dx: 0.01, Nx: 240, Y0: 0.005, Dy: 0.01, Ny: 60}
	for k := range 38 {
		g.Depths = append(g.Depths, 0.005+0.01*float64(k))
	}
	return g
}

// One op is the whole volume: 547,200 places, 12 channels of 40 samples,
// glass all round.
func BenchmarkVolume240x60x38cmAt1cm12Channels40SamplesGlass(b *testing.B) {
	sources, g := rack(b), everyCentimetre()
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	var f tank.Field
	var err error
	for b.Loop() {
		f, err = glassBox.Grid(context.Background(), sources, g, tank.Options{Spacing: 0.11})
		require.NoError(b, err)
	}
	var sum float64
	for _, source := range f.PPFD {
		for _, e := range source {
			sum += float64(e)
		}
	}
	b.ReportMetric(sum/float64(g.Len()), "mean-PPFD") // 1202.73 in volume_numpy.py
	runtime.ReadMemStats(&after)
	b.ReportMetric(float64(after.Sys)/1e6, "MB-from-system")
}

// One op is eight corals under eight channels, the lines sampled until settled.
func BenchmarkEightCorals8Channels(b *testing.B) {
	sources := rack(b)[:8]
	var corals []tank.Place
	for i := range 8 {
		corals = append(corals, tank.Place{X: 0.2 + 0.28*float64(i), Y: 0.1 + 0.06*float64(i), Depth: 0.1 + 0.03*float64(i)})
	}
	for b.Loop() {
		for _, s := range sources {
			_, err := glassBox.At(s, corals)
			require.NoError(b, err)
		}
	}
}
