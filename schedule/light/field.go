package light

import (
	"fmt"

	"dayloom/photon/tank"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
)

// unsure is the relative uncertainty of a channel without emitters from which its light
// at a coral is little more than a guess.
const unsure = 0.5

// Survey works out the field of a plan, its lamps new on the dates of all readings. The
// list holds an error for each channel without a number, and warnings about readings.
func Survey(p *plan.Plan) (Field, diag.List) { return Dated(p, nil) }

// Dated is Survey where ages tells what was left of the lamps on the date of a reading.
func Dated(p *plan.Plan, ages Ages) (Field, diag.List) {
	s, problems := learn(p, ages)
	f, more := s.field()
	return f, append(problems, more...)
}

// Carried is the field of a plan that was changed after its readings were taken: what
// they taught of lamps and meter still holds, of a channel without emitters as well. Its
// channels must be the same.
func (f Field) Carried(p *plan.Plan) (Field, diag.List) {
	s := *f.lesson
	s.p = p
	return s.field()
}

// field is the light where the plan has corals and areas.
func (s *lesson) field() (Field, diag.List) {
	p, problems := s.p, diag.List(nil)
	f := Field{Bands: Bands(p), lesson: s}
	places := make([]Place, len(p.Corals))
	for i, c := range p.Corals {
		places[i] = Place{X: c.X, Y: c.Y, Depth: c.Depth}
	}
	cells, moved, err := s.at(places, f.Bands)
	if err != nil {
		return f, append(problems, diag.Problem{Place: diag.Place{File: p.File, Line: 1, Col: 1}, What: err.Error(), Hint: "make its emitters simpler or check their sizes"})
	}
	f.Corals = cells
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

// guessed warns of corals too far from a channel's readings to know its light there.
func (s *lesson) guessed(ch int, cells [][]Cell) diag.List {
	var far []string
	for i, c := range cells {
		if sd := Deviation(c[ch:ch+1], []float64{1}); sd > unsure {
			far = append(far, fmt.Sprintf("%s (± %.0f %%)", s.p.Corals[i].Name, 100*sd))
		}
	}
	if far == nil {
		return nil
	}
	pr := channelProblem(s.p, ch, "its light is little more than a guess at "+diag.Words(far)+", far from where it was read", "read it there alone")
	pr.Severity = diag.Warning
	return diag.List{pr}
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
