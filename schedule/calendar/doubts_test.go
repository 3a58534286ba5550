package calendar

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/plan"
)

func TestDoubts(t *testing.T) {
	p := &plan.Plan{Channels: []plan.Channel{
		{Name: "tubes", HoursRun: 9000, Ageing: []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: 9000, Share: 0.7}}},
		{Name: "bar", Dimmable: true}},
		Day: []plan.DayPart{{Channels: []int{0}, Switched: &plan.Switched{On: 43200, Off: 43500}}}}
	b, _ := New(p)
	l := b.Doubts(plan.Date{Year: 2027, Month: 1, Day: 1})
	require.Len(t, l, 2)
	assert.Contains(t, l[0].What, "tubes gives 70 % of its new light on 2027-01-01")
	assert.Contains(t, l[1].What, "tubes is lit for 300 s a day")
	p.Channels[0].HoursRun, p.Day[0].Switched.Off = 1000, 43200+600
	b, _ = New(p)
	assert.Empty(t, b.Doubts(plan.Date{Year: 2027, Month: 1, Day: 1}))
}
