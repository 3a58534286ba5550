package calendar

import (
	"fmt"
	"slices"
	"sync"

	"dayloom/schedule/day"
	"dayloom/schedule/daypattern"
	"dayloom/schedule/diag"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Options is what the plan alone does not say.
type Options struct {
	Peaks  []float64            // daylight peaks of the usual day; nil: the plan's own
	Switch []day.Hours          // hours of switched channels; nil: the plan's own
	Busy   func(plan.Date) bool // dates on which relamped channels must not rise; nil: none
}

// Move puts a coral somewhere else than where the plan has it.
type Move struct {
	Coral int
	Place light.Place
	Cells []light.Cell // what each channel gives there at full output, new lamps
}

// Piece is what one programme, such as an acclimation, makes of a date.
type Piece struct {
	Scale  float64     // of all daylight; 1: as usual
	Hours  float64     // of the plateau; 1: as usual
	Peaks  []float64   // in place of the usual day's; nil: as usual
	Switch []day.Hours // in place of the usual day's; nil: as usual
	Moves  []Move
	Notes  []string
}

// Overlay is a programme that lies over the calendar.
type Overlay interface {
	On(plan.Date) Piece
}

// Dated is the day of one date.
type Dated struct {
	Date   plan.Date
	Change day.Change
	Age    []float64 // share of new flux left in each channel
	Rule   int       // index into Plan.Calendar of the rule that applies, -1: none
	Rules  []string  // every rule that fits, the one that applies first, and why
	Moves  []Move
	Notes  []string
}

// Book answers for the dates of one plan. It may be used from several goroutines.
type Book struct {
	p        *plan.Plan
	opts     Options
	overlay  Overlay
	patterns []daypattern.Pattern // as Plan.Calendar; zero where a rule has dates

	mu    *sync.Mutex // guards what follows; a book made by With shares all of it
	suns  *suns
	lamps []*lamps // as Plan.Channels; nil: never ages and is never relamped
}

// New makes the book of a plan. The list holds an error for each day pattern that
// cannot be read, and warnings about lamps whose ageing cannot be followed.
func New(p *plan.Plan, opts Options) (*Book, diag.List) {
	b := &Book{p: p, opts: opts, mu: &sync.Mutex{}, suns: newSuns(p.Season)}
	var problems diag.List
	for _, r := range p.Calendar {
		var pattern daypattern.Pattern
		if r.Pattern != "" {
			var err error
			if pattern, err = daypattern.Parse(r.Pattern); err != nil {
				problems = append(problems, problem(p, r.Pos, diag.Error, "calendar: "+err.Error(), ""))
			}
		}
		b.patterns = append(b.patterns, pattern)
	}
	problems = append(problems, ends(p)...)
	for i := range p.Channels {
		l, more := newLamps(p, i)
		b.lamps = append(b.lamps, l)
		problems = append(problems, more...)
	}
	return b, problems
}

// With is the same book with a programme over it; it takes the place of any other.
func (b *Book) With(o Overlay) *Book {
	next := *b
	next.overlay = o
	return &next
}

// On is the day of a date, calendar rules and programme included.
func (b *Book) On(date plan.Date) Dated {
	d := b.dated(date)
	b.applyRule(&d)
	if b.overlay != nil {
		d.lay(b.p, b.overlay.On(date))
	}
	return d
}

// Usual is the day of a date without calendar rules and programme: season, age and
// relamping only.
func (b *Book) Usual(date plan.Date) Dated { return b.dated(date) }

// Steady is the day of a date with the programme but without calendar rules.
func (b *Book) Steady(date plan.Date) Dated {
	d := b.dated(date)
	if b.overlay != nil {
		d.lay(b.p, b.overlay.On(date))
	}
	return d
}

// dated is season, age and relamping.
func (b *Book) dated(date plan.Date) Dated {
	b.mu.Lock()
	defer b.mu.Unlock()
	d := Dated{Date: date, Change: b.base(date), Rule: -1, Age: make([]float64, len(b.p.Channels))}
	for i, l := range b.lamps {
		d.Age[i] = 1
		if l == nil {
			continue
		}
		s := l.on(b, date)
		d.Age[i] = s.share
		if s.scale < 1 {
			if d.Change.Channel == nil {
				d.Change.Channel = ones(len(b.p.Channels))
			}
			d.Change.Channel[i] = s.scale
			d.Notes = append(d.Notes, fmt.Sprintf("%s: new lamps held at %.1f %%, back to full by steps", b.p.Channels[i].Name, 100*s.scale))
		}
	}
	return d
}

// base is the usual day with its peaks, hours and season.
func (b *Book) base(date plan.Date) day.Change {
	ch := day.None()
	ch.Peaks, ch.Switch = b.opts.Peaks, b.opts.Switch
	ch.Stretch = b.suns.stretch(date)
	return ch
}

// lay puts a programme's piece over the day.
func (d *Dated) lay(p *plan.Plan, piece Piece) {
	ch := &d.Change
	ch.Hours *= piece.Hours
	if piece.Scale != 1 {
		ch.Channel = scaled(ch.Channel, len(p.Channels), func(int) float64 { return piece.Scale })
	}
	switch {
	case piece.Peaks == nil && piece.Switch == nil:
	case ch.Day == day.Usual:
		ch.Peaks, ch.Switch = piece.Peaks, piece.Switch
	default: // another day keeps its own peaks, dimmed as far as the usual day is
		usual := peaks(p, day.Usual, ch.Peaks)
		ch.Channel = scaled(ch.Channel, len(p.Channels), func(i int) float64 {
			if piece.Peaks == nil || piece.Peaks[i] == day.AsPlanned || usual[i] <= 0 {
				return 1
			}
			return min(piece.Peaks[i]/usual[i], 1)
		})
	}
	d.Moves = append(d.Moves, piece.Moves...)
	d.Notes = append(d.Notes, piece.Notes...)
}

func scaled(old []float64, n int, by func(int) float64) []float64 {
	out := slices.Clone(old)
	if out == nil {
		out = ones(n)
	}
	for i := range out {
		out[i] *= by(i)
	}
	return out
}

// Moved is the plan and the field with the corals where they stand on the date;
// p and f themselves when none has been moved.
func (d Dated) Moved(p *plan.Plan, f light.Field) (*plan.Plan, light.Field) {
	if len(d.Moves) == 0 {
		return p, f
	}
	q := *p
	q.Corals, f.Corals = slices.Clone(p.Corals), slices.Clone(f.Corals)
	for _, m := range d.Moves {
		c := &q.Corals[m.Coral]
		c.X, c.Y, c.Depth = m.Place.X, m.Place.Y, m.Place.Depth
		f.Corals[m.Coral] = m.Cells
	}
	return &q, f
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}

func problem(p *plan.Plan, at plan.Pos, s diag.Severity, what, hint string) diag.Problem {
	return diag.Problem{Severity: s, Place: diag.Place{File: p.File, Line: at.Line, Col: at.Col}, What: what, Hint: hint}
}
