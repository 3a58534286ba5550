package light

import (
	"fmt"
	"math"

	"dayloom/photon/tank"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// Of a channel without emitters: the relative uncertainty from which its light at a coral
// is little more than a guess, and from which its readings say nothing of it (the field's
// own is 1, some 60 cm from the nearest reading).
const (
	unsure  = 0.5
	nothing = 0.97
)

// Survey works out the field of a plan, its lamps new on the dates of all readings. The
// list holds an error for each channel without a number, and warnings about readings.
func Survey(p *plan.Plan) (Field, diag.List) { return Dated(p, nil) }

// Dated is Survey where ages tells what was left of the lamps on the date of a reading.
func Dated(p *plan.Plan, ages Ages) (Field, diag.List) {
	if p.Several() {
		return together(p, func(_ int, q plan.Part) (Field, diag.List) {
			s, problems := learn(q.Plan, ages.of(q.Kept.Channels))
			s.bands = Bands(p)
			f, more := s.field()
			return f, append(problems, more...)
		})
	}
	s, problems := learn(p, ages)
	f, more := s.field()
	return f, append(problems, more...)
}

// Carried is the field of a plan that was changed after its readings were taken: what
// they taught of lamps and meter still holds, of a channel without emitters as well. Its
// channels must be the same.
func (f Field) Carried(p *plan.Plan) (Field, diag.List) {
	if f.parts != nil {
		return together(p, func(tank int, q plan.Part) (Field, diag.List) { return f.parts[tank].field.Carried(q.Plan) })
	}
	return f.lesson.on(p).field()
}

// field is the light where the plan has corals and areas.
func (s *lesson) field() (Field, diag.List) {
	p, problems := s.p, diag.List(nil)
	f := Field{Bands: s.bands, lesson: s}
	if f.Bands == nil {
		f.Bands = Bands(p)
	}
	places := make([]Place, len(p.Corals))
	for i, c := range p.Corals {
		places[i] = Place{X: c.X, Y: c.Y, Depth: c.Depth}
	}
	cells, moved, err := s.at(places, f.Bands)
	if err != nil {
		return f, append(problems, diag.Problem{Place: diag.Place{File: p.File, Line: 1, Col: 1}, What: err.Error(), Hint: "make its emitters simpler or check their sizes"})
	}
	f.Corals = cells
	s.remember(places, cells)
	for ch, c := range p.Channels {
		switch {
		case !Modelled(c) && !s.taught[ch]:
			problems = append(problems, unknown(p, ch))
		case !Modelled(c):
			problems = append(problems, s.guessed(ch, cells)...)
		case moved[ch] > tank.Settled:
			problems = append(problems, Unsettled(p, ch, moved[ch]))
		}
	}
	areas, more := s.areas(f.Bands)
	f.Areas = areas
	return f, append(problems, more...)
}

// remember keeps the model's light at the corals for what may be asked of readings there.
func (s *lesson) remember(places []Place, cells [][]Cell) {
	for i, at := range places {
		mean := s.fit.Mean(at)
		for ch, c := range cells[i] {
			s.known[seen{ch, at, ""}] = c.PPFD * math.Exp(-mean[ch])
		}
	}
}

// guessed warns of corals too far from a channel's readings to know its light there, and
// refuses those of which they say nothing: its mean would be made up.
func (s *lesson) guessed(ch int, cells [][]Cell) (out diag.List) {
	var far, beyond []string
	for i, c := range cells {
		switch sd := Deviation(c[ch:ch+1], []float64{1}); {
		case sd > nothing:
			beyond = append(beyond, s.p.Corals[i].Name)
		case sd > unsure:
			far = append(far, fmt.Sprintf("%s (± %.0f %%)", s.p.Corals[i].Name, 100*sd))
		}
	}
	if far != nil {
		pr := channelProblem(s.p, ch, "its light is little more than a guess at "+diag.Words(far)+", far from where it was read", "read it there alone")
		pr.Severity = diag.Warning
		out = append(out, pr)
	}
	if beyond != nil {
		pr := channelProblem(s.p, ch, "nothing tells its light at "+diag.Words(beyond), "read it there alone, 0 where there is none")
		pr.Allowed = "a channel without emitters must be read within some 60 cm of every coral"
		out = append(out, pr)
	}
	return out
}

func channelProblem(p *plan.Plan, ch int, what, hint string) diag.Problem {
	c := p.Channels[ch]
	return diag.Problem{
		Place: diag.Place{File: p.File, Line: c.Pos.Line, Col: c.Pos.Col},
		Path:  "channels." + c.Name, What: fmt.Sprintf("channel %s: %s", c.Name, what), Hint: hint,
	}
}

func unknown(p *plan.Plan, ch int) diag.Problem {
	pr := channelProblem(p, ch, "nothing tells its light", "read it lit alone at some of the corals")
	pr.Allowed = "a channel needs a flux with emitters, or readings"
	return pr
}

// Unsettled warns that a channel's light still moved, as a share of it, when its lines
// and panels were last split finer.
func Unsettled(p *plan.Plan, ch int, moved float64) diag.Problem {
	pr := channelProblem(p, ch, fmt.Sprintf("its light still moved by %.2g %% when its lamps were last split finer", 100*moved),
		"take its values as that much less sure; a lamp along the tank's rim does this")
	pr.Severity = diag.Warning
	return pr
}
