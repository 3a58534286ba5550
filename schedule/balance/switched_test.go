package balance_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// 200 µmol/m²/s for h hours: 0.72 h mol/m²/d. 2.88 takes 4 h, about 14:00.
func TestHoursAreFound(t *testing.T) {
	s := newSketch(1)
	s.switched(0, 10, 18, 1)
	s.coral("a", 2.88, 200).Within = 1e-6
	a := solve(t, s, balance.Options{})
	assert.True(t, a.Met)
	assert.InDelta(t, 4, *a.Channels[0].Hours, 1e-5)
	assert.InDelta(t, 12*hour, a.Switch[0].On, 0.1)
	assert.InDelta(t, 16*hour, a.Switch[0].Off, 0.1)
}

// at_least keeps it on for 6 h, 50 % too bright.
func TestLeastHours(t *testing.T) {
	s := newSketch(1)
	s.switched(0, 10, 18, 6)
	s.coral("a", 2.88, 200)
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 6, *a.Channels[0].Hours, 1e-6)
	assert.InDelta(t, 0.5, a.Places[0].Departure, 1e-6)
	assert.Equal(t, []string{"a is on for its shortest, 6 h", "a: DLI 4.32, 50 % above target 2.88"}, said(a))
}

// The lamp alone is above the cap, so it stays off if it may, and no balance exists if it may not.
func TestOffWhenTheCapForbidsIt(t *testing.T) {
	s := newSketch(2)
	s.switched(0, 10, 18, 0)
	s.day(1)
	s.coral("a", 3.6, 200, 100).PPFDMax = 150
	a := solve(t, s, balance.Options{})
	assert.Equal(t, a.Switch[0].On, a.Switch[0].Off)
	assert.InDelta(t, 1, a.Peaks[1], 1e-6)
	assert.True(t, a.Met)
	s.p.Day[0].Switched.Window.AtLeast = hour
	_, problems := balance.Solve(ctx, s.p, s.f, balance.Options{})
	assert.Contains(t, errors(problems), "already gives 200 µmol/m²/s where 150 µmol/m²/s is allowed")
}

// One end given: hours grow from it.
func TestOneEndGiven(t *testing.T) {
	s := newSketch(1)
	s.switched(0, 10, 18, 1)
	s.p.Day[0].Switched.AutoOn, s.p.Day[0].Switched.On = false, 11*hour
	s.coral("a", 2.88, 200).Within = 1e-6
	a := solve(t, s, balance.Options{})
	assert.InDelta(t, 11*hour, a.Switch[0].On, 1e-6)
	assert.InDelta(t, 15*hour, a.Switch[0].Off, 0.1)
	s.p.Day[0].Switched.AutoOn, s.p.Day[0].Switched.AutoOff, s.p.Day[0].Switched.Off = true, false, 17*hour
	a = solve(t, s, balance.Options{})
	assert.InDelta(t, 13*hour, a.Switch[0].On, 0.1)
	assert.Equal(t, 17*hour, a.Switch[0].Off)
}

// A dimmed lamp of the morning and the evening, and a switched one between: the longer the switched
// one burns, the lower the cap lets the others' ramps be. Every quarter of an hour of it, with the
// peak chosen as well as it can be, is no better than the answer.
func TestHoursAgainstEveryQuarter(t *testing.T) {
	s := newSketch(2)
	s.switched(0, 9, 19, 0)
	s.daylight(1, 8, 12, 12, 20, curve.Solar)
	s.coral("a", 9, 150, 500).PPFDMax = 320
	s.coral("b", 4, 60, 300)
	a := solve(t, s, balance.Options{})
	best := math.Inf(1)
	for q := range 41 * 21 {
		h := float64(q/21) * hour / 4
		on := 9*hour + (10*hour-h)*float64(q%21)/20
		tried := balance.Answer{Peaks: []float64{0, 0}, Switch: []day.Hours{{On: on, Off: on + h}, {}}}
		for k := range 101 {
			tried.Peaks[1] = float64(k) / 100
			r := dose.Of(s.p, s.f, day.Build(balance.Found(s.p, tried), balance.Options{}.Date, day.Change{}), nil)
			if r.Corals[0].Peak <= 320 {
				best = min(best, max(0, math.Abs(r.Corals[0].DLI/9-1)-0.1)+max(0, math.Abs(r.Corals[1].DLI/4-1)-0.1))
			}
		}
	}
	assert.LessOrEqual(t, a.Certificate.Sum, best+1e-6)
	assert.Greater(t, a.Certificate.Sum, best-0.03) // a step of the grid is worth about that
	r := dose.Of(s.p, s.f, build(s, balance.Options{}, a), nil)
	require.NotEqual(t, dose.OverLimit, r.Corals[0].Verdict)
}

// A bright lamp of the morning leaves no room under the cap for the tubes until 18:00: hours in the middle of their window
// would be too bright, and at its end they are not.
func TestHoursAreFreeInTheirWindow(t *testing.T) {
	s := newSketch(2)
	s.switched(0, 10, 22, 0)
	s.daylight(1, 8, 8, 18, 18, curve.Linear)
	s.p.Day[1].Daylight.Peak = plan.Level{Fraction: 1}
	s.coral("a", 10.8+2.88, 200, 300).PPFDMax = 400
	a := solve(t, s, balance.Options{})
	assert.True(t, a.Met)
	assert.GreaterOrEqual(t, a.Switch[0].On, 18*hour-1e-6)
	assert.LessOrEqual(t, a.Switch[0].Off, 22*hour+1e-6)
}
