package acclimate

import (
	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/diag"
	"dayloom/schedule/dose"
	"dayloom/schedule/journal"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Task is a day for which a solver is to find levels.
type Task struct {
	Date    plan.Date
	Plan    *plan.Plan // with the corals where they stand
	Field   light.Field
	Targets []float64 // DLI of each coral of the plan, mol m⁻² d⁻¹
	AtMost  []float64 // the DLI that keeps to the step limit, +Inf: none
	Age     []float64
	Change  day.Change // of the date as it would be without
}

// Levels is what a solver found.
type Levels struct {
	Peaks  []float64
	Switch []day.Hours
	Note   string // how well it works
}

// Options is what the plan alone does not say.
type Options struct {
	Peaks   []float64 // of the usual day; nil: the plan's own
	Switch  []day.Hours
	Journal []journal.Entry
	Solver  func(Task) (Levels, error)                  // for `by: balance`
	Cells   func([]light.Place) ([][]light.Cell, error) // light anywhere; nil: the model, with the gain of the readings
}

// Programme is what all acclimations and the journal of a plan come to.
type Programme struct {
	Tracks   []Track
	Steps    []Step // by date
	Under    []Under
	Problems diag.List // errors: the programme is not accepted
	Notes    []string

	p       *plan.Plan
	f       light.Field
	opts    Options
	book    *calendar.Book // without the programme
	violet  int            // index into Field.Bands, -1: not there
	outages []restart
	busy    [][2]plan.Date // while light rises step by step; both inclusive
	stands  [][]stand      // as Plan.Corals, by date
	solved  []solved
	days    map[plan.Date]*lit // usual days already built
	field   *candidates
}

// Track is the way of one newcomer.
type Track struct {
	Coral    int
	By       plan.How
	Arrives  plan.Date
	Ends     plan.Date // the day of the last step
	From, To float64   // DLI, mol m⁻² d⁻¹
	Ratio    float64   // of each step
	StepMax  float64
	Events   []Event // by date
	Notes    []string

	acc   *plan.Acclimation
	every int
	span  int  // index into Programme.busy of its last span
	lost  bool // by place, and there is no path
}

// Event is a step of one track.
type Event struct {
	Date   plan.Date
	Step   int     // 0: arrival
	Of     int     // the last step
	Target float64 // DLI by plan, mol m⁻² d⁻¹
	Share  float64 // of the light that the usual day would give it
	Value  float64 // by dimming: the scale; by hours: the share of the plateau; else 1
	Place  light.Place
	Why    string // what in the journal brought it about, "" for the plan's own

	cells []light.Cell // by place: the light there
	set   bool         // Value has been worked out
}

// Step is one date on which the light of a coral changes by programme.
type Step struct {
	Date   plan.Date
	What   []string
	Change day.Change // of that date without calendar rules
	Corals []Light    // as Plan.Corals
	Areas  []Light    // as light.Field.Areas
}

// Light is what one coral or area gets from a step on.
type Light struct {
	Name    string
	Present bool    // false: not in the tank yet
	Target  float64 // by programme for a newcomer, by zone for others
	Measure
	Rise    Measure // relative change on the day before, -0.2 is a fall by a fifth; 0 when there was none
	Place   light.Place
	Moved   bool
	Verdict dose.Verdict
	Note    string // "newcomer", or what is wrong
}

// Measure is the three quantities that each keep to the step limit on their own.
type Measure struct {
	DLI    float64 // mol m⁻² d⁻¹
	Peak   float64 // µmol m⁻² s⁻¹
	Violet float64 // 380-430 nm, mol m⁻² d⁻¹
}

// Under is how long a coral or area that is not a newcomer stays under its target.
type Under struct {
	Name  string
	Days  int     // the longest time without a break
	Least float64 // DLI, mol m⁻² d⁻¹
}

// New works out the programme of a plan. f is the light of its corals where the plan
// has them. Errors among the problems mean that the light should not be run so.
func New(p *plan.Plan, f light.Field, opts Options) *Programme {
	g := &Programme{p: p, f: f, opts: opts, violet: -1, stands: make([][]stand, len(p.Corals)), days: map[plan.Date]*lit{}}
	for i, b := range f.Bands {
		if b == light.Violet {
			g.violet = i
		}
	}
	book, problems := calendar.New(p, calendar.Options{Peaks: opts.Peaks, Switch: opts.Switch, Busy: g.isBusy})
	g.book, g.Problems = book, problems
	g.queue()
	for i := range g.Tracks {
		g.settle(g.Tracks[i].Ends)
	}
	g.check()
	return g
}

// Book is the calendar with the programme over it.
func (g *Programme) Book() *calendar.Book { return g.book.With(g) }

// isBusy tells whether light rises step by step on a date.
func (g *Programme) isBusy(date plan.Date) bool {
	for _, s := range g.busy {
		if !date.Before(s[0]) && !s[1].Before(date) {
			return true
		}
	}
	return false
}

// On is the programme's part in a date.
func (g *Programme) On(date plan.Date) calendar.Piece {
	piece := calendar.Piece{Scale: 1, Hours: 1}
	for i := range g.Tracks {
		t := &g.Tracks[i]
		e := t.at(date)
		if e == nil {
			continue
		}
		switch t.By {
		case plan.ByDimming:
			piece.Scale = min(piece.Scale, e.Value)
		case plan.ByHours:
			piece.Hours = min(piece.Hours, e.Value)
		}
		if e.Step < e.Of {
			piece.Notes = append(piece.Notes, g.describe(t, *e))
		}
	}
	if o := g.outage(date); o < 1 {
		piece.Scale *= o
		piece.Notes = append(piece.Notes, outageNote(o))
	}
	if s := g.solvedOn(date); s != nil {
		piece.Peaks, piece.Switch = s.levels.Peaks, s.levels.Switch
	}
	for c := range g.p.Corals {
		if s, ok := g.standing(c, date); ok {
			piece.Moves = append(piece.Moves, calendar.Move{Coral: c, Place: s.place, Cells: s.cells})
		}
	}
	return piece
}

// at is the event in force on a date, nil before arrival.
func (t *Track) at(date plan.Date) *Event {
	var last *Event
	for i := range t.Events {
		if date.Before(t.Events[i].Date) {
			break
		}
		last = &t.Events[i]
	}
	return last
}

// track is the track of a coral that has arrived, nil when there is none.
func (g *Programme) track(coral int, date plan.Date) *Track {
	for i := len(g.Tracks) - 1; i >= 0; i-- {
		if t := &g.Tracks[i]; t.Coral == coral && !date.Before(t.Arrives) {
			return t
		}
	}
	return nil
}

// present tells whether a coral is in the tank on a date.
func (g *Programme) present(coral int, date plan.Date) bool {
	for _, acc := range g.p.Acclimation {
		for _, c := range acc.Corals {
			if c == coral && date.Before(acc.Arrives) {
				return false
			}
		}
	}
	return true
}
