package tank_test

import (
	"context"
	"math"
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
)

func panel(t testing.TB, length, width, height float64) tank.Source {
	return tank.Source{Flux: 100, Index: sea, Emitters: []emitter.Emitter{{Kind: emitter.Panel, At: [2]float64{1.2, .3},
		Size: [2]float64{length, width}, Height: height, Light: beam(t, 120), Share: 1}}}
}

// What is too large is refused before any work is done, with what to do.
func TestLimits(t *testing.T) {
	deep := []tank.Place{{X: 1.2, Y: .3, Depth: .2}}
	narrow := glassBox
	narrow.Length, narrow.Width = 0.005, 0.005
	_, err := narrow.At(panel(t, .1, .1, .3), []tank.Place{{Depth: .3}})
	require.ErrorContains(t, err, "no more than 2500 images are taken: make it wider or shallower")
	_, err = glassBox.At(panel(t, 100, 100, .3), deep)
	require.ErrorContains(t, err, "no more than 20000 are taken: make them smaller, or hang them higher")
	_, err = glassBox.Grid(context.Background(), []tank.Source{panel(t, 100, 100, .3)}, everyCentimetre(), tank.Options{})
	require.ErrorContains(t, err, "no more than 20000")
	_, err = glassBox.Grid(context.Background(), []tank.Source{panel(t, 2, 2, .3)}, everyCentimetre(), tank.Options{Spacing: 1e-3})
	require.ErrorContains(t, err, "no more than 20000")
	narrow.Length = 1e-9
	require.ErrorContains(t, narrow.Validate(), "from 0.001 m to 1000 m")
	long := panel(t, 1, 1, .3)
	long.Emitters[0] = emitter.Emitter{Kind: emitter.Line, From: [2]float64{-100, .3}, To: [2]float64{100, .3}, Height: .3, Light: beam(t, 120), Share: 1}
	got, err := glassBox.At(long, deep)
	require.NoError(t, err, "a line of 200 m is within the limits")
	require.LessOrEqual(t, got.Moved, tank.Settled)
}

// A panel over all of the tank and 2 mm from the water is far from the corals: few
// samples serve. Between mirrors every ray comes down, so at any depth in clear water
// the light is the flux that passes the surface over its area; a Lambertian lamp loses
// 6.7511 % there (Fresnel at n 1.34, see DEVELOPERS.md), and less than 1 % near
// the rim by the slit between rim and lamp.
func TestPanelOnTheWater(t *testing.T) {
	b := walled(2, .6, .38, tank.Wall{Kind: tank.Share, Share: 1})
	s := panel(t, 2, .6, .002)
	s.Emitters[0].At = [2]float64{1, .3}
	got, err := b.At(s, []tank.Place{{X: 1, Y: .3, Depth: .2}, {X: .1, Y: .1, Depth: .3}})
	require.NoError(t, err)
	require.LessOrEqual(t, got.Moved, tank.Settled)
	require.InEpsilon(t, 100/1.2*(1-0.067511), got.PPFD[0], 2e-3)
	require.InDelta(t, 100/1.2*(1-0.067511-0.005), got.PPFD[1], 0.4)
}

// A panel turned by 90° is the panel with its sides exchanged; by 30°, a line of the
// same turn for one that is thin; and a line of two heights is the sum of points.
func TestTurnedPanelAndSlopingLine(t *testing.T) {
	places := []tank.Place{{X: .3, Y: .2, Depth: .1}, {X: 1.6, Y: .5, Depth: .3}}
	at := func(e emitter.Emitter) []float64 {
		e.Light, e.Share = beam(t, 90), 1
		got, err := glassBox.At(tank.Source{Flux: 100, Index: sea, Emitters: []emitter.Emitter{e}}, places)
		require.NoError(t, err)
		return got.PPFD
	}
	sides := emitter.Emitter{Kind: emitter.Panel, At: [2]float64{1, .3}, Size: [2]float64{.2, .4}, Height: .3}
	turned := sides
	turned.Size, turned.Turn = [2]float64{.4, .2}, math.Pi/2
	require.InEpsilonSlice(t, at(sides), at(turned), 1e-6)
	thin := emitter.Emitter{Kind: emitter.Panel, At: [2]float64{1, .3}, Size: [2]float64{.4, .001}, Turn: math.Pi / 6, Height: .3}
	c, s := .2*math.Cos(math.Pi/6), .2*math.Sin(math.Pi/6)
	line := emitter.Emitter{Kind: emitter.Line, From: [2]float64{1 - c, .3 - s}, To: [2]float64{1 + c, .3 + s}, Height: .3}
	require.InEpsilonSlice(t, at(line), at(thin), 1e-3)

	slope := emitter.Emitter{Kind: emitter.Line, From: [2]float64{.4, .1}, To: [2]float64{1.9, .5}, Height: .2, Rise: .3}
	want := make([]float64, len(places))
	const n = 400
	for i := range n {
		u := (float64(i) + .5) / n
		for k, e := range at(emitter.Emitter{At: [2]float64{.4 + 1.5*u, .1 + .4*u}, Height: .2 + .3*u}) {
			want[k] += e / n
		}
	}
	require.InEpsilonSlice(t, want, at(slope), 2e-3)
	g := tank.Grid{X0: .3, Dx: 1.3, Nx: 2, Y0: .2, Dy: .3, Ny: 2, Depths: []float64{.1, .3}}
	slope.Light, slope.Share = beam(t, 90), 1
	f, err := glassBox.Grid(context.Background(), []tank.Source{{Flux: 100, Index: sea, Emitters: []emitter.Emitter{slope}}}, g, tank.Options{})
	require.NoError(t, err)
	require.InEpsilon(t, want[0], f.PPFD[0][0], 4e-3)
	require.InEpsilon(t, want[1], f.PPFD[0][7], 4e-3)
}
