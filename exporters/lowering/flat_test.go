package lowering

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/curve"
)

// Level days get the same departure from the short way as from the search, or less,
// and keep the dose; ramps to within the rungs about the level.
func TestFlatIsNoWorseThanTheSearch(t *testing.T) {
	off := 1.2
	cutIn, err := dimmer.FromSpec(dimmer.Spec{Kind: "table", Range: [2]float64{0, 10}, OffBelow: &off, Points: [][2]float64{{1.2, 0.07}, {10, 1}}})
	require.NoError(t, err)
	percent, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	log, err := dimmer.Log(0, 255)
	require.NoError(t, err)
	tried := 0
	rapid.Check(t, func(t *rapid.T) {
		l := rapid.SampledFrom([]Limits{
			{Response: cutIn, Range: [2]float64{0, 10}, Step: 0.1},
			{Response: percent, Range: [2]float64{0, 100}, Step: 1, Hold: true},
			{Response: percent, Range: [2]float64{0, 100}, Step: 1},
			{Response: log, Range: [2]float64{0, 255}, Step: 1},
		}).Draw(t, "port")
		l.MaxPoints, l.TimeStep = rapid.IntRange(3, 12).Draw(t, "points"), 300
		from := 300 * float64(rapid.IntRange(0, 287).Draw(t, "from"))
		to := 300 * float64(rapid.IntRange(0, 287).Draw(t, "to"))
		want := curve.Hold(from, to, rapid.Float64Range(0.002, 1).Draw(t, "level"))
		limits := l.whole()
		rungs := newLadder(limits)
		asked := newTarget(want, rungs, limits)
		points, ok := flat(asked, rungs, limits)
		if !ok {
			return
		}
		tried++
		short := report(asked, rungs, limits, points)
		g := newGrid(asked, rungs, limits)
		long := report(asked, rungs, limits, g.points(g.keepDose(g.best(limits.MaxPoints), limits).vertices))
		assert.LessOrEqual(t, len(points), limits.MaxPoints)
		assert.InDelta(t, short.DoseAsked, short.DoseDelivered, limits.DoseTolerance*short.DoseAsked+1e-6)
		if math.Abs(long.DoseDelivered-long.DoseAsked) <= limits.DoseTolerance*long.DoseAsked {
			slack := 1e-4
			if !l.Hold { // the search may make up a dose with a glimmer at night
				level, _ := want.Max()
				near := rungs.nearest(level)
				slack += rungs.light(min(near+1, rungs.top)) - rungs.light(max(near-1, 0))
			}
			assert.LessOrEqual(t, short.Greatest, long.Greatest+slack)
		}
	})
	require.Greater(t, tried, 3, "too few days went the short way to prove anything")
}

// Moonlight of 4.22 % on a held port of whole percents: by hand, 5 % for 22 % of the
// nine hours (118.8 of 540 minutes) and 4 % for the rest.
func TestMoonlightBetweenTwoSteps(t *testing.T) {
	percent, err := dimmer.Linear(0, 100)
	require.NoError(t, err)
	r := Lower(curve.Hold(21*3600, 6*3600, 0.0422), Limits{Response: percent, Range: [2]float64{0, 100}, Step: 1, Hold: true, MaxPoints: 4})
	require.Len(t, r.Points, 3)
	assert.Equal(t, 6*3600., r.Points[0].Time)
	assert.Equal(t, 0., r.Points[0].Command)
	assert.Equal(t, 21*3600., r.Points[1].Time)
	assert.Equal(t, 5., r.Points[1].Command)
	assert.Equal(t, 21*3600.+119*60, r.Points[2].Time)
	assert.Equal(t, 4., r.Points[2].Command)
	assert.InEpsilon(t, r.DoseAsked, r.DoseDelivered, 1e-4)
}
