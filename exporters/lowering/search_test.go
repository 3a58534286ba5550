package lowering

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/shape/curve"
)

// A smooth rise to 80 % in 2.5 h passes 20 % where (1 − cos πu)/2 is a quarter, at a third of it; the straight fall after it
// passes at three quarters.
func TestCrossingsByHand(t *testing.T) {
	day := curve.Sum(curve.Ramp(8*hour, 10.5*hour, curve.Smooth, 0, 1, 0.8), curve.Ramp(10.5*hour, 11.5*hour, curve.Linear, 1, 0, 0.8))
	assert.InDeltaSlice(t, []float64{8*hour + 2.5*hour/3, 11.25 * hour}, crossings(day, 0.2), 1e-3)
	assert.Empty(t, crossings(day, 0.9))
}

// A way found keeps within its departure at every sample, days without a dark part among them.
func TestAWayKeepsWithinItsTube(t *testing.T) {
	found := 0
	for _, day := range []curve.Curve{smoothDay(0.8), curve.Sum(curve.Always(0.2), smoothDay(0.6)),
		curve.Sum(curve.Always(0.1), curve.Ramp(0, 12*hour, curve.Smooth, 1, 0, 0.5), curve.Ramp(12*hour, 24*hour, curve.Smooth, 0, 1, 0.5))} {
		for _, points := range []int{5, 8} {
			l := volts(t, points, false).whole()
			r := newLadder(l)
			g := newGrid(newTarget(day, r, l), r, l, 1800, 1)
			for _, departure := range []float64{0.01, 0.03, 0.06, 0.1} {
				s := g.within(departure, points)
				if s.vertices == nil {
					continue
				}
				found++
				p := player{l, g.points(s.vertices)}
				for i, at := range g.t[:g.n] {
					c := p.command(at)
					require.True(t, g.cl[i]-1e-4 <= c && c <= g.cu[i]+1e-4, "%g V at %g of %g to %g: %v", c, at, g.cl[i], g.cu[i], p.points)
				}
			}
		}
	}
	require.Greater(t, found, 12)
}

// A point that is moved stays dark or gives light: a lamp that lights with a jump has no rung between.
func TestPlacesBesideAPoint(t *testing.T) {
	l := volts(t, 8, false).whole()
	r := newLadder(l)
	g := newGrid(newTarget(smoothDay(0.8), r, l), r, l, 600, 1)
	g.tube(0.2, g.most())
	seen := map[bool]int{}
	for i := range g.n {
		if !g.station[i] {
			continue
		}
		for _, rung := range []int{0, r.lit, r.top} {
			for _, v := range g.beside(vertex{i, rung}, 1600) {
				assert.True(t, v.rung == 0 || v.rung >= r.lit && v.rung <= r.top, "%d beside %d", v.rung, rung)
				seen[v.rung == 0]++
			}
		}
	}
	assert.Positive(t, seen[true])
	assert.Positive(t, seen[false])
}
