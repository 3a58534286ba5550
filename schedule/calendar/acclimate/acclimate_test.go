package acclimate_test

import (
	"errors"
	"math"
	"os"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/diag"
)

func date(s string) plan.Date {
	d, err := plan.ParseDate(s)
	if err != nil {
		panic(err)
	}
	return d
}

// The small tank has two dimmable channels and tubes, a newcomer and a settled coral.
const (
	newcomer = iota
	settled
)

func small() (*plan.Plan, light.Field) {
	p := &plan.Plan{
		File:     "plan.yaml",
		Clock:    plan.Clock{Zone: time.UTC},
		Meter:    plan.Meter{InWaterFactor: 1},
		Tank:     plan.Tank{Box: tank.Box{Length: 2, Width: 0.6, Depth: 0.4}},
		Channels: []plan.Channel{{Name: "blue", Dimmable: true}, {Name: "white", Dimmable: true}, {Name: "tubes"}},
		Zones:    []plan.Zone{{Name: "shelf", DLI: 12, Within: 0.1, DLIMin: 2, DLIMax: math.Inf(1), PPFDMax: math.Inf(1), Corals: []int{0, 1}}},
		Corals:   []plan.Coral{{Name: "staghorn", X: 0.5, Y: 0.3, Depth: 0.12}, {Name: "elder", X: 1.5, Y: 0.3, Depth: 0.12}},
		Day: []plan.DayPart{
			{Channels: []int{0, 1}, Daylight: &plan.Daylight{
				Sunrise: plan.Ramp{From: 8 * 3600, To: 9 * 3600, Shape: curve.Smooth},
				Peak:    plan.Level{Fraction: 0.8},
				Sunset:  plan.Ramp{From: 18 * 3600, To: 19 * 3600, Shape: curve.Smooth},
			}},
			{Channels: []int{2}, Switched: &plan.Switched{On: 12 * 3600, Off: 16 * 3600}},
		},
		Acclimation: []plan.Acclimation{{Corals: []int{newcomer}, Arrives: date("2027-02-03"), FromDLI: 4, OverDays: 56, EveryDays: 7, StepMax: 0.2, Apart: 0.1, Pos: plan.Pos{Line: 9, Col: 3}}},
	}
	f := light.Field{Bands: []spectrum.Band{spectrum.PAR, light.Violet}}
	f.Corals = [][]light.Cell{cells(300, 80, 60), cells(150, 250, 30)}
	return p, f
}

// cells is light of the three channels; a tenth of blue and a twentieth of the others
// is violet.
func cells(blue, white, tubes float64) []light.Cell {
	out := make([]light.Cell, 3)
	for i, v := range []float64{blue, white, tubes} {
		share := 0.05
		if i == 0 {
			share = 0.1
		}
		out[i] = light.Cell{PPFD: v, Bands: []float64{v, v * share}}
	}
	return out
}

// dli is the light of a coral on a date, worked out from the book alone.
func dli(p *plan.Plan, f light.Field, d calendar.Dated, coral int) float64 {
	return dlis(p, f, d)[coral]
}

func dlis(p *plan.Plan, f light.Field, d calendar.Dated) []float64 {
	_, f = d.Moved(p, f)
	out := make([]float64, len(f.Corals))
	for i, c := range day.Build(p, d.Date, d.Day).Channels {
		for coral := range out {
			out[coral] += f.Corals[coral][i].PPFD * d.Age[i] * c.DoseS * 1e-6
		}
	}
	return out
}

func accepted(t testing.TB, g *acclimate.Programme) {
	t.Helper()
	require.False(t, g.Problems.HasErrors(), g.Problems.Text(nil))
}

func text(l diag.List) string { return l.Text(nil) }

