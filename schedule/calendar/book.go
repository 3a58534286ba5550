package calendar

import (
	"slices"

	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/text/diag"
)

// Change is what one layer makes of a date. The zero Change is nothing.
type Change struct {
	Day   day.Change
	Age   []float64 // share of new flux left in each channel; nil: all of it
	Moves []Move
	Racks []*plan.RackMove   // racks that hang elsewhere for a while
	Rule  *plan.CalendarRule // the calendar rule that applies
	Rules []string           // every rule that fits, the one that applies first, and why
	Notes []string
}

// Move puts a coral somewhere else than where the plan has it.
type Move struct {
	Coral int
	Zone  int // into Plan.Zones
	Place light.Place
	Gain  float64      // by readings, of all its light; in Cells already
	Cells []light.Cell // what each channel gives there at full output, new lamps
}

// Layer says what one cause makes of any date. It is a pure function.
type Layer func(plan.Date) Change

// Dated is the day of one date: what all layers make of it.
type Dated struct {
	Date plan.Date
	Change
}

// Book answers for the dates of one plan. It is a value: With and Rising make others. It may be
// used from several goroutines.
type Book struct {
	p        *plan.Plan
	patterns []daypattern.Pattern // as Plan.Calendar, then as Plan.Chores; zero where there are dates alone
	suns     *suns
	ages     *ages
	held     [][]rise // as Plan.Channels
	over     []Layer
}

// New makes the book of a plan. The list holds an error for each day pattern that
// cannot be read, and warnings about lamps whose ageing cannot be followed.
func New(p *plan.Plan) (*Book, diag.List) {
	b := &Book{p: p, suns: newSuns(p.Season)}
	problems := b.readPatterns()
	problems = append(problems, ends(p)...)
	b.ages = newAges(p, b.season, b.rule)
	problems = append(problems, lampProblems(p)...)
	problems = append(problems, unmoved(p)...)
	return b.Rising(nil), problems
}

// With is the same book with layers over it; they take the place of any others.
func (b *Book) With(layers ...Layer) *Book {
	next := *b
	next.over = layers
	return &next
}

// Rising is the same book with relamped channels held back while light rises for another cause.
func (b *Book) Rising(spans []Span) *Book {
	next := *b
	next.held = make([][]rise, len(b.p.Channels))
	for c := range next.held {
		next.held[c] = next.rises(c, spans)
	}
	return &next
}

// On is the day of a date, with all layers.
func (b *Book) On(date plan.Date) Dated {
	return b.sum(date, append([]Layer{b.season, b.age, b.rule, b.racks}, b.over...)...)
}

// Usual is the day of a date without calendar rules and the layers over them.
func (b *Book) Usual(date plan.Date) Dated { return b.sum(date, b.season, b.age) }

// Steady is the day of a date with all layers but the calendar rules.
func (b *Book) Steady(date plan.Date) Dated {
	return b.sum(date, append([]Layer{b.season, b.age, b.racks}, b.over...)...)
}

func (b *Book) sum(date plan.Date, layers ...Layer) Dated {
	d := Dated{Date: date}
	for _, l := range layers {
		d.Change = d.Change.And(l(date))
	}
	if d.Age == nil {
		d.Age = slices.Repeat([]float64{1}, len(b.p.Channels))
	}
	return d
}

// And is this change with another on top.
func (c Change) And(d Change) Change {
	c.Day = c.Day.And(d.Day)
	if c.Age == nil {
		c.Age = d.Age
	}
	if d.Rule != nil {
		c.Rule, c.Rules = d.Rule, d.Rules
	}
	c.Racks = append(c.Racks, d.Racks...)
	c.Moves, c.Notes = append(c.Moves, d.Moves...), append(c.Notes, d.Notes...)
	return c
}

// Moved is the plan and the field with the corals where they stand on the date, and what they get
// while racks hang elsewhere; p and f themselves when nothing has been moved.
func (d Dated) Moved(p *plan.Plan, f light.Field) (*plan.Plan, light.Field) {
	p, f = d.standing(p, f)
	return p, d.beside(p, f)
}

func (d Dated) standing(p *plan.Plan, f light.Field) (*plan.Plan, light.Field) {
	if len(d.Moves) == 0 {
		return p, f
	}
	q := *p
	q.Corals, f.Corals = slices.Clone(p.Corals), slices.Clone(f.Corals)
	for _, m := range d.Moves {
		c := &q.Corals[m.Coral]
		c.X, c.Y, c.Depth = m.Place.X, m.Place.Y, m.Place.Depth
		if c.Zone != m.Zone {
			q.Zones = slices.Clone(q.Zones)
			q.Zones[c.Zone].Corals = slices.DeleteFunc(slices.Clone(q.Zones[c.Zone].Corals), func(i int) bool { return i == m.Coral })
			q.Zones[m.Zone].Corals = append(slices.Clip(q.Zones[m.Zone].Corals), m.Coral)
			c.Zone = m.Zone
		}
		f.Corals[m.Coral] = m.Cells
	}
	return &q, f
}

func problem(p *plan.Plan, at plan.Pos, s diag.Severity, what, hint string) diag.Problem {
	return diag.Problem{Severity: s, Place: diag.Place{File: p.File, Line: at.Line, Col: at.Col}, What: what, Hint: hint}
}
