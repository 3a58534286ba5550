package lowering

import (
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/shape/curve"
)

// A smooth rise to 80 % in 2.5 h passes 20 % where (1 − cos πu)/2 is a quarter, at a third of it; the straight fall after it
// passes at three quarters.
func TestCrossingsByHand(t *testing.T) {
	day := curve.Sum(curve.Ramp(8*hour, 10.5*hour, curve.Smooth, 0, 1, 0.8), curve.Ramp(10.5*hour, 11.5*hour, curve.Linear, 1, 0, 0.8))
	got := crossings(day, 0.2)
	require.Len(t, got, 2)
	assert.InDeltaSlice(t, []float64{8*hour + 2.5*hour/3, 11.25 * hour}, got, 1e-3)
	assert.Empty(t, crossings(day, 0.9))
}

// A light that jumps at 12:00 and 15:30 is right on both sides within a time step of the jump, and nowhere else.
func TestBandsByHand(t *testing.T) {
	for _, hold := range []bool{false, true} {
		l := percent(1, 8, hold, 60).whole()
		a := newTarget(curve.Hold(12*hour, 15.5*hour, 0.8), newLadder(l), l)
		for at, want := range map[float64]band{6: {}, 11: {}, 13: {0.8, 0.8}, 15: {0.8, 0.8}, 17: {}} {
			before, after := a.bands(at * hour)
			assert.Equal(t, want, before, "%g h, held %v", at, hold)
			assert.Equal(t, want, after, "%g h, held %v", at, hold)
		}
	}
}

// A lamp that lights with a jump goes from dark to lit in one time step, whatever moves the tube leaves.
func TestDarkToLitInOneStep(t *testing.T) {
	l := volts(t, 8, false).whole()
	r := newLadder(l)
	g := newGrid(newTarget(smoothDay(0.8), r, l), r, l, 600, 1)
	g.tube(2, g.most())
	dark := slices.IndexFunc(g.t, func(t float64) bool { return t >= 9*hour })
	next := slices.IndexFunc(g.t, func(t float64) bool { return t >= g.t[dark]+60 })
	later := slices.IndexFunc(g.t, func(t float64) bool { return t >= g.t[dark]+1800 })
	w := g.weave(start{vertex{g.night, 0}, false}, [][]vertex{{{dark + g.n, 0}}, {{next + g.n, 0}, {next + g.n, r.lit}, {later + g.n, 0}, {later + g.n, r.lit}}})
	require.Equal(t, 60.0, g.t[next]-g.t[dark])
	var to []vertex
	for _, m := range w.moves[1] {
		to = append(to, w.at[m.to])
	}
	assert.Equal(t, []vertex{{next + g.n, 0}, {next + g.n, r.lit}, {later + g.n, 0}}, to)
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
			for _, v := range append(g.beside(vertex{i, rung}, 8), g.beside(vertex{i, rung}, 1600)...) {
				assert.True(t, v.rung == 0 || v.rung >= r.lit && v.rung <= r.top, "%d beside %d", v.rung, rung)
				seen[v.rung == 0]++
			}
		}
	}
	assert.Positive(t, seen[true])
	assert.Positive(t, seen[false])
}