// Arithmetic: N even ratio steps from a to b are each (b/a)^(1/N). How many steps of
// 1.15 a ratio takes: 1.5 takes 3, 2 takes 5, 3 takes 8, 5 takes 12 (ln ratio / ln 1.15
// = 2.90, 4.96, 7.86, 11.5).
func TestEvenSteps(t *testing.T) {
	assert.InDeltaSlice(t, []float64{5, 5 * math.Sqrt(2.4), 12}, acclimate.Even(5, 12, 2), 1e-12)
	steps := acclimate.Even(3, 9, 7)
	for k := 1; k < len(steps); k++ {
		assert.InDelta(t, math.Pow(3, 1./7), steps[k]/steps[k-1], 1e-12)
	}
	for ratio, n := range map[float64]int{1: 0, 0.5: 0, 1.15: 1, 1.5: 3, 2: 5, 3: 8, 5: 12} {
		assert.Equal(t, n, acclimate.Needed(1, ratio, 0.15), ratio)
	}
}

func TestDimmingGivesEverySteppedDLI(t *testing.T) {
	p, f := small()
	g := acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	book := g.Book()
	usual := dli(p, f, book.Usual(date("2027-02-03")), newcomer)
	for k, want := range acclimate.Even(4, usual, 8) {
		for _, offset := range []int{0, 6} {
			got := dli(p, f, book.On(date("2027-02-03").AddDays(7*k+offset)), newcomer)
			assert.InDelta(t, want, got, 1e-9, "step %d", k)
		}
		assert.InDelta(t, want, g.Steps[k].Corals[newcomer].DLI, 1e-9)
	}
	assert.Equal(t, book.Usual(date("2027-04-01")).Day, book.On(date("2027-04-01")).Day, "after the last step the usual day")
	assert.Equal(t, book.Usual(date("2027-02-02")).Day, book.On(date("2027-02-02")).Day, "and before the arrival")
	require.Len(t, g.Steps, 9)
	assert.Equal(t, "newcomer", g.Steps[0].Corals[newcomer].Note)
	assert.InDelta(t, 4/usual-1, g.Steps[0].Corals[settled].Rise.DLI, 1e-9, "the other coral loses as much")
	require.Len(t, g.Under, 1)
	// elder gets 11.95 on the usual day and is under 10.8 while its share is below 0.904; a
	// step is 14.5 %, so that is until the last one
	assert.Equal(t, "elder", g.Under[0].Name)
	assert.Equal(t, 56, g.Under[0].Days)
	assert.Len(t, g.Reminders(date("2027-01-01"), date("2027-12-31")), 9)
	assert.Contains(t, g.Reminders(date("2027-02-10"), date("2027-02-10"))[0].Title, "staghorn: step 1 of 8, all daylight at")
}

func TestWhatDoesNotAgreeIsRefusedWithWhatWouldFit(t *testing.T) {
	p, f := small()
	p.Acclimation[0].OverDays = 14
	g := acclimate.New(p, f, acclimate.Options{})
	require.True(t, g.Problems.HasErrors())
	// the usual day gives 0.8·(300+80)·10 h + 60·4 h = 11.8; ln(11.8/4)/ln 1.2 = 5.9: six steps
	assert.Contains(t, text(g.Problems), "in 2 steps every 7 days needs steps of")
	assert.Contains(t, text(g.Problems), "any one of these fits: over 42 days; every 2 days")

	p.Acclimation[0].OverDays = 60
	g = acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	assert.Contains(t, g.Notes[0], "over 60 days is not a whole number of 7 days: 8 steps, done after 56 days")

	p.Acclimation[0].OverDays = 0
	g = acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	require.Len(t, g.Steps, 7, "six steps and the arrival")
}

func TestBigStepsAreWarnedOfAndRefused(t *testing.T) {
	p, f := small()
	p.Acclimation[0].StepMax, p.Acclimation[0].OverDays = 0.4, 28 // four steps of 31 %
	g := acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	assert.Contains(t, text(g.Problems), "warning: staghorn: steps of 31")

	p.Acclimation[0].StepMax, p.Acclimation[0].OverDays = 1, 14 // two of 72 %
	g = acclimate.New(p, f, acclimate.Options{})
	require.True(t, g.Problems.HasErrors())
	assert.Contains(t, text(g.Problems), "allow: big steps")
	p.Acclimation[0].Force = true
	accepted(t, acclimate.New(p, f, acclimate.Options{}))
}

