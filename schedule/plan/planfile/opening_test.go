package planfile

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/emitter"
	"dayloom/photon/ies"
	"dayloom/photon/tank"
	"dayloom/schedule/text/yamltree"
)

// A trough of 120 × 30 cm with the light of a flat face (cosine law) gives 25 cm over
// water what a panel of that size and 120° gives, not what a point does: the point is
// 3 times too bright below it and all but dark 55 cm aside.
func TestOpeningIsSpread(t *testing.T) {
	p, problems, _ := loadIn("../../../testdata/warned", "034-large-opening.yaml")
	require.Equal(t, 1, len(problems))
	e := p.Channels[1].Emitters[0]
	assert.Equal(t, emitter.Panel, e.Kind)
	assert.Equal(t, [2]float64{1.2, 0.3}, e.Size)
	face := e
	var err error
	face.Light, err = emitter.Beam(2 * math.Pi / 3)
	require.NoError(t, err)
	at := func(e emitter.Emitter) []float64 {
		e.Height = 0.25
		l, err := p.Tank.Box.At(tank.Source{Emitters: []emitter.Emitter{e}, Flux: 100, Index: 1.34}, []tank.Place{{X: 0.6, Y: 0.3, Depth: 0.1}, {X: 1.15, Y: 0.3, Depth: 0.1}})
		require.NoError(t, err)
		return l.PPFD
	}
	spread := at(e)
	assert.InEpsilonSlice(t, at(face), spread, 0.01, "the file's straight lines between every 10° against the cosine")
	point := e
	point.Kind = emitter.Point
	assert.Greater(t, at(point)[0], 2.5*spread[0])
	assert.Less(t, at(point)[1], 0.4*spread[1])
}

// φ = 0 runs along x before it is turned; a round opening of 10 cm has the second
// moment D²/16 = s²/12 of a square of 8.66 cm.
func TestShapesOfOpenings(t *testing.T) {
	over := func(o ies.Opening, turn float64) emitter.Emitter {
		e := emitter.Emitter{At: [2]float64{1, 2}, Height: 10, Turn: turn}
		overOpening(&e, o, yamltree.Value{})
		return e
	}
	assert.Equal(t, emitter.Point, over(ies.Opening{}, 0).Kind)
	round := over(ies.Opening{Length: 0.1, Width: 0.1, Round: true}, 0)
	assert.InDelta(t, 0.0866, round.Size[0], 1e-4)
	assert.InDelta(t, 0.0866, round.Size[1], 1e-4)
	tube := over(ies.Opening{Length: 1}, math.Pi/2)
	assert.Equal(t, emitter.Line, tube.Kind)
	assert.InDeltaSlice(t, []float64{1, 1.5, 1, 2.5}, []float64{tube.From[0], tube.From[1], tube.To[0], tube.To[1]}, 1e-12)
	across := over(ies.Opening{Width: 1}, 0)
	assert.InDeltaSlice(t, []float64{1, 1.5, 1, 2.5}, []float64{across.From[0], across.From[1], across.To[0], across.To[1]}, 1e-12)
}

// The ends of a line may have heights of their own.
func TestLineOfTwoHeights(t *testing.T) {
	p, problems := quayWith(t, "line: {from: [20 cm, 30 cm], to: [220 cm, 30 cm], height: 30 cm}", "line: {from: [20 cm, 30 cm, 24 cm], to: [220 cm, 30 cm, 40 cm]}")
	require.Empty(t, problems)
	e := p.Channels[2].Emitters[0]
	assert.InDelta(t, 0.24, e.Height, 1e-12)
	assert.InDelta(t, 0.16, e.Rise, 1e-12)
	assert.Equal(t, [2]float64{0.2, 0.3}, e.From)
}

// An efficacy counts photons of 400-700 nm: 2.4 µmol/J of 5 W are 12 µmol/s there, and
// a lamp whose peak at 400 nm has half of its photons below gives twice that in all.
// In a band of its own, 12 µmol/s above 400 nm are all of its 400-700 nm.
func TestEfficacyCountsItsBand(t *testing.T) {
	for given, want := range map[string]float64{"efficacy: 2.40": 12, "flux: 12 umol/s #": 12, "flux: 12 umol/s 400-700 nm #": 12, "flux: 12 umol/s 380-400 nm #": 12} {
		p, _ := quayWith(t, "efficacy: 2.4", given, "{peak: 470 nm, width: 25 nm}", "{peak: 400 nm, width: 10 nm}")
		require.NotNil(t, p)
		assert.InDelta(t, 24, p.Channels[3].Flux.TotalUmolS, 0.6, given)
		assert.InDelta(t, want, p.Channels[3].Flux.UmolS, 0.6, given)
	}
}
