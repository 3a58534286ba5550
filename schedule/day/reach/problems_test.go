package reach_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day/reach"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/diag"
)

// A driver that gives 12 % at the least, and one that is never off at 10 %.
func TestMoonlightThatCannotBeShown(t *testing.T) {
	cut := on("1", []int{0}, port.Lamp{Response: response(t, 1.2, [2]float64{0, 0}, [2]float64{10, 1})})
	glows := on("1", []int{0}, port.Lamp{Response: response(t, 0, [2]float64{0, 0.1}, [2]float64{10, 1})})
	say := func(q plan.Port, peak float64, phase plan.Phase) diag.List {
		p := of(q)
		p.Channels[0].Name = "blue"
		p.Day = []plan.DayPart{{Channels: []int{0}, Moonlight: &plan.Moonlight{From: 21 * hour, To: 6 * hour, Peak: peak, Phase: phase}}}
		return reach.Problems(p)
	}
	l := say(cut, 0.01, plan.Follow)
	require.Len(t, l, 1)
	assert.Equal(t, diag.Error, l[0].Severity)
	assert.Contains(t, l[0].What, "the moonlight of blue, 1 %, cannot be shown: its port gives at least 12 %, so it stays dark")
	assert.Contains(t, l[0].Allowed, "a small lamp of its own")
	assert.NotContains(t, l[0].Allowed, "outlet", "it is dark by itself")
	l = say(glows, 0.01, plan.Constant)
	require.Len(t, l, 1)
	assert.Contains(t, l[0].What, "never off and gives 10 % all night")
	assert.Contains(t, l[0].Allowed, "an outlet that cuts the supply")
	// half of the full moon's share is reached half of the month
	l = say(cut, 0.24, plan.Follow)
	require.Len(t, l, 1)
	assert.Equal(t, diag.Warning, l[0].Severity)
	assert.Contains(t, l[0].What, "dark on about 15 nights a month")
	assert.Empty(t, say(cut, 0.24, plan.Constant))
}