func TestACoralBelowItsLeastIsNamed(t *testing.T) {
	p, f := small()
	p.Zones[0].DLIMin = 5
	g := acclimate.New(p, f, acclimate.Options{})
	require.Equal(t, 1, g.Problems.Count(diag.Error), text(g.Problems))
	assert.Contains(t, text(g.Problems), "plan.yaml:9:3: elder falls to a DLI of 4.05 on 2027-02-03")
	assert.Contains(t, text(g.Problems), "below the dli_min 5 of zone shelf")
}

func TestHoursKeepThePeak(t *testing.T) {
	p, f := small()
	p.Acclimation[0].By = plan.ByHours
	g := acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	for k, s := range g.Steps {
		assert.InDelta(t, acclimate.Even(4, g.Tracks[0].To, 8)[k], s.Corals[newcomer].DLI, 1e-9)
		// at noon all three channels are full: 0.8·(300+80)+60
		assert.InDelta(t, 364, s.Corals[newcomer].Peak, 1e-3)
	}
	assert.Contains(t, g.Notes[len(g.Notes)-1], "its peak PPFD is full from the first day")

	p.Acclimation[0].FromDLI = 0.2 // the ramps alone give 0.8·380·3600 s = 1.09
	g = acclimate.New(p, f, acclimate.Options{})
	require.True(t, g.Problems.HasErrors())
	assert.Contains(t, text(g.Problems), "give 1.09")
}

func TestStartingPoints(t *testing.T) {
	p, f := small()
	p.Acclimation[0].FromDLI, p.Acclimation[0].FromShare = 0, 0.5
	g := acclimate.New(p, f, acclimate.Options{})
	assert.InDelta(t, 6, g.Tracks[0].From, 1e-12, "half its target of 12")

	p.Acclimation[0].FromShare, p.Acclimation[0].FromPlace = 0, &[3]float64{1, 0.3, 0.3}
	half := func(places []light.Place) ([][]light.Cell, error) {
		return [][]light.Cell{cells(150, 40, 30)}, nil
	}
	g = acclimate.New(p, f, acclimate.Options{Cells: half})
	accepted(t, g)
	assert.InDelta(t, g.Tracks[0].To/2, g.Tracks[0].From, 1e-12)
	assert.Contains(t, g.Notes[0], "on the first day against before: DLI +0 %, peak PPFD")

	p.Acclimation[0].FromPlace = nil
	g = acclimate.New(p, f, acclimate.Options{})
	assert.Contains(t, text(g.Problems), "give one of from_dli, from_share and from_place")

	p.Acclimation[0].FromDLI = 40
	g = acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	assert.Contains(t, g.Notes[0], "no steps are needed")
	assert.Equal(t, g.Book().Usual(date("2027-02-03")).Day, g.Book().On(date("2027-02-03")).Day)
}

func TestSeveralNewcomersTheSmallestWins(t *testing.T) {
	p, f := small()
	p.Acclimation = append(p.Acclimation, plan.Acclimation{Corals: []int{settled}, Arrives: date("2027-02-17"), FromDLI: 3, OverDays: 70, EveryDays: 7, StepMax: 0.2, Pos: plan.Pos{Line: 12, Col: 3}})
	g := acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	require.Len(t, g.Tracks, 2)
	for _, s := range g.Steps {
		want := 1.0
		for _, tr := range g.Tracks {
			for _, e := range tr.Events {
				if e.Date == s.Date {
					want = min(want, e.Value)
				}
			}
		}
		if s.Change.Scale != nil {
			assert.InDelta(t, want, s.Change.Scale[0], 1e-12)
		}
	}
	before := g.Steps[1].Corals[settled]
	assert.False(t, before.Present)

	// the second may rise faster than the first allows: refused, with both named
	p.Acclimation[1].StepMax, p.Acclimation[1].OverDays, p.Acclimation[1].FromDLI = 0.5, 28, 2.5
	p.Acclimation[0].StepMax, p.Acclimation[0].OverDays = 0.15, 0
	g = acclimate.New(p, f, acclimate.Options{})
	require.True(t, g.Problems.HasErrors())
	assert.Contains(t, text(g.Problems), "let the newcomers step on different days")
}

