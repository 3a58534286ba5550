package tank_test

import (
	"testing"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"

	"github.com/stretchr/testify/require"
)

// Two lamps over a 100 × 50 cm tank. The figures come from a ray simulation
// made apart from this package, within its noise (0.3 to 3 % by place), and
// from the same equations worked out apart to the four digits given.
func TestTwoLampsGlassAndDark(t *testing.T) {
	for name, want := range map[string]struct {
		at          tank.Place
		glass, dark float64
	}{
		"middle":     {tank.Place{X: .5, Y: .25, Depth: .2}, 180.4, 180.4},
		"left front": {tank.Place{X: .1, Y: .1, Depth: .38}, 364.4, 145.7},
		"right back": {tank.Place{X: .95, Y: .45, Depth: .3}, 102.5, 33.2},
		"front wall": {tank.Place{X: .3, Y: .03, Depth: .39}, 307.2, 153.2},
	} {
		for _, wall := range []tank.WallKind{tank.Glass, tank.Dark} {
			w := tank.Wall{Kind: wall}
			box := tank.Box{Length: 1, Width: .5, Depth: .4, Left: w, Right: w, Front: w, Back: w}
			var sum float64
			for _, s := range twoLamps(t) {
				got, err := box.At(s, []tank.Place{want.at})
				require.NoError(t, err)
				sum += got.PPFD[0]
			}
			expect := want.glass
			if wall == tank.Dark {
				expect = want.dark
			}
			require.InDelta(t, expect, sum, 0.051, name)
		}
	}
}

func twoLamps(t testing.TB) []tank.Source {
	m3 := beam(t, 2*37.46701693) // full angle with cos(B/2)³ = ½
	return []tank.Source{
		{Flux: 100, Index: 1.34, Transmit: absorb(0.3), Emitters: []emitter.Emitter{{At: [2]float64{.5, .25}, Height: .3, Light: beam(t, 120), Share: 1}}},
		{Flux: 50, Index: 1.34, Transmit: absorb(0.3), Emitters: []emitter.Emitter{{At: [2]float64{.2, .1}, Height: .2, Light: m3, Share: 1}}},
	}
}
