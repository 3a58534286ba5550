package tank_test

import (
	"context"
	"flag"
	"math"
	"runtime"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// A third of rapid's hundred draws serves from day to day; -rapid.checks=100 draws them all.
func init() { _ = flag.Set("rapid.checks", "33") }

// oval shines more to φ = 0 and 180° than to the sides: a light that is not
// the same all round, made here.
type oval struct{}

func (oval) PerSteradian(gamma, phi float64) float64 {
	if gamma >= math.Pi/2 {
		return 0
	}
	c := math.Cos(phi)
	return 2 / (1.5 * math.Pi) * math.Cos(gamma) * (0.25 + c*c) // ∫ cos γ dΩ = π, mean of the bracket 3/4
}
func (oval) Axial() bool       { return false }
func (oval) MaxGamma() float64 { return math.Pi / 2 }

func drawWall(t *rapid.T, name string) tank.Wall {
	return tank.Wall{
		Kind:  tank.WallKind(rapid.IntRange(0, 2).Draw(t, name)),
		Share: rapid.Float64Range(0, 1).Draw(t, name+" share"),
	}
}

func drawBox(t *rapid.T) tank.Box {
	side := rapid.Float64Range(0.2, 2)
	return tank.Box{
		Length: side.Draw(t, "length"), Width: side.Draw(t, "width"), Depth: rapid.Float64Range(0.1, 0.8).Draw(t, "depth"),
		Left: drawWall(t, "left"), Right: drawWall(t, "right"), Front: drawWall(t, "front"), Back: drawWall(t, "back"),
	}
}

// drawEmitter may be of any shape, over the tank or beside it, tilted or not.
func drawEmitter(t *rapid.T, b tank.Box) emitter.Emitter {
	x := rapid.Float64Range(-0.2, b.Length+0.2)
	y := rapid.Float64Range(-0.2, b.Width+0.2)
	e := emitter.Emitter{
		Kind: emitter.Kind(rapid.IntRange(0, 2).Draw(t, "kind")),
		At:   [2]float64{x.Draw(t, "x"), y.Draw(t, "y")},
		From: [2]float64{x.Draw(t, "x0"), y.Draw(t, "y0")}, To: [2]float64{x.Draw(t, "x1"), y.Draw(t, "y1")},
		Size:   [2]float64{0.1, 0.06},
		Height: rapid.Float64Range(0.03, 0.6).Draw(t, "height"),
		Light:  beam(t, rapid.Float64Range(10, 150).Draw(t, "beam")),
		Share:  1,
	}
	if e.From == e.To { // a line has a length
		e.To[0] += 0.05
	}
	if rapid.Bool().Draw(t, "tilted") {
		tilt := rapid.Float64Range(-0.5, 0.5)
		e.Axis = emitter.Vec{tilt.Draw(t, "tilt x"), tilt.Draw(t, "tilt y"), -1}
	}
	if rapid.Bool().Draw(t, "oval") {
		e.Light, e.Turn = oval{}, rapid.Float64Range(0, 6).Draw(t, "turn")
	}
	return e
}

// The grid reads tables; At traces each ray. They agree within 0.1 % of the
// value, or of a ten-thousandth of the mean where there is all but no light.
func TestGridEqualsAt(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBox(t)
		s := tank.Source{
			Emitters: []emitter.Emitter{drawEmitter(t, b), drawEmitter(t, b)}, Flux: 100,
			Index: rapid.Float64Range(1.25, 1.4).Draw(t, "n"), Transmit: absorb(rapid.Float64Range(0, 2).Draw(t, "a")),
		}
		// from few rays, which are worked out one by one, to many, which are read from tables
		g := tank.Grid{Nx: rapid.IntRange(2, 15).Draw(t, "nx"), Ny: rapid.IntRange(2, 8).Draw(t, "ny"), Depths: []float64{0, b.Depth / 3, b.Depth}}
		g.Dx, g.Dy = b.Length/float64(g.Nx-1), b.Width/float64(g.Ny-1) // walls and corners too
		const spacing = 0.15
		f, err := b.Grid(context.Background(), []tank.Source{s}, g, tank.Options{Spacing: spacing})
		require.NoError(t, err)
		var places []tank.Place
		for i := range g.Len() {
			places = append(places, g.Place(i))
		}
		want, err := b.AtSpacing(s, places, spacing)
		require.NoError(t, err)
		mean := s.Flux / b.Length / b.Width
		for i, w := range want {
			require.InDelta(t, w, float64(f.PPFD[0][i]), 1e-3*w+1e-6*mean, "%+v", places[i])
		}
	})
}