// Two channels and two corals have exactly one answer; the solver of the test finds it
// by Cramer's rule.
func TestBalanceDimsTheNewcomersCornerAlone(t *testing.T) {
	p, f := small()
	p.Channels, p.Day = p.Channels[:2], p.Day[:1]
	for i := range f.Corals {
		f.Corals[i] = f.Corals[i][:2]
	}
	f.Corals[newcomer][1].PPFD, f.Corals[settled][0].PPFD = 40, 20
	p.Acclimation[0].By, p.Acclimation[0].FromDLI, p.Zones[0].DLI = plan.ByBalance, 6, 7
	tau := day.Build(p, date("2027-02-03"), day.Change{}).Channels[0].DoseS * 1e-6
	solver := func(task acclimate.Task) (acclimate.Levels, error) {
		a, b := task.Field.Corals[newcomer][0].PPFD*tau, task.Field.Corals[newcomer][1].PPFD*tau
		c, d := task.Field.Corals[settled][0].PPFD*tau, task.Field.Corals[settled][1].PPFD*tau
		x, y := task.Targets[newcomer], task.Targets[settled]
		det := a*d - b*c
		assert.GreaterOrEqual(t, task.AtMost[newcomer], x*(1-1e-9))
		return acclimate.Levels{Scale: []float64{(x*d - b*y) / det, (a*y - c*x) / det}, Note: "both met"}, nil
	}
	g := acclimate.New(p, f, acclimate.Options{Solver: solver})
	accepted(t, g)
	for k, s := range g.Steps[:8] {
		assert.InDelta(t, acclimate.Even(6, g.Tracks[0].To, 8)[k], s.Corals[newcomer].DLI, 1e-9)
		assert.InDelta(t, 7, s.Corals[settled].DLI, 1e-9, "the other keeps its own target")
	}
	assert.Equal(t, g.Book().Usual(date("2027-04-01")).Day, g.Book().On(date("2027-04-01")).Day)
	assert.Contains(t, g.Notes, "2027-02-03, by balance: both met")

	g = acclimate.New(p, f, acclimate.Options{Solver: func(acclimate.Task) (acclimate.Levels, error) {
		return acclimate.Levels{}, errors.New("elder and staghorn share all channels")
	}})
	assert.Contains(t, text(g.Problems), "elder and staghorn share all channels")
	assert.Contains(t, text(acclimate.New(p, f, acclimate.Options{}).Problems), "needs the balance solver")
}

func example(t testing.TB) (*plan.Plan, light.Field) {
	p, problems := planfile.Load(os.ReadFile, "../../../testdata/plans/quay/plan.yaml")
	require.False(t, problems.HasErrors(), text(problems))
	p.Zones[1].Area = nil // its grid takes long and is no part of this
	p.Day[0].Daylight.Peak = plan.Level{Fraction: 0.5}
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), text(problems))
	return p, f
}

// By place in the example, with light from the model: each spot is inside, apart from
// the others, and its light, worked out again, is within half a step of its target.
func TestPlacesAreRealSpots(t *testing.T) {
	p, f := example(t)
	acc := &p.Acclimation[0]
	acc.By, acc.Apart, acc.StepMax = plan.ByPlace, 0.1, 0.2
	acc.Within = &plan.Volume{X: [2]float64{0.2, 2.2}, Y: [2]float64{0.1, 0.5}, Depth: [2]float64{0.1, 0.38}}
	usual := acclimate.New(p, f, acclimate.Options{}).Tracks[0].To
	acc.FromDLI, acc.OverDays = usual*0.5, 42
	g := acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	half := math.Sqrt(g.Tracks[0].Ratio)
	events := g.Tracks[0].Events
	require.Len(t, events, 7)
	for k, e := range events[:6] {
		v := acc.Within
		assert.True(t, e.Place.X >= v.X[0] && e.Place.X <= v.X[1] && e.Place.Y >= v.Y[0] && e.Place.Y <= v.Y[1] && e.Place.Depth >= v.Depth[0]-1e-9 && e.Place.Depth <= v.Depth[1]+1e-9)
		other := p.Corals[0]
		assert.GreaterOrEqual(t, math.Hypot(math.Hypot(other.X-e.Place.X, other.Y-e.Place.Y), other.Depth-e.Place.Depth), 0.1)
		d := g.Book().Steady(e.Date)
		at, err := f.At([]light.Place{e.Place})
		require.NoError(t, err)
		sum := light.DLI(light.Full(at[0], d.Age), day.Build(p, d.Date, d.Day).Doses())
		assert.InDelta(t, 1, sum/g.Steps[k].Corals[1].DLI, 1e-3, "step %d", k)
		assert.InDelta(t, 0, math.Log(sum/e.Target)/math.Log(half), 1.02)
		assert.Equal(t, e.Place, g.Steps[k].Corals[1].Place)
		assert.Equal(t, k > 0, g.Steps[k].Corals[1].Moved)
		assert.InDelta(t, 0, g.Steps[k].Corals[0].Rise.DLI, 1e-2, "the lamps stay; a week of the season is left")
	}
	home := p.Corals[1]
	assert.Equal(t, light.Place{X: home.X, Y: home.Y, Depth: home.Depth}, g.Steps[6].Corals[1].Place)
	assert.Empty(t, g.Book().On(events[6].Date).Moves)
}

