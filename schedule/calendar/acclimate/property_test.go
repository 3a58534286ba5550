package acclimate_test

import (
	"flag"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// A third of rapid's hundred draws serves from day to day; -rapid.checks=100 draws them all.
func init() { _ = flag.Set("rapid.checks", "33") }

var first = date("2027-02-01")

// reef is a light field over the small tank for tests by place: brightest at the top in
// the middle, a fall by distance and depth.
func reef(places []light.Place) ([][]light.Cell, error) {
	out := make([][]light.Cell, len(places))
	for i, p := range places {
		k := math.Exp(-2*p.Depth) / (1 + 4*(p.X-1)*(p.X-1) + (p.Y-0.3)*(p.Y-0.3))
		out[i] = cells(300*k, 200*k, 60*k)
	}
	return out, nil
}

// anyPlan is the small tank with newcomers, lamps and season of any kind.
func anyPlan(t *rapid.T) (*plan.Plan, light.Field) {
	p, f := small()
	p.Corals = append(p.Corals, plan.Coral{Name: "table", X: 1.1, Y: 0.2, Depth: 0.15})
	var at []light.Place
	for _, c := range p.Corals {
		at = append(at, light.Place{X: c.X, Y: c.Y, Depth: c.Depth})
	}
	f.Corals, _ = reef(at)
	p.Zones[0].DLIMin = 0
	p.Acclimation = nil
	for c := range rapid.IntRange(1, 2).Draw(t, "newcomers") {
		p.Acclimation = append(p.Acclimation, plan.Acclimation{
			Corals: []int{c}, Arrives: first.AddDays(rapid.IntRange(0, 40).Draw(t, "arrives")),
			FromDLI: rapid.Float64Range(1.5, 9).Draw(t, "from"), EveryDays: rapid.IntRange(3, 10).Draw(t, "every"),
			OverDays: rapid.SampledFrom([]int{0, 28, 60}).Draw(t, "over"),
			StepMax:  rapid.SampledFrom([]float64{0.1, 0.15, 0.2, 0.3}).Draw(t, "step"),
			By:       rapid.SampledFrom([]plan.How{plan.ByDimming, plan.ByHours, plan.ByPlace}).Draw(t, "by"),
			Within:   &plan.Volume{X: [2]float64{0.1, 1.9}, Y: [2]float64{0.2, 0.4}, Depth: [2]float64{0.1, 0.4}},
			Apart:    0.1,
		})
	}
	if rapid.Bool().Draw(t, "worn") {
		ch := rapid.IntRange(0, 2).Draw(t, "lamp")
		p.Channels[ch].Ageing = []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: 3000, Share: 0.7}}
		p.Channels[ch].Installed = first.AddDays(-rapid.IntRange(0, 300).Draw(t, "installed"))
		p.Relamps = []plan.Relamp{{Channel: ch, On: first.AddDays(rapid.IntRange(0, 80).Draw(t, "relamp")), StepMax: plan.StepMax}}
	}
	if rapid.Bool().Draw(t, "season") {
		p.Season = &plan.Season{LatitudeDeg: 18, Share: 0.5}
	}
	return p, f
}

func anyEntry(t *rapid.T, day int) journal.Entry {
	e := journal.Entry{Date: first.AddDays(day), Coral: rapid.SampledFrom([]string{"staghorn", "elder"}).Draw(t, "coral")}
	switch e.Do = rapid.SampledFrom([]journal.Do{journal.Hold, journal.Back, journal.Moved, journal.Reading, journal.Outage, journal.Note}).Draw(t, "do"); e.Do {
	case journal.Outage:
		e.Coral, e.Days = "", rapid.IntRange(1, 9).Draw(t, "dark")
	case journal.Hold:
		e.Days = rapid.IntRange(1, 14).Draw(t, "hold")
	case journal.Moved:
		e.To = [3]float64{rapid.Float64Range(0.1, 1.9).Draw(t, "x"), 0.3, rapid.Float64Range(0.1, 0.4).Draw(t, "depth")}
	case journal.Reading:
		e.PPFD = rapid.Float64Range(30, 400).Draw(t, "ppfd")
	}
	return e
}