// A lamp over the middle of a tank with like walls lights mirrored places alike.
func TestSymmetricTankSymmetricField(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBox(t)
		b.Left, b.Front = b.Right, b.Back
		e := emitter.Emitter{At: [2]float64{b.Length / 2, b.Width / 2}, Height: rapid.Float64Range(0.05, 1).Draw(t, "height"), Light: beam(t, 100), Share: 1}
		s := tank.Source{Emitters: []emitter.Emitter{e}, Flux: 100, Index: sea}
		x, y := rapid.Float64Range(0, b.Length).Draw(t, "x"), rapid.Float64Range(0, b.Width).Draw(t, "y")
		got, err := b.At(s, []tank.Place{{X: x, Y: y, Depth: b.Depth}, {X: b.Length - x, Y: y, Depth: b.Depth}, {X: x, Y: b.Width - y, Depth: b.Depth}})
		require.NoError(t, err)
		require.InEpsilon(t, got.PPFD[0], got.PPFD[1], 1e-6)
		require.InEpsilon(t, got.PPFD[0], got.PPFD[2], 1e-6)
	})
}

// A wall that throws back more never takes light away, and glass lies between
// a dark wall and a perfect mirror.
func TestMoreReflectanceNeverLess(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBox(t)
		s := tank.Source{Emitters: []emitter.Emitter{drawEmitter(t, b)}, Flux: 100, Index: sea}
		places := []tank.Place{{X: 0, Y: b.Width / 3, Depth: b.Depth}, {X: b.Length * 0.9, Y: b.Width, Depth: b.Depth / 2}}
		at := func(w tank.Wall) []float64 {
			b.Left, b.Back = w, w
			e, err := b.AtSpacing(s, places, 0.1)
			require.NoError(t, err)
			return e
		}
		low := rapid.Float64Range(0, 1).Draw(t, "low")
		high := rapid.Float64Range(low, 1).Draw(t, "high")
		dark, dim, bright := at(tank.Wall{}), at(tank.Wall{Kind: tank.Share, Share: low}), at(tank.Wall{Kind: tank.Share, Share: high})
		glass, mirror := at(tank.Wall{Kind: tank.Glass}), at(tank.Wall{Kind: tank.Share, Share: 1})
		for i := range places {
			require.LessOrEqual(t, dark[i], dim[i]+1e-4)
			require.LessOrEqual(t, dim[i], bright[i]+1e-4) // images under a hundred-thousandth are dropped
			require.LessOrEqual(t, dark[i], glass[i])
			require.LessOrEqual(t, glass[i], mirror[i]*(1+1e-12))
		}
	})
}

// Perfect mirrors all round lose nothing: with no absorption the floor gets
// what enters, so does any other depth.
func TestMirrorsLoseNothing(t *testing.T) {
	b := walled(0.3, 0.2, 0.5, tank.Wall{Kind: tank.Share, Share: 1})
	e := emitter.Emitter{At: [2]float64{0.11, 0.07}, Height: 0.15, Light: beam(t, 120), Share: 1}
	g := tank.Grid{X0: .0005, Dx: .001, Nx: 300, Y0: .0005, Dy: .001, Ny: 200, Depths: []float64{0, 0.2, 0.5}}
	f, err := b.Grid(context.Background(), []tank.Source{{Emitters: []emitter.Emitter{e}, Flux: 100, Index: sea}}, g, tank.Options{})
	require.NoError(t, err)
	var sum [3]float64
	for i, v := range f.PPFD[0] {
		sum[i/(300*200)] += float64(v) * g.Dx * g.Dy
	}
	require.InEpsilon(t, sum[0], sum[1], 1e-3)
	require.InEpsilon(t, sum[0], sum[2], 1e-3)
}

// Light at a wall, a corner and under the rim is the limit of the light beside
// it: no image is counted twice, none is lost, whatever the walls are.
func TestContinuousAtWalls(t *testing.T) {
	for _, w := range []tank.Wall{{Kind: tank.Glass}, {Kind: tank.Dark}, {Kind: tank.Share, Share: .5}} {
		b := walled(1, .5, .4, w)
		for _, lamp := range [][2]float64{{.5, .25}, {0, .25}, {1, .25}, {.3, 0}, {1, .5}, {0, 0}} {
			s := tank.Source{Flux: 100, Index: sea, Emitters: []emitter.Emitter{{At: lamp, Height: .3, Light: beam(t, 120), Share: 1}}}
			const in = 1e-7
			for _, depth := range []float64{0, .2, .4} {
				got, err := b.At(s, []tank.Place{
					{X: 0, Y: .2, Depth: depth}, {X: in, Y: .2, Depth: depth},
					{X: 1, Y: .2, Depth: depth}, {X: 1 - in, Y: .2, Depth: depth},
					{X: .4, Y: 0, Depth: depth}, {X: .4, Y: in, Depth: depth},
					{X: 1, Y: .5, Depth: depth}, {X: 1 - in, Y: .5 - in, Depth: depth},
					{X: 0, Y: 0, Depth: depth}, {X: in, Y: in, Depth: depth},
				})
				require.NoError(t, err)
				for i := 0; i < len(got.PPFD); i += 2 {
					require.Greater(t, got.PPFD[i], 0.0)
					require.InEpsilon(t, got.PPFD[i+1], got.PPFD[i], 1e-4, "%v lamp %v depth %g place %d", w, lamp, depth, i)
				}
			}
		}
	}
}

