package report

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/timetable"
	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// By hand: a ramp of a volt an hour from 08:00 to 18:00, then dark; an outlet on
// from 12:00 to 15:30.
func TestSpotsByHand(t *testing.T) {
	linear, err := dimmer.Linear(0, 10)
	require.NoError(t, err)
	onOff, err := dimmer.Linear(0, 1)
	require.NoError(t, err)
	f := timetable.File{Tables: []timetable.Table{{From: plan.Date{Year: 2027, Month: 1, Day: 2}, Ports: []timetable.Port{
		{Port: port.Port{Controller: "rack", Name: "1", Kind: port.Kind{Range: [2]float64{0, 10}, Step: 0.1}, Lamps: []port.Lamp{{Channel: "blue", Response: linear}}},
			Points: []port.Point{{Time: 8 * 3600}, {Time: 18 * 3600, Command: 10}, {Time: 18*3600 + 60}}},
		{Port: port.Port{Controller: "outlets", Name: "1", Kind: port.Kind{Signal: port.Switch, Range: [2]float64{0, 1}, Step: 1, Hold: true}, Lamps: []port.Lamp{{Channel: "tubes", Response: onOff}}},
			Points: []port.Point{{Time: 12 * 3600, Command: 1}, {Time: 15.5 * 3600}}},
	}}}}
	r, err := NewSpots(f)
	require.NoError(t, err)
	assert.Equal(t, []string{"00:00", "06:00", "09:00", "12:00", "15:00", "18:00", "21:00"}, r.Times)
	assert.Equal(t, []string{"0.0 V", "0.0 V", "1.0 V", "4.0 V", "7.0 V", "10.0 V", "0.0 V"}, r.Ports[0].Shows)
	assert.Equal(t, []string{"off", "off", "off", "on", "on", "off", "off"}, r.Ports[1].Shows)
	r, err = NewSpots(f, 8.25*3600)
	require.NoError(t, err)
	assert.Equal(t, []string{"0.3 V"}, r.Ports[0].Shows, "0.25 V is shown as the nearest tenth")
	var text strings.Builder
	require.NoError(t, r.Text(&text))
	assert.Contains(t, text.String(), "2027-01-02")
	assert.Contains(t, text.String(), "08:15")
}
