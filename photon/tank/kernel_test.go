package tank_test

import (
	"context"
	"math"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// saddle is a light that is not the same all round but smooth, made here.
type saddle struct{ oval }

func (saddle) PerSteradian(gamma, phi float64) float64 {
	if gamma >= math.Pi/2 {
		return 0
	}
	sin := math.Sin(gamma)
	return math.Cos(gamma) / math.Pi * (1 + 0.7*sin*sin*math.Cos(2*phi))
}

// drawLine is a level line along x, anywhere over a tank or beside it, with any light.
func drawLine(t *rapid.T, b tank.Box) emitter.Emitter {
	e := drawEmitter(t, b)
	e.Kind, e.From[1] = emitter.Line, math.Round(e.From[1]*1e3)/1e3 // on the rim or clear of it
	e.To[1] = e.From[1]
	switch { // what samples of a millimetre or two sum well: smooth, and not too narrow
	case e.Light == oval{}:
		e.Light = saddle{}
	default:
		e.Light = beam(t, rapid.Float64Range(30, 150).Draw(t, "wide beam"))
	}
	if rapid.Bool().Draw(t, "at a wall") {
		e.From[1] = rapid.SampledFrom([]float64{0, b.Width}).Draw(t, "wall")
		e.To[1] = e.From[1]
	}
	if math.Abs(e.To[0]-e.From[0]) < 0.02 {
		e.To[0] = e.From[0] + 0.02
	}
	return e
}

// A level line along a grid's rows is summed by two look-ups a place in the running
// integral of its row. That is within 0.2 % of the limit of ever finer samples (and a
// ten-thousandth of the mean that the flux over the surface would give, where there is
// all but no light), by walls of every kind, over the rim, aimed, to the walls and at
// the surface; or within what halving still moved, where it ends at the finest spacing.
func TestKernelEqualsSamples(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBox(t)
		s := tank.Source{
			Emitters: []emitter.Emitter{drawLine(t, b), drawLine(t, b)}, Flux: 100,
			Index: rapid.Float64Range(1.25, 1.4).Draw(t, "n"), Transmit: absorb(rapid.Float64Range(0, 2).Draw(t, "a")),
		}
		g := tank.Grid{Nx: 16, Dx: b.Length / 15, Ny: 2, Dy: b.Width * 2 / 3, Depths: []float64{0, b.Depth / 2, b.Depth}}
		f, err := b.Grid(context.Background(), []tank.Source{s}, g, tank.Options{})
		require.NoError(t, err)
		require.True(t, f.Moved[0] <= tank.Settled || f.Spacing[0] < 0.001, "moved %g at %g m", f.Moved[0], f.Spacing[0])
		var places []tank.Place
		for i := range g.Len() {
			places = append(places, g.Place(i))
		}
		spacing := math.Min(0.004, math.Min(s.Emitters[0].Height, s.Emitters[1].Height)/20)
		sampled, err := b.AtSpacing(s, places, spacing)
		require.NoError(t, err)
		floor := 1e-4 * s.Flux / b.Length / b.Width
		for i, rough := range sampled {
			got := float64(f.PPFD[0][i])
			within := func(w float64) float64 { return math.Max(2e-3, f.Moved[0])*w + floor }
			if math.Abs(got-rough) > within(rough)/2 {
				rough = limit(t, b, s, places[i], spacing)
			}
			require.InDelta(t, rough, got, within(rough), "%+v", places[i])
		}
	})
}

// limit samples a source ever more finely for one place, by spacings of which none
// divides another, until three of them agree to 0.05 %, or to some tenths of a millimetre.
func limit(t *rapid.T, b tank.Box, s tank.Source, p tank.Place, spacing float64) float64 {
	last, before := math.Inf(1), math.Inf(1)
	for {
		spacing /= math.Sqrt(2.9)
		at, err := b.AtSpacing(s, []tank.Place{p}, spacing)
		require.NoError(t, err)
		if most := 5e-4 * at[0]; math.Abs(at[0]-last) <= most && math.Abs(at[0]-before) <= most {
			return at[0]
		}
		if before, last = last, at[0]; spacing < 2e-4 {
			return (before + last) / 2
		}
	}
}

// A part of a lamp that hangs half over a rim counts by the share of its rays that come
// in, in a grid as place by place, at either end and either side alike. At apparent
// depth 0.3 m under a lamp 0.3 m up half of each way lies in air: the rays of a part
// of 20 cm about the rim, to a place 2 cm inside, enter over 10 cm about 1 cm inside,
// which leaves 60 %.
func TestPartAcrossEitherRim(t *testing.T) {
	b := tank.Box{Length: 1, Width: 1, Depth: 0.5}
	n := 0.4 / 0.3
	for _, turned := range []bool{false, true} {
		for _, far := range []float64{0, 1} {
			turn := func(along float64) [2]float64 {
				if turned {
					return [2]float64{0.5, along}
				}
				return [2]float64{along, 0.5}
			}
			at := turn(math.Abs(far - 0.02))
			e := emitter.Emitter{Kind: emitter.Line, From: turn(far - 0.1), To: turn(far + 0.1), Height: 0.3, Light: beam(t, 120), Share: 1}
			whole := e
			whole.Kind, whole.At = emitter.Point, turn(far)
			light := func(e emitter.Emitter) (float64, float64) {
				s := tank.Source{Flux: 100, Index: n, Emitters: []emitter.Emitter{e}}
				p := tank.Place{X: at[0], Y: at[1], Depth: 0.4}
				one, err := b.AtSpacing(s, []tank.Place{p}, 1)
				require.NoError(t, err)
				f, err := b.Grid(context.Background(), []tank.Source{s}, tank.Grid{X0: p.X, Dx: 1, Nx: 1, Y0: p.Y, Dy: 1, Ny: 1, Depths: []float64{0.4}}, tank.Options{Spacing: 1})
				require.NoError(t, err)
				return one[0], float64(f.PPFD[0][0])
			}
			part, partGrid := light(e)
			all, allGrid := light(whole)
			require.InDelta(t, 0.6, part/all, 0.005)
			require.InDelta(t, 0.6, partGrid/allGrid, 0.005)
		}
	}
}
