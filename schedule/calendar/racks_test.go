package calendar_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan/planfile"
)

const parkedPlan = `plan: 1
name: Parked
clock: {zone: UTC}
tank: {length: 100 cm, width: 50 cm, depth: 40 cm}
channels:
  bar: {flux: 100 umol/s, spectrum: blue, emitters: [{point: {at: [30 cm, 25 cm], height: 0 cm}, beam: 90 deg}]}
  lone: {flux: 20 umol/s, spectrum: blue, emitters: [{point: {at: [50 cm, 25 cm], height: 25 cm}, beam: 90 deg}]}
racks:
  main: {channels: [bar], at: [0 cm, 0 cm], height: 25 cm, slide: {along: x, from: 0 cm, to: 60 cm}}
zones:
  all: {dli: 5, area: {x: [20 cm, 40 cm], y: [20 cm, 30 cm], depth: 20 cm}, corals: {fan: {x: 30 cm, y: 25 cm, depth: 20 cm}, whip: {x: 70 cm, y: 25 cm, depth: 20 cm}}}
day:
  - channels: [bar, lone]
    sunrise: {from: "09:00", to: "10:00", shape: linear}
    peak: 50 %
    sunset: {from: "18:00", to: "19:00", shape: linear}
calendar:
  - {rack: main, on: 2027-03-02, x: 40 cm, from: "17:30", to: "18:30", name: service}
`

// By hand: the day has 9 h of full peak (8 h and two linear ramps of half an hour), 16200 s at 50 %. From 17:30
// to 18:30 it is half an hour of all of it and half an hour that falls to half of it, 0.25 h + 0.1875 h = 1575 s.
func TestAParkedRackCountsInBothPlaces(t *testing.T) {
	p, problems := planfile.Load(func(string) ([]byte, error) { return []byte(parkedPlan), nil }, "plan.yaml")
	require.False(t, problems.HasErrors(), problems.Text(nil))
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), problems.Text(nil))
	on := book(t, p).On(date("2027-03-02"))
	require.Len(t, on.Racks, 1)
	_, parked := on.Moved(p, f)
	built := day.Build(p, on.Date, on.Day)
	got := dose.Of(p, parked, built, on.Age)
	away, problems := light.Survey(p.Moved(0, [3]float64{0.4, 0, 0}))
	require.False(t, problems.HasErrors(), problems.Text(nil))
	for i, c := range p.Corals {
		home, there := f.Corals[i], away.Corals[i]
		assert.InDelta(t, 1e-6*(home[0].PPFD*(16200-1575)+there[0].PPFD*1575+home[1].PPFD*16200), got.Corals[i].DLI, 1e-9, c.Name)
		assert.InDelta(t, max(0.5*(home[0].PPFD+home[1].PPFD), 0.5*(there[0].PPFD+home[1].PPFD)), got.Corals[i].Peak, 1e-6, c.Name)
		assert.Len(t, got.Corals[i].Full, 2)
	}
	assert.Greater(t, away.Corals[1][0].PPFD, 3*f.Corals[1][0].PPFD, "the whip stands where the rack is parked")
	usual := dose.Of(p, f, built, on.Age)
	assert.Less(t, got.Areas[0].DLI, usual.Areas[0].DLI)
	assert.Equal(t, []string{"service: rack main at x +40 cm from where it hangs, from 17:30 to 18:30"}, on.Notes)
	assert.Empty(t, book(t, p).On(date("2027-03-03")).Racks)
}

func TestAMoveIsAReminder(t *testing.T) {
	p, _ := planfile.Load(func(string) ([]byte, error) { return []byte(parkedPlan), nil }, "plan.yaml")
	list := book(t, p).Reminders(date("2027-03-01"), date("2027-03-31"))
	require.Len(t, list, 1)
	assert.Equal(t, date("2027-03-02"), list[0].Date)
}