// One emitter split into two of half the share, or one line cut in two, is the
// same light.
func TestSplitEmitterConserves(t *testing.T) {
	b := walled(1, .5, .4, tank.Wall{Kind: tank.Glass})
	whole := emitter.Emitter{Kind: emitter.Line, From: [2]float64{.1, .2}, To: [2]float64{.9, .3}, Height: .2, Light: beam(t, 90), Share: 1}
	left, right := whole, whole
	left.To, right.From = [2]float64{.5, .25}, [2]float64{.5, .25}
	left.Share, right.Share = .5, .5
	places := []tank.Place{{X: .1, Y: .1, Depth: .2}, {X: .5, Y: .25, Depth: .4}, {X: .97, Y: .48, Depth: .1}}
	at := func(e ...emitter.Emitter) []float64 {
		got, err := b.AtSpacing(tank.Source{Emitters: e, Flux: 100, Index: sea, Transmit: absorb(.3)}, places, .0202) // 40 parts, or twice 20
		require.NoError(t, err)
		return got
	}
	require.InDeltaSlice(t, at(whole), at(left, right), 1e-9)
}

// What At calls settled is: a spacing three times finer moves nothing by over
// 0.5 %, at walls and middle, for bodies as they hang over tanks.
func TestSettledMeansSettled(t *testing.T) {
	line := func(x0, y0, x1, y1, h, deg float64) emitter.Emitter {
		return emitter.Emitter{Kind: emitter.Line, From: [2]float64{x0, y0}, To: [2]float64{x1, y1}, Height: h, Light: beam(t, deg), Share: 1}
	}
	for name, e := range map[string]emitter.Emitter{
		"along":          line(.1, .2, 2.3, .2, .24, 90),
		"across":         line(1.2, .05, 1.2, .55, .15, 60),
		"aslant":         line(.2, .1, 2.2, .5, .3, 120),
		"low, narrow":    line(0, .3, 2.4, .3, .06, 40),
		"over the rim":   line(-.1, .3, .4, .3, .2, 90),
		"panel":          {Kind: emitter.Panel, At: [2]float64{1.5, .3}, Size: [2]float64{.12, .08}, Height: .3, Light: beam(t, 80), Axis: emitter.Vec{.2, 0, -1}, Share: 1},
		"large panel":    {Kind: emitter.Panel, At: [2]float64{.3, .3}, Size: [2]float64{.6, .5}, Height: .1, Light: beam(t, 120), Share: 1},
		"a line of dots": line(.3, .3, .302, .3, .2, 120),
	} {
		s := tank.Source{Emitters: []emitter.Emitter{e}, Flux: 100, Index: sea, Transmit: absorb(.3)}
		places := []tank.Place{{X: .02, Y: .1, Depth: .2}, {X: .3, Y: .3, Depth: .05}, {X: 1.2, Y: .3, Depth: .38}, {X: 2.38, Y: .58, Depth: .1}}
		got, err := glassBox.At(s, places)
		require.NoError(t, err)
		require.LessOrEqual(t, got.Moved, tank.Settled, name)
		finer, err := glassBox.AtSpacing(s, places, got.Spacing/3)
		require.NoError(t, err)
		for i, e := range finer {
			require.InDelta(t, e, got.PPFD[i], 0.005*math.Max(e, 1e-3*s.Flux/(2.4*.6)), "%s, place %d", name, i)
		}
	}
}

// A lamp beside the tank counts by the rays that come in over the rim.
func TestLampBesideTheTank(t *testing.T) {
	b := walled(1, .5, .4, tank.Wall{})
	s := tank.Source{Flux: 100, Index: sea, Emitters: []emitter.Emitter{{At: [2]float64{-.1, .25}, Height: .3, Light: beam(t, 120), Share: 1}}}
	got, err := b.At(s, []tank.Place{{X: .005, Y: .25, Depth: .4}, {X: .5, Y: .25, Depth: .4}})
	require.NoError(t, err)
	require.Zero(t, got.PPFD[0], "in the shadow of the end wall")
	s.Emitters[0].At[0] = .1
	mirrored, err := b.At(s, []tank.Place{{X: .7, Y: .25, Depth: .4}})
	require.NoError(t, err)
	require.InEpsilon(t, mirrored.PPFD[0], got.PPFD[1], 1e-12, "the same ray, shifted")
}

