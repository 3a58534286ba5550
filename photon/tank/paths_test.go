package tank_test

import (
	"math"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
)

// The paths of a place's rays, summed with what a water leaves of each, are the light of the same rays in that water:
// by mirrors, of points, panels and a bar in front of the tank that only some rays of come in.
func TestPathsAreTheSameRays(t *testing.T) {
	const spacing = 0.1
	_, over := bar(t)
	over.Emitters = append(over.Emitters, panel(t, .3, .2, .3).Emitters[0], emitter.Emitter{At: [2]float64{.2, .1}, Height: .2, Light: beam(t, 60), Share: 1})
	places := []tank.Place{{X: 1.2, Y: .3, Depth: .2}, {X: .02, Y: .59, Depth: .38}, {X: 2, Y: .1}}
	for _, b := range []tank.Box{glassBox, {Length: 2.4, Width: .6, Depth: .38}} {
		paths, err := b.Paths(over, places, spacing)
		require.NoError(t, err)
		for _, a := range []float64{0, 0.3, 3} {
			over.Transmit = absorb(a)
			want, err := b.AtSpacing(over, places, spacing)
			require.NoError(t, err)
			for i, p := range paths {
				require.InEpsilon(t, want[i], p.Sum(absorb(a)), 1e-6, "%g at %+v", a, places[i])
			}
		}
	}
}

// A grid finds its spacing at 64 places along an axis: one of 127 at a centimetre finds what one of 64 at two does,
// along x and along y.
func TestAWideGridIsProbedEvenly(t *testing.T) {
	b := tank.Box{Length: 1.3, Width: 1.3, Depth: .4}
	end := tank.Source{Flux: 100, Index: sea, Emitters: []emitter.Emitter{{Kind: emitter.Panel, At: [2]float64{1.2, 1.2}, Size: [2]float64{.3, .1}, Height: .1, Light: beam(t, 60), Share: 1}}}
	find := func(g tank.Grid) (spacing, moved float64) {
		g.Depths = []float64{.1}
		f, err := b.Grid(t.Context(), []tank.Source{end}, g, tank.Options{})
		require.NoError(t, err)
		return f.Spacing[0], f.Moved[0]
	}
	for _, g := range [][2]tank.Grid{
		{{Dx: .01, Nx: 127, Dy: 1.2, Ny: 2}, {Dx: .02, Nx: 64, Dy: 1.2, Ny: 2}},
		{{Dy: .01, Ny: 127, Dx: 1.2, Nx: 2}, {Dy: .02, Ny: 64, Dx: 1.2, Nx: 2}},
	} {
		many, far := find(g[0])
		few, near := find(g[1])
		require.Equal(t, few, many)
		require.Positive(t, near)
		require.InEpsilon(t, near, far, 1e-6)
	}
}

// At the surface a lamp of a level line and a panel is seen through no wall, and in air every ray has the same share of
// its way above the surface: both as place by place.
func TestGridAtItsLimits(t *testing.T) {
	line := emitter.Emitter{Kind: emitter.Line, From: [2]float64{-.2, .3}, To: [2]float64{1.1, .3}, Height: .2, Light: beam(t, 120), Share: .5}
	wide := emitter.Emitter{Kind: emitter.Panel, At: [2]float64{.2, .3}, Size: [2]float64{.1, .1}, Height: .2, Light: line.Light, Share: .5}
	across := emitter.Emitter{Kind: emitter.Line, From: [2]float64{.4, -.5}, To: [2]float64{.5, .1}, Height: .2, Light: line.Light, Share: 1}
	wall := tank.Wall{Kind: tank.Share, Share: 0.9}
	for _, x := range []struct {
		n, depth float64
		lamps    []emitter.Emitter
	}{{sea, 0, []emitter.Emitter{line, wide}}, {1, .2, []emitter.Emitter{across}}} {
		b := walled(1, .6, .4, wall)
		s := tank.Source{Flux: 100, Index: x.n, Emitters: x.lamps}
		g := tank.Grid{X0: .02, Dx: .06, Nx: 17, Y0: .02, Dy: .08, Ny: 8, Depths: []float64{x.depth}}
		f, err := b.Grid(t.Context(), []tank.Source{s}, g, tank.Options{Spacing: .004})
		require.NoError(t, err)
		var places []tank.Place
		for i := range g.Len() {
			places = append(places, g.Place(i))
		}
		want, err := b.AtSpacing(s, places, .004)
		require.NoError(t, err)
		for i, w := range want {
			require.InDelta(t, w, float64(f.PPFD[0][i]), 2e-3*math.Abs(w)+1e-3, "n %g, %+v", x.n, places[i])
		}
	}
}
