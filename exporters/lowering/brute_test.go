package lowering

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/dimmer"
	"dayloom/schedule/curve"
)

// brute is the least departure of any set of at most most points, by trying all
// of them: an account of its own of what a port gives, over a day of few times
// and few commands. The curve is straight between its breaks and the response
// linear, so both lights are straight between the times looked at and nothing
// can hide between them.
type brute struct {
	step   float64 // s between times
	levels []float64
	hold   bool
	want   curve.Curve
	jumps  []float64 // where the curve steps
	dark   []float64 // where light must be none
	looks  []float64
}

func (b brute) light(ts []int, ls []float64, t float64, before bool) float64 {
	n := len(ts)
	at := func(i int) float64 { return float64(ts[i]) * b.step }
	k := n - 1 // the last point not after t, over midnight
	for i := range n {
		if at(i) < t || at(i) == t && !before {
			k = i
		}
	}
	start := at(k)
	if start > t || start == t && before {
		start -= curve.Day
	}
	if b.hold {
		return ls[k]
	}
	next := (k + 1) % n
	end := at(next)
	for end <= start {
		end += curve.Day
	}
	return ls[k] + (ls[next]-ls[k])*(t-start)/(end-start)
}

func (b brute) departure(ts []int, ls []float64, least float64) float64 {
	worst := 0.0
	for _, t := range b.dark {
		if b.light(ts, ls, t, false) > 1e-12 {
			return math.Inf(1)
		}
	}
	for _, t := range b.looks {
		for _, before := range []bool{true, false} {
			lo, hi := b.right(t, before)
			y := b.light(ts, ls, t, before)
			worst = max(worst, lo-y, y-hi)
		}
		if worst > least {
			break
		}
	}
	return worst
}

// right is the lights that count as right just before or just after a time.
func (b brute) right(t float64, before bool) (lo, hi float64) {
	lo = b.want.At(t)
	if before {
		lo = b.want.Before(t)
	}
	hi = lo
	for _, j := range b.jumps {
		start := (math.Ceil(j/b.step) - 1) * b.step // of the time step in which the jump falls
		if b.hold && math.Mod(j, b.step) == 0 {
			continue // held points can jump just then
		}
		for _, day := range []float64{-curve.Day, 0, curve.Day} {
			if s := t - day - start; s > 0 && s < b.step || s == 0 && !before || s == b.step && before {
				lo = min(lo, b.want.At(j), b.want.Before(j))
				hi = max(hi, b.want.At(j), b.want.Before(j))
			}
		}
	}
	return lo, hi
}

// all visits every set of n times with every choice of levels.
func (b brute) all(n int, visit func(ts []int, ls []float64)) {
	slots := int(curve.Day / b.step)
	ts, ls := make([]int, n), make([]float64, n)
	var pick func(k, from int)
	pick = func(k, from int) {
		if k == n {
			visit(ts, ls)
			return
		}
		for t := from; t < slots; t++ {
			for _, l := range b.levels {
				ts[k], ls[k] = t, l
				pick(k+1, t+1)
			}
		}
	}
	pick(0, 0)
}

func (b brute) best(most int) float64 {
	least := math.Inf(1)
	for n := 1; n <= most; n++ {
		b.all(n, func(ts []int, ls []float64) { least = min(least, b.departure(ts, ls, least)) })
	}
	return least
}

// straightDay draws a day of straight pieces between lights of at least so many
// twentieths.
func straightDay(t *rapid.T, least int) curve.Curve {
	n := rapid.IntRange(2, 6).Draw(t, "n")
	minutes := rapid.SliceOfNDistinct(rapid.IntRange(0, 143), n, n, rapid.ID).Draw(t, "tens of minutes")
	slices.Sort(minutes)
	lights := make([]float64, n)
	for i := range lights {
		lights[i] = float64(rapid.IntRange(least, 20).Draw(t, "light")) / 20
	}
	var parts []curve.Curve
	for i := range minutes {
		k := (i + 1) % n
		from, to := float64(minutes[i])*600, float64(minutes[k])*600
		// a straight piece as a rise from nothing and a fall to nothing
		parts = append(parts, curve.Ramp(from, to, curve.Linear, 1, 0, lights[i]), curve.Ramp(from, to, curve.Linear, 0, 1, lights[k]))
	}
	return curve.Sum(parts...)
}

func percent(step float64, points int, hold bool, timeStep float64) Limits {
	r, _ := dimmer.Linear(0, 100)
	return Limits{Response: r, Range: [2]float64{0, 100}, Step: step, MaxPoints: points, Hold: hold, TimeStep: timeStep}
}

func compare(t require.TestingT, want curve.Curve, l Limits, jumps []float64) {
	g := newGrid(newTarget(want, newLadder(l.whole()), l.whole()), newLadder(l.whole()), l.whole())
	b := brute{step: l.TimeStep, hold: l.Hold, want: want, jumps: jumps}
	for c := 0.0; c <= 100; c += l.Step {
		b.levels = append(b.levels, c/100)
	}
	for s := 0.0; s < curve.Day; s += l.TimeStep {
		b.looks = append(b.looks, s)
	}
	for _, t := range want.Breaks() {
		b.looks = append(b.looks, wrap(t)) // the day's end is its beginning
	}
	if g.night() {
		b.dark = []float64{g.t[g.calm]}
		if l.Hold {
			for _, t := range b.looks {
				if lo, hi := b.right(t, false); lo == 0 && hi == 0 {
					b.dark = append(b.dark, t)
				}
			}
		}
	}
	got, least := g.best(l.MaxPoints), b.best(l.MaxPoints)
	floor := max(least, finest)
	assert.LessOrEqual(t, got.departure, floor*(1+2*tight), "the search does as well as trying everything")
	assert.GreaterOrEqual(t, got.departure, least*(1-1e-9), "and no better")
	assert.LessOrEqual(t, len(got.vertices), l.MaxPoints)
	if n := len(got.vertices); n > 1 {
		assert.Greater(t, b.best(n-1), got.departure*(1-1e-9), "one point fewer would not do")
	}
}

// 8 times, 5 levels, up to 3 points: 37 thousand tracks, all tried.
func TestRampIsOptimal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { compare(t, straightDay(t, 0), percent(25, 3, false, 10800), nil) })
}

// Light that never falls below the lowest level lit: nothing is switched there.
func TestHoldIsOptimal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) { compare(t, straightDay(t, 5), percent(25, 3, true, 10800), nil) })
}

// Switches: a lamp on at full between two times, on the grid of times or off it.
func TestJumpsAreOptimal(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		on := float64(rapid.IntRange(0, 23).Draw(t, "on")) * 3600
		off := wrap(on + float64(rapid.IntRange(7, 17).Draw(t, "hours"))*3600)
		hold := rapid.Bool().Draw(t, "hold")
		compare(t, curve.Hold(on, off, 1), percent(50, rapid.IntRange(2, 4).Draw(t, "points"), hold, 10800), []float64{on, off})
	})
}

// 12 times, 6 levels, up to 4 points: 700 thousand tracks, all tried, once for
// ramps and once for held points.
func TestTwelveTimesSixLevelsFourPoints(t *testing.T) {
	day := curve.Sum(curve.Ramp(5*3600, 10*3600, curve.Linear, 0, 1, 0.9), curve.Hold(10*3600, 14.5*3600, 0.9),
		curve.Ramp(14.5*3600, 22*3600, curve.Linear, 1, 0, 0.9))
	compare(t, day, percent(20, 4, false, 7200), nil)
	compare(t, curve.Sum(curve.Always(0.2), day.Scale(0.8)), percent(20, 4, true, 7200), nil)
}