// A place under a lamp without violet: the violet dose has the longest way to go, and it
// counts on its own.
func TestVioletMayNeedMoreStepsThanDLI(t *testing.T) {
	p, f := small()
	p.Acclimation[0].By, p.Acclimation[0].FromDLI, p.Acclimation[0].FromPlace = plan.ByPlace, 0, &[3]float64{1.8, 0.3, 0.3}
	dim := func(places []light.Place) ([][]light.Cell, error) {
		out := make([][]light.Cell, len(places))
		for i := range out {
			out[i] = cells(150, 40, 30)
			for ch := range out[i] {
				out[i][ch].Bands[1] /= 5
			}
		}
		return out, nil
	}
	g := acclimate.New(p, f, acclimate.Options{Cells: dim})
	// a tenth of the violet: ln 10 / ln 1.2 = 12.6
	assert.Contains(t, text(g.Problems), "its violet dose (380-430 nm) goes from 0.102 to 1.02, 10.0 times, which takes 13 steps of step_max and not 8; over 91 days")
	assert.Equal(t, 1, g.Problems.Count(diag.Error), text(g.Problems))
}

func TestNoSpotSaysWhatThereIs(t *testing.T) {
	p, f := small()
	p.Acclimation[0].By = plan.ByPlace
	p.Acclimation[0].Within = &plan.Volume{X: [2]float64{0.5, 1}, Y: [2]float64{0.2, 0.4}, Depth: [2]float64{0.1, 0.1}}
	bright := func(places []light.Place) ([][]light.Cell, error) {
		out := make([][]light.Cell, len(places))
		for i := range out {
			out[i] = cells(300, 80, 60)
		}
		return out, nil
	}
	g := acclimate.New(p, f, acclimate.Options{Cells: bright})
	require.True(t, g.Problems.HasErrors())
	assert.Contains(t, text(g.Problems), "staghorn: no spot for step 0 on 2027-02-03, which is to give 4 mol")
	g = acclimate.New(p, f, acclimate.Options{}) // no emitters at all
	assert.Contains(t, text(g.Problems), "the light is known at the corals alone")
}

// Common practice, no source: restart at 2^(−n/7), at least one half.
func TestOutage(t *testing.T) {
	assert.InDelta(t, 0.7430, acclimate.Restart(3), 1e-4)
	assert.InDelta(t, 0.5, acclimate.Restart(7), 1e-12)
	assert.Equal(t, 0.5, acclimate.Restart(60))
	p, f := small()
	p.Acclimation = nil
	g := acclimate.New(p, f, acclimate.Options{Journal: []journal.Entry{{Date: date("2027-06-10"), Do: journal.Outage, Days: 3}}})
	accepted(t, g)
	full := dli(p, f, g.Book().On(date("2027-06-09")), settled)
	var got []float64
	for k := range 5 {
		got = append(got, dli(p, f, g.Book().On(date("2027-06-10").AddDays(7*k)), settled)/full)
	}
	// 0.743 to 1 in three even steps of 10.4 %
	assert.InDeltaSlice(t, []float64{0.7430, 0.8203, 0.9057, 1, 1}, got, 1e-3)
	assert.Contains(t, g.Notes[0], "restarts on 2027-06-10 at 74 %")
	assert.Contains(t, g.Notes[0], "common practice, no source")
}