// In an accepted programme the light of no coral that is in the tank rises by more than
// the largest step allowed over the most of the seven days before, whatever else goes on. Light is
// worked out here from the book alone.
func TestNoDayRisesByMoreThanTheStep(t *testing.T) {
	accepted := 0
	rapid.Check(t, func(t *rapid.T) {
		p, f := anyPlan(t)
		var entries []journal.Entry
		for i := range rapid.IntRange(0, 2).Draw(t, "entries") {
			e := anyEntry(t, 20*i+rapid.IntRange(0, 20).Draw(t, "day"))
			if e.Do != journal.Moved && e.Do != journal.Reading { // those two are jumps by what they are
				entries = append(entries, e)
			}
		}
		g := acclimate.New(p, f, acclimate.Options{Cells: reef, Journal: entries})
		if g.Problems.HasErrors() {
			return
		}
		accepted++
		limit, arrives := 0.15, map[int]plan.Date{}
		for _, a := range p.Acclimation {
			limit = max(limit, a.StepMax)
			arrives[a.Corals[0]] = a.Arrives
		}
		book, had := g.Book(), make([][]float64, len(p.Corals))
		for i := range 220 {
			d := book.On(first.AddDays(i))
			for c, now := range dlis(p, f, d) {
				if on, late := arrives[c]; late && d.Date.Before(on) {
					continue
				}
				used := 0.0
				for _, v := range had[c][max(0, len(had[c])-7):] {
					used = max(used, v)
				}
				if used > 0 && now > used*(1+limit)*(1+2e-3) {
					t.Fatalf("%s on %s: %.4f after %.4f, limit %g\n%v", p.Corals[c].Name, d.Date, now, used, limit, d.Notes)
				}
				had[c] = append(had[c], now)
			}
		}
	})
	require.Positive(t, accepted, "none was accepted")
}

// For any journal, and one more entry dated D: every day before D stays as it was.
func TestThePastStaysAsItWas(t *testing.T) {
	changed := 0
	rapid.Check(t, func(t *rapid.T) {
		p, f := anyPlan(t)
		var old []journal.Entry
		on := 0
		for range rapid.IntRange(0, 3).Draw(t, "entries") {
			on += rapid.IntRange(0, 25).Draw(t, "after")
			old = append(old, anyEntry(t, on))
		}
		on += rapid.IntRange(0, 40).Draw(t, "then")
		added := anyEntry(t, on)
		if rapid.Bool().Draw(t, "late") && len(old) > 0 { // an entry for a day before others
			on = rapid.IntRange(0, on).Draw(t, "back")
			added = anyEntry(t, on)
		}
		was := acclimate.New(p, f, acclimate.Options{Cells: reef, Journal: old}).Book()
		is := acclimate.New(p, f, acclimate.Options{Cells: reef, Journal: append(append([]journal.Entry{}, old...), added)}).Book()
		for i := range 200 {
			d := first.AddDays(i)
			a, b := was.On(d), is.On(d)
			a.Notes, b.Notes = nil, nil
			same := fmt.Sprintf("%v", a) == fmt.Sprintf("%v", b)
			if i < on && !same {
				t.Fatalf("an entry of %s changed %s:\n%v\n%v", added.Date, d, a, b)
			}
			if !same {
				changed++
			}
		}
	})
	assert.Positive(t, changed, "no entry ever changed anything")
}

func with(entries ...journal.Entry) (*plan.Plan, light.Field, *acclimate.Programme) {
	p, f := small()
	return p, f, acclimate.New(p, f, acclimate.Options{Journal: entries, Cells: reef})
}

func dates(g *acclimate.Programme) (out []string) {
	for _, e := range g.Tracks[0].Events {
		out = append(out, fmt.Sprintf("%s %d", e.Date, e.Step))
	}
	return out
}

func TestHoldAndBack(t *testing.T) {
	_, _, g := with(journal.Entry{Date: date("2027-02-12"), Coral: "staghorn", Do: journal.Hold, Days: 5})
	accepted(t, g)
	assert.Equal(t, []string{"2027-02-03 0", "2027-02-10 1", "2027-02-22 2", "2027-03-01 3"}, dates(g)[:4])

	_, _, g = with(journal.Entry{Date: date("2027-02-19"), Coral: "staghorn", Do: journal.Back})
	accepted(t, g)
	assert.Equal(t, []string{"2027-02-03 0", "2027-02-10 1", "2027-02-17 2", "2027-02-19 1", "2027-02-26 2", "2027-03-05 3"}, dates(g)[:6])
	assert.Contains(t, g.Steps[3].What[0], "(journal: back one step)")

	// after the end it opens the last step again
	p, f, g := with(journal.Entry{Date: date("2027-05-01"), Coral: "staghorn", Do: journal.Back})
	accepted(t, g)
	book := g.Book()
	assert.InDelta(t, g.Tracks[0].To/g.Tracks[0].Ratio, dli(p, f, book.On(date("2027-05-01")), newcomer), 1e-9)
	assert.InDelta(t, g.Tracks[0].To, dli(p, f, book.On(date("2027-05-08")), newcomer), 1e-9)

	_, _, g = with(journal.Entry{Date: date("2027-05-01"), Coral: "elder", Do: journal.Hold, Days: 3}, journal.Entry{Date: date("2027-05-01"), Coral: "stagorn", Do: journal.Back})
	assert.Contains(t, text(g.Problems), `warning: "hold 3 days" changes nothing: elder is not being acclimated`)
	assert.Contains(t, text(g.Problems), `did you mean "staghorn"?`)
}

