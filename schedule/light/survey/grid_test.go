package survey

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
)

// A lamp of many metres over deep water between glass gets a coarser grid: its rays stay within
// the limit, and there are spots at each depth.
func TestFewSpotsUnderALargeLamp(t *testing.T) {
	grid := func(long string) (n int, p *plan.Plan) {
		text := fmt.Sprintf(`plan: 1
name: deep
clock: {zone: Europe/Lisbon}
tank: {length: 40 cm, width: 70 cm, depth: 69 m, walls: {left: glass, right: dark, front: glass, back: glass}}
channels:
  blue:
    flux: 100 umol/s
    spectrum: blue
    emitters: [{panel: {at: [20 cm, 30 cm], size: [%s, 2 cm], height: 60 cm}, beam: 120 deg}]
zones:
  shelf: {dli: 10, corals: {a: {x: 10 cm, y: 10 cm, depth: 1 m}, b: {x: 10 cm, y: 10 cm, depth: 60 m}}}
day: [{channels: [blue], sunrise: {from: "09:00", to: "09:30"}, peak: 50 %%, sunset: {from: "17:00", to: "18:00"}}]
`, long)
		p, problems := planfile.Load(func(string) ([]byte, error) { return []byte(text), nil }, "plan.yaml")
		require.NotNil(t, p, problems.Text(nil))
		for _, r := range spots(p, Options{Grid: true, Reach: plan.Volume{X: [2]float64{0, 0.4}, Y: [2]float64{0, 0.7}, Depth: [2]float64{0, 69}}}) {
			if r.Coral < 0 {
				n++
			}
		}
		return n, p
	}
	usual, _ := grid("2 cm")
	few, p := grid("86 m")
	assert.Less(t, few, usual)
	assert.GreaterOrEqual(t, few, 2)
	one := light.Rays(p, []light.Place{{X: 0.2, Y: 0.3, Depth: 60}})
	assert.LessOrEqual(t, float64(few)*one, mostRays)
	assert.Greater(t, float64(usual)*one, mostRays)
}