// `apart: 0 cm` is no distance at all: candidates stand up to the glass, and where another coral stands.
func TestApartOfNothing(t *testing.T) {
	p, f := small()
	acc := &p.Acclimation[0]
	acc.By, acc.Apart = plan.ByPlace, 0
	acc.Within = &plan.Volume{X: [2]float64{0, 2}, Y: [2]float64{0, 0.6}, Depth: [2]float64{0.12, 0.12}}
	var tried []light.Place
	acclimate.New(p, f, acclimate.Options{Cells: func(places []light.Place) ([][]light.Cell, error) {
		if len(places) > len(tried) {
			tried = places
		}
		return reef(places)
	}})
	require.NotEmpty(t, tried)
	assert.Contains(t, tried, light.Place{X: 0, Y: 0, Depth: 0.12})
	assert.Contains(t, tried, light.Place{X: 2, Y: 0.6, Depth: 0.12})
}

// One judge: who is on its way has its own limit, the others that of a step on the day, then that of
// the latest relamping, then the usual one; a newcomer comes from what it had.
func TestWhoMayRiseByHowMuch(t *testing.T) {
	p, f := small()
	p.Relamps = []plan.Relamp{{Channel: 0, On: date("2027-02-06"), StepMax: 0.1}}
	g := acclimate.New(p, f, acclimate.Options{})
	limit := func(coral int, on string) float64 { return g.Limit(coral, date(on)).Max }
	assert.Equal(t, 0.2, limit(newcomer, "2027-02-08"), "its own while it is on its way")
	assert.Equal(t, 0.2, limit(settled, "2027-02-10"), "that of a step on the day")
	assert.Equal(t, 0.1, limit(settled, "2027-02-11"), "that of the relamping")
	assert.Equal(t, 0.15, limit(settled, "2027-02-02"), "the usual one")
	assert.Equal(t, 4.0, g.CameFrom(newcomer, date("2027-02-02")))
	assert.Zero(t, g.CameFrom(newcomer, date("2027-02-03")))
	assert.Zero(t, g.CameFrom(settled, date("2027-02-02")))
	assert.InDelta(t, g.Tracks[0].To, g.Usual(newcomer, date("2027-02-03")).DLI, 1e-12)
}

// Where the plan names no way: where corals can be moved, that one, which spares the others; where the light
// is known at the corals alone, the hours, with which elder has most of its light longest.
func TestTheWayThatSparesTheOthers(t *testing.T) {
	p, f := small()
	p.Corals[settled].X, f.Corals[newcomer] = 0.9, cells(150, 120, 30)
	p.Acclimation[0].By = plan.ByChoice
	p.Acclimation[0].FromDLI, p.Acclimation[0].Within = 3, &plan.Volume{X: [2]float64{0.1, 1.9}, Y: [2]float64{0.2, 0.4}, Depth: [2]float64{0.1, 0.4}}
	g := acclimate.New(p, f, acclimate.Options{Cells: reef})
	assert.Equal(t, plan.ByPlace, g.Tracks[0].By, text(g.Problems))
	assert.Contains(t, g.Notes[len(g.Notes)-1], "by is not said: place was chosen, since with place nobody else falls under its target")

	p, f = small()
	p.Acclimation[0].By = plan.ByChoice
	g = acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	assert.Contains(t, []plan.How{plan.ByHours, plan.ByDimming}, g.Tracks[0].By)
	assert.Contains(t, g.Notes[len(g.Notes)-1], "since place is refused; balance is refused; with hours others are under their target for 56 days in all")
	assert.Equal(t, plan.ByChoice, p.Acclimation[0].By, "the plan stays as it is")
}