// A reading half as high again: the lamps are dimmed so that the coral has by its own
// light what the plan gives it, and the steps from there are even.
func TestAReadingCorrectsTheRest(t *testing.T) {
	_, _, plain := with()
	on := date("2027-02-12")
	peak := plain.Steps[1].Corals[newcomer].Peak
	p, f, g := with(journal.Entry{Date: on, Coral: "staghorn", Do: journal.Reading, PPFD: peak * 1.5})
	accepted(t, g)
	book := g.Book()
	before := dli(p, f, book.On(on.AddDays(-1)), newcomer)
	assert.InDelta(t, before, dli(p, f, book.On(on), newcomer), 1e-6, "it has what the plan gave it")
	assert.InDelta(t, g.Tracks[0].To*1.5, dli(p, f, book.On(date("2027-05-01")), newcomer), 1e-6)
	require.Len(t, book.On(on).Moves, 1)
	assert.InDelta(t, 450, book.On(on).Moves[0].Cells[0].PPFD, 1e-6)
	assert.Contains(t, g.Notes[0], "all its light counts 1.50 times")

	p, f, g = with(journal.Entry{Date: on, Coral: "staghorn", Do: journal.Reading, PPFD: peak / 2})
	accepted(t, g)
	assert.InDelta(t, before/2, dli(p, f, g.Book().On(on), newcomer), 1e-6, "no jump up to the plan")
}

func TestMovedByHand(t *testing.T) {
	p, f, g := with(journal.Entry{Date: date("2027-02-12"), Coral: "staghorn", Do: journal.Moved, To: [3]float64{1, 0.3, 0.1}})
	d := g.Book().On(date("2027-02-12"))
	require.Len(t, d.Moves, 1)
	assert.Equal(t, light.Place{X: 1, Y: 0.3, Depth: 0.1}, d.Moves[0].Place)
	assert.LessOrEqual(t, dli(p, f, d, newcomer), dli(p, f, g.Book().On(date("2027-02-11")), newcomer)*(1+1e-9))
	_, _, g = with(journal.Entry{Date: date("2027-02-12"), Coral: "staghorn", Do: journal.Moved, To: [3]float64{3, 0.3, 0.1}})
	assert.Contains(t, text(g.Problems), "the tank is 2.00 m long")
}

// New tubes in the middle of an acclimation wait with their rise until it has ended.
func TestRelampingInTheMiddle(t *testing.T) {
	p, f := small()
	p.Channels[0].Ageing = []plan.AgePoint{{Hours: 0, Share: 1}, {Hours: 4000, Share: 0.7}}
	p.Channels[0].Installed = date("2026-02-03")
	p.Relamps = []plan.Relamp{{Channel: 0, On: date("2027-03-01"), StepMax: 0.15}}
	g := acclimate.New(p, f, acclimate.Options{})
	accepted(t, g)
	book := g.Book()
	last, ends := map[int]float64{}, g.Tracks[0].Ends
	rose := plan.Date{}
	for d := date("2027-02-03"); d.Year == 2027; d = d.AddDays(1) {
		on := book.On(d)
		for c := range p.Corals {
			now := dli(p, f, on, c)
			if last[c] > 0 {
				assert.LessOrEqual(t, now, last[c]*1.2*(1+1e-3), d.String())
				if now > last[c]*1.01 && ends.Before(d) && rose.IsZero() {
					rose = d
				}
			}
			last[c] = now
		}
	}
	assert.Equal(t, ends.AddDays(7), rose)
	var kinds []calendar.Reminder
	kinds = append(kinds, book.Reminders(date("2027-02-03"), date("2027-12-31"))...)
	require.GreaterOrEqual(t, len(kinds), 2)
	built := day.Build(p, date("2027-12-31"), book.On(date("2027-12-31")).Day)
	assert.InDelta(t, 0.8, built.Channels[0].Peak, 1e-12, "full again")
}
