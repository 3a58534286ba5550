package balanced_test

import (
	"context"
	"os"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/acclimate/balanced"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
)

// tank is a long tank with a lamp over either end. staghorn comes from 5 under the left
// one, fan stands under the right one; the lamps hardly reach each other's corals.
const tank = `plan: 1
name: two ends
clock: {zone: Europe/Lisbon}
tank: {length: 300 cm, width: 60 cm, depth: 40 cm, walls: {left: dark, right: dark, front: dark, back: dark}}
channels:
  left:
    flux: 200 umol/s
    power: 100 W
    spectrum: {peak: 455 nm, width: 22 nm}
    emitters: [{point: {at: [50 cm, 30 cm], height: 30 cm}, beam: 70 deg}]
  left-violet:
    flux: 40 umol/s
    power: 30 W
    spectrum: {peak: 405 nm, width: 14 nm}
    emitters: [{point: {at: [50 cm, 30 cm], height: 30 cm}, beam: 70 deg}]
  right:
    flux: 200 umol/s
    power: 100 W
    spectrum: {peak: 455 nm, width: 22 nm}
    emitters: [{point: {at: [250 cm, 30 cm], height: 30 cm}, beam: 70 deg}]
zones:
  ends:
    dli: 13
    within: 15 %
    dli_min: 8
    corals:
      staghorn: {x: 50 cm, y: 30 cm, depth: 15 cm}
      fan: {x: 250 cm, y: 30 cm, depth: 15 cm}
day:
  - channels: [left, right]
    sunrise: {from: "09:00", to: "11:00", shape: smooth}
    peak: 60 %
    sunset: {from: "17:00", to: "19:00", shape: smooth}
  - channels: [left-violet]
    sunrise: {from: "09:00", to: "11:00", shape: smooth}
    peak: 50 %
    sunset: {from: "17:00", to: "19:00", shape: smooth}
acclimation:
  - {corals: [staghorn], arrives: 2027-02-03, from_dli: 5, over: 8 weeks, every: 1 week, step_max: 20 %, by: balance}
`

func programme(t *testing.T) (*plan.Plan, *acclimate.Programme) {
	t.Helper()
	p, problems := planfile.Load(func(name string) ([]byte, error) {
		if name == "plan.yaml" {
			return []byte(tank), nil
		}
		return nil, os.ErrNotExist
	}, "plan.yaml")
	require.False(t, problems.HasErrors(), "%v", problems)
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), "%v", problems)
	return p, acclimate.New(p, f, acclimate.Options{Solver: balanced.Solver(context.Background())})
}

// With a lamp of its own the newcomer is brought up alone.
func TestOnlyTheNewcomersCornerIsDimmed(t *testing.T) {
	_, g := programme(t)
	require.Zero(t, g.Problems.Count(diag.Error), "%v", g.Problems)
	require.Len(t, g.Steps, 9)
	for k, s := range g.Steps {
		newcomer, fan := s.Corals[0], s.Corals[1]
		assert.InEpsilon(t, newcomer.Target, newcomer.DLI, 0.02, "step %d", k)
		if k < 8 { // with the last step the usual day is back
			assert.InEpsilon(t, 13, fan.DLI, 0.0751, "step %d: the other end has its own target, and half of its tolerance for little change", k)
		}
	}
	assert.InDelta(t, 5, g.Steps[0].Corals[0].DLI, 0.01)
}

// DLI, peak and violet each keep to the limit on every step, whatever the solver likes.
func TestNothingRisesByMoreThanTheLimit(t *testing.T) {
	_, g := programme(t)
	for k, s := range g.Steps[1:] {
		for _, l := range s.Corals {
			for what, up := range map[string]float64{"DLI": l.Rise.DLI, "peak": l.Rise.Peak, "violet": l.Rise.Violet} {
				assert.LessOrEqual(t, up, 0.201, "%s of %s, step %d", what, l.Name, k+1)
			}
		}
	}
}

// Nobody gets more than on the usual day on the way.
func TestNeverMoreThanTheUsualDay(t *testing.T) {
	p, g := programme(t)
	for _, s := range g.Steps {
		for c, share := range s.Change.Scale {
			assert.LessOrEqual(t, share, 1+1e-9, "%s on %v", p.Channels[c].Name, s.Date)
		}
	}
}