// A rise refuses its week, a coral below its least the days on which it is, an entry for nobody the days
// from its own on; the rest is left.
func TestWhatIsRefusedAndWhatIsLeft(t *testing.T) {
	p, f := small()
	stranger := journal.Entry{Date: date("2027-06-01"), Coral: "stagorn", Do: journal.Back, At: diag.Place{File: "journal.yaml", Line: 3, Col: 1}}
	g := acclimate.New(p, f, acclimate.Options{Journal: []journal.Entry{stranger}})
	against, left := g.Refused(calendar.Span{date("2027-02-01"), date("2027-07-01")})
	require.Len(t, against, 1)
	assert.Equal(t, stranger.At, against[0].Problem.Place)
	assert.Equal(t, []calendar.Span{{date("2027-02-01"), date("2027-05-31")}}, left)
	against, _ = g.Refused(calendar.Span{date("2027-02-01"), date("2027-05-31")})
	assert.Empty(t, against)

	p.Zones[0].DLIMin = 5 // elder has 4.05, 4.64 and 5.31 after the arrival and the first two steps
	g = acclimate.New(p, f, acclimate.Options{})
	_, left = g.Refused(calendar.Span{date("2027-02-01"), date("2027-03-01")})
	assert.Equal(t, []calendar.Span{{date("2027-02-01"), date("2027-02-02")}, {date("2027-02-17"), date("2027-03-01")}}, left)
}

// A coral that is moved to another zone is judged by that zone.
func TestMovedToAnotherZone(t *testing.T) {
	p, f := small()
	p.Acclimation = nil
	p.Zones = append(p.Zones, plan.Zone{Name: "cave", DLI: 3, Within: 0.1, DLIMax: math.Inf(1), PPFDMax: math.Inf(1)})
	g := acclimate.New(p, f, acclimate.Options{Cells: reef, Journal: []journal.Entry{{Date: date("2027-02-12"), Coral: "elder", Do: journal.Moved, Zone: "cave", To: [3]float64{1.9, 0.3, 0.4}}}})
	accepted(t, g)
	assert.Equal(t, 1, g.Steps[0].Corals[settled].Zone)
	assert.Equal(t, 3.0, g.Steps[0].Corals[settled].Target)
	q, _ := g.Book().On(date("2027-02-12")).Moved(p, f)
	assert.Equal(t, []int{newcomer}, q.Zones[0].Corals)
	assert.Equal(t, []int{settled}, q.Zones[1].Corals)
	assert.Equal(t, []int{0, 1}, p.Zones[0].Corals, "the plan stays as it is")
}

// By hand: over the most of the days before, each quantity on its own; what is not known does not
// count, and what comes back from nearly nothing is held against a twentieth of the usual.
func TestRise(t *testing.T) {
	days := []acclimate.Measure{{DLI: 4, Peak: 100, Violet: 0.001}, {DLI: 5, Peak: 80, Violet: 0}, acclimate.OnlyDLI(3)}
	up := acclimate.Rise(acclimate.Measure{DLI: 6, Peak: 90, Violet: 0.1}, days, acclimate.Measure{DLI: 10, Peak: 200, Violet: 1})
	assert.InDelta(t, 0.2, up.DLI, 1e-12)
	assert.InDelta(t, -0.1, up.Peak, 1e-12)
	assert.InDelta(t, 1, up.Violet, 1e-12, "0.1 over a twentieth of 1")
	worst, which := up.Most()
	assert.Equal(t, "violet dose (380-430 nm)", which)
	assert.InDelta(t, 1, worst, 1e-12)
	assert.Zero(t, acclimate.Rise(acclimate.Measure{DLI: 6}, nil, acclimate.Measure{}).DLI)
}

func BenchmarkProgrammeOfTheExampleByPlace(b *testing.B) {
	p, f := example(b)
	p.Acclimation[0].By, p.Acclimation[0].FromDLI, p.Acclimation[0].OverDays = plan.ByPlace, 8, 42
	for b.Loop() {
		acclimate.New(p, f, acclimate.Options{})
	}
}

func BenchmarkFiveYearsOfTheExampleWithProgramme(b *testing.B) {
	p, f := example(b)
	for b.Loop() {
		book := acclimate.New(p, f, acclimate.Options{}).Book()
		for d := date("2026-09-01"); d.Before(date("2031-09-01")); d = d.AddDays(1) {
			day.Build(p, d, book.On(d).Day)
		}
	}
}
