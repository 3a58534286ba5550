package acclimate

import (
	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"slices"
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
	Scale []float64 // share of the usual day's light, or of its hours, of each channel
	Note  string    // how well it works
}

// Options is what the plan alone does not say.
type Options struct {
	Journal []journal.Entry
	Until   plan.Date                                   // arrivals after it are not worked out: no earlier day hangs on them; zero: all
	Solver  func(Task) (Levels, error)                  // for `by: balance`
	Cells   func([]light.Place) ([][]light.Cell, error) // light anywhere; nil: the field's own
}

// Programme is what all acclimations and the journal of a plan come to.
type Programme struct {
	Tracks   []Track
	Steps    []Step // by date
	Under    []Under
	Problems diag.List // errors: the programme is not accepted on all its dates
	Refusals []Refusal // the errors again, with their dates
	Notes    []string

	p       *plan.Plan
	f       light.Field
	opts    Options
	book    *calendar.Book // without the programme
	violet  int            // index into Field.Bands, -1: not there
	outages []restart
	busy    []calendar.Span // while light rises step by step
	stands  [][]stand       // as Plan.Corals, by date
	solved  []solved
	days    map[plan.Date]*lit // usual days already built
	field   map[reach]*candidates
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
	racks []int // by height: those that are raised
	span  int   // index into Programme.busy of its last span
	lost  bool  // by place, and there is no path
}

// Event is a step of one track.
type Event struct {
	Date   plan.Date
	Step   int     // 0: arrival
	Of     int     // the last step
	Target float64 // DLI by plan, mol m⁻² d⁻¹
	Share  float64 // of the light that the usual day would give it
	Value  float64 // by dimming: the scale; by hours: the share of the plateau; by height: how much higher, m; else 1
	Place  light.Place
	Why    string // what in the journal brought it about, "" for the plan's own

	at    diag.Place   // the line that brought it about
	cells []light.Cell // by place: the light there
	set   bool         // Value has been worked out
}

// cause is a line of the journal and its words, or a line of the plan and none.
type cause struct {
	why string
	at  diag.Place
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
	Zone    int     // into Plan.Zones, where it stands
	Present bool    // false: not in the tank yet
	Target  float64 // by programme for a newcomer, by zone for others
	Measure
	Rise    Measure // see Rise
	Place   light.Place
	Moved   bool
	Verdict dose.Verdict
	Note    string // "newcomer", or what is wrong
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
	p, why := chosen(opts.within(p), f, opts)
	g := work(p, f, opts)
	g.Notes = append(g.Notes, why...)
	return g
}

// within is the plan with the arrivals that count.
func (o Options) within(p *plan.Plan) *plan.Plan {
	if o.Until.IsZero() {
		return p
	}
	q := *p
	q.Acclimation = slices.DeleteFunc(slices.Clone(p.Acclimation), func(a plan.Acclimation) bool { return o.Until.Before(a.Arrives) })
	return &q
}

// work does it for a plan that says the way of each newcomer.
func work(p *plan.Plan, f light.Field, opts Options) *Programme {
	g := &Programme{p: p, f: f, opts: opts, violet: -1, stands: make([][]stand, len(p.Corals)), days: map[plan.Date]*lit{}, field: map[reach]*candidates{}}
	for i, b := range f.Bands {
		if b == light.Violet {
			g.violet = i
		}
	}
	g.racked()
	book, problems := calendar.New(g.p)
	g.book, g.Problems = book, append(g.Problems, problems...)
	g.queue()
	for i := range g.Tracks {
		g.settle(g.Tracks[i].Ends)
	}
	g.check()
	return g
}

// Book is the calendar with the programme over it: steps, then where corals stand, then the way back
// after outages.
func (g *Programme) Book() *calendar.Book { return g.book.With(g.stepped, g.stood, g.restarted) }

// occupied holds new lamps back while light rises step by step. What the book says of the days before
// the span stays as it was.
func (g *Programme) occupied(s calendar.Span) {
	g.busy = append(g.busy, s)
	g.book = g.book.Rising(g.busy)
	clear(g.days)
}

// stepped is the layer of acclimations that change the lamps over the newcomer's tank: of several the dimmest counts,
// and the highest.
func (g *Programme) stepped(date plan.Date) (c calendar.Change) {
	tanks := max(len(g.p.Tanks), 1)
	scale, shorter, higher := slices.Repeat([]float64{1}, tanks), make([]float64, tanks), make([]float64, len(g.p.Racks))
	for i := range g.Tracks {
		t := &g.Tracks[i]
		e := t.at(date)
		if e == nil {
			continue
		}
		in := g.p.TankOf(t.Coral)
		switch t.By {
		case plan.ByDimming:
			scale[in] = min(scale[in], e.Value)
		case plan.ByHours:
			shorter[in] = max(shorter[in], 1-e.Value)
		case plan.ByHeight:
			for _, r := range t.racks {
				higher[r] = max(higher[r], e.Value)
			}
		}
		if e.Step < e.Of {
			c.Notes = append(c.Notes, g.describe(t, *e))
		}
	}
	c.Racks = raised(date, higher)
	over := func(values []float64) []float64 { // their lamps
		out := make([]float64, len(g.p.Channels))
		for i, ch := range g.p.Channels {
			out[i] = values[ch.Tank]
		}
		return out
	}
	if slices.Max(shorter) > 0 {
		c.Day.Shorter = over(shorter)
	}
	if slices.Min(scale) < 1 {
		c.Day.Scale = over(scale)
	}
	if s := g.solvedOn(date); s != nil {
		c.Day = c.Day.And(day.Change{Scale: s.levels.Scale})
	}
	return c
}

// stood is the layer of corals that do not stand, or not shine, as the plan has them.
func (g *Programme) stood(date plan.Date) (c calendar.Change) {
	for coral := range g.p.Corals {
		if s, ok := g.standing(coral, date); ok {
			c.Moves = append(c.Moves, calendar.Move{Coral: coral, Zone: s.zone, Place: s.place, Gain: s.gain, Cells: s.cells})
		}
	}
	return c
}

// restarted is the layer of outages.
func (g *Programme) restarted(date plan.Date) (c calendar.Change) {
	if o := g.outage(date); o < 1 {
		c.Day = c.Day.Times(len(g.p.Channels), func(int) float64 { return o })
		c.Notes = []string{outageNote(o)}
	}
	return c
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