func TestSameResultOnAnyNumberOfCores(t *testing.T) {
	g := tank.Grid{X0: .01, Dx: .05, Nx: 48, Y0: .01, Dy: .05, Ny: 12, Depths: []float64{.05, .2, .35}}
	run := func(cores int) tank.Field {
		defer runtime.GOMAXPROCS(runtime.GOMAXPROCS(cores))
		f, err := glassBox.Grid(context.Background(), rack(t), g, tank.Options{})
		require.NoError(t, err)
		return f
	}
	require.Equal(t, run(1), run(5))
}

func TestGridStopsAndTells(t *testing.T) {
	g := tank.Grid{Dx: .5, Nx: 2, Dy: .5, Ny: 2, Depths: []float64{.1, .2}}
	var heard []int
	_, err := glassBox.Grid(context.Background(), rack(t)[:2], g, tank.Options{Progress: func(done, total int) {
		require.Equal(t, 4, total)
		heard = append(heard, done)
	}})
	require.NoError(t, err)
	require.Equal(t, []int{1, 2, 3, 4}, heard)
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	_, err = glassBox.Grid(ctx, rack(t), g, tank.Options{})
	require.ErrorIs(t, err, context.Canceled)
}

func TestWhatIsWrong(t *testing.T) {
	good := rack(t)[0]
	ok := []tank.Place{{X: .1, Y: .1, Depth: .1}}
	check := func(want string, b tank.Box, s tank.Source, p []tank.Place) {
		_, err := b.At(s, p)
		require.ErrorContains(t, err, want)
	}
	check("length 0 m", tank.Box{Width: 1, Depth: 1}, good, ok)
	box := glassBox
	box.Front = tank.Wall{Kind: tank.Share, Share: 1.2}
	check("front wall", box, good, ok)
	check("place", glassBox, good, []tank.Place{{X: math.NaN()}})
	check("depth -0.1 m", glassBox, good, []tank.Place{{Depth: -.1}})
	thin := good
	thin.Index = 0.9
	check("refractive index 0.9", glassBox, thin, ok)
	thin = good
	thin.Flux = math.Inf(1)
	check("flux", glassBox, thin, ok)
	thin = good
	thin.Emitters = []emitter.Emitter{{Share: 1, Light: oval{}}}
	check("emitter 1", glassBox, thin, ok)
	_, err := glassBox.Grid(context.Background(), nil, tank.Grid{}, tank.Options{})
	require.ErrorContains(t, err, "at least one place")
}

// Light is never lost to a number that is not one, however odd the geometry.
func TestAlwaysAFiniteNumber(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := drawBox(t)
		e := drawEmitter(t, b)
		e.Height = math.Pow(10, rapid.Float64Range(-5, 3).Draw(t, "log height"))
		s := tank.Source{Emitters: []emitter.Emitter{e}, Flux: 1e6, Index: rapid.SampledFrom([]float64{1.2, 1.34, 2}).Draw(t, "n"),
			Transmit: func(float64) float64 { return 0 }}
		if rapid.Bool().Draw(t, "clear") {
			s.Transmit = nil
		}
		e0, err := b.AtSpacing(s, []tank.Place{{X: e.At[0], Y: e.At[1]}, {X: 0, Y: b.Width, Depth: b.Depth}}, .3)
		require.NoError(t, err)
		for _, v := range e0 {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0) || v < 0)
		}
	})
}

// The middle ray of a broad part may enter beyond the rim while others of its
// rays still come in; such images lie a little farther out than any ray that
// enters inside, and the grid must look there too.
func TestBroadPartAcrossTheRim(t *testing.T) {
	b := tank.Box{Length: .42, Width: 1, Depth: .33, Right: tank.Wall{Kind: tank.Share, Share: 1}}
	s := tank.Source{Flux: 100, Index: 1.28, Emitters: []emitter.Emitter{{Kind: emitter.Panel, At: [2]float64{.25, .07},
		Size: [2]float64{.1, .06}, Height: .03, Light: beam(t, 114), Share: 1}}}
	g := tank.Grid{X0: .28, Dx: .1, Nx: 1, Y0: 0, Dy: .1, Ny: 1, Depths: []float64{.11}}
	f, err := b.Grid(context.Background(), []tank.Source{s}, g, tank.Options{Spacing: .2})
	require.NoError(t, err)
	want, err := b.AtSpacing(s, []tank.Place{g.Place(0)}, .2)
	require.NoError(t, err)
	require.InEpsilon(t, want[0], f.PPFD[0][0], 2e-4)
}
