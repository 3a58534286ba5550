package tank_test

import (
	"fmt"
	"math"

	"dayloom/photon/emitter"
	"dayloom/photon/tank"
)

// A lamp of 100 µmol/s, Lambertian, 30 cm over a tank with dark walls: on its axis at
// apparent depth 0.5/1.34 the light is Φ/π T/(h + d/n)², T = 0.979 by Fresnel.
func ExampleBox_At() {
	beam, _ := emitter.Beam(120 * math.Pi / 180)
	lamp := emitter.Emitter{Kind: emitter.Point, At: [2]float64{0.5, 0.25}, Height: 0.3, Light: beam, Share: 1}
	box := tank.Box{Length: 1, Width: 0.5, Depth: 0.6}
	l, err := box.At(tank.Source{Emitters: []emitter.Emitter{lamp}, Flux: 100, Index: 1.34},
		[]tank.Place{{X: 0.5, Y: 0.25, Depth: 0.5}, {X: 0.9, Y: 0.25, Depth: 0.5}})
	fmt.Printf("%.1f %.1f µmol/m²/s %v\n", l.PPFD[0], l.PPFD[1], err)
	// Output:
	// 68.8 42.3 µmol/m²/s <nil>
}
