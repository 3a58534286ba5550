package dose_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// A lamp switched on for 10 h gives 300 at a coral with an Ek of 150: by hand it is above
// Ek for 10 h, half of its DLI is above, and production is 10 tanh(2) h. An hour longer at
// the same DLI it gives 300 · 10/11.
func TestWorthByHand(t *testing.T) {
	p := zone(9, 0.5, 0, math.Inf(1), math.Inf(1))
	p.Clock.Zone = time.UTC
	p.Day = []plan.DayPart{{Channels: []int{0}, Switched: &plan.Switched{On: 7 * hour, Off: 17 * hour}}}
	d := day.Build(p, plan.Date{}, day.Change{})
	assert.Equal(t, []*dose.Worth{nil}, dose.Worths(p, d, day.Change{}, dose.Of(p, field(light.Cell{PPFD: 300, Bands: []float64{300}}, light.Cell{Bands: []float64{0}}), d, nil)), "no Ek is stated")
	p.Corals, p.Corals[0].Ek = append([]plan.Coral{{Name: "first"}}, p.Corals...), 0
	p.Corals[1].Ek, p.Zones[0].Ek = 150, 100
	r := dose.Result{Corals: []dose.Place{{Full: []float64{300, 0}}, {Full: []float64{300, 0}}}, Areas: []dose.Place{{Full: []float64{200, 0}}}}
	all := dose.Worths(p, d, day.Change{}, r)
	require.Len(t, all, 3)
	assert.Nil(t, all[0], "only the second coral states one, and the zone of the area")
	assert.Equal(t, 100.0, all[2].Ek)
	assert.InDelta(t, 10*hour*math.Tanh(2), all[2].ProductionS, 1e-3)
	w := all[1]
	require.NotNil(t, w)
	assert.InDelta(t, 10*hour, w.AboveS, 0.01)
	assert.InDelta(t, 0.5, w.AboveShare(), 1e-9)
	assert.InDelta(t, 10*hour*math.Tanh(2), w.ProductionS, 1e-3)
	assert.InDelta(t, 11*hour*math.Tanh(2*10.0/11), w.SameDLI[0], 1e-3)
	assert.InDelta(t, 12*hour*math.Tanh(2*10.0/12), w.SameDLI[1], 1e-3)
}
