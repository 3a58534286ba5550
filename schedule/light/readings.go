package light

import (
	"fmt"
	"math"

	"dayloom/photon/meter"
	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
)

// samePlace is how near a reading by coordinates must be to a coral to be its reading, m.
const samePlace = 0.01

// addUp is the relative departure from the sum of its channels above which an
// all-on reading is worth a warning (common practice, no source: about 5 %).
const addUp = 0.05

// singles holds corrected readings of one channel lit alone, scaled to full output.
type singles struct {
	coral map[[2]int][]float64 // {channel, coral}
	row   []placed
}

type placed struct {
	channel int
	at      Place
	value   float64
}

func (s singles) at(channel, coral int) []float64 { return s.coral[[2]int{channel, coral}] }

// single sorts out the readings with one channel lit. Rows with several lit are
// only used by sums; a row that cannot be used is a warning with its line.
func single(p *plan.Plan) (singles, diag.List) {
	s := singles{coral: map[[2]int][]float64{}}
	var problems diag.List
	if p.Readings == nil {
		return s, nil
	}
	for _, r := range p.Readings.Rows {
		if len(r.Lit) != 1 {
			continue
		}
		lit := r.Lit[0]
		factor, err := Meter(p).Factor(p.Channels[lit.Channel].Spectrum)
		switch {
		case err != nil:
			problems = append(problems, readingProblem(p, r, err.Error(), "leave its readings out, or use another meter"))
			continue
		case lit.Fraction <= 0:
			problems = append(problems, readingProblem(p, r, p.Channels[lit.Channel].Name+" is dark at that command, so the row says nothing of it", "read it at full output"))
			continue
		}
		v := r.PPFD * factor / lit.Fraction
		at := Place{r.X, r.Y, r.Depth}
		s.row = append(s.row, placed{lit.Channel, at, v})
		if i := nearestCoral(p, r); i >= 0 {
			key := [2]int{lit.Channel, i}
			s.coral[key] = append(s.coral[key], v)
		}
	}
	return s, problems
}

// Meter is the plan's meter as the corrections need it.
func Meter(p *plan.Plan) meter.Meter {
	return meter.Meter{InWaterFactor: p.Meter.InWaterFactor, Uncertainty: p.Meter.Uncertainty, Spectral: p.Meter.Spectral}
}

func nearestCoral(p *plan.Plan, r plan.Reading) int {
	if r.Coral >= 0 {
		return r.Coral
	}
	for i, c := range p.Corals {
		if math.Hypot(math.Hypot(c.X-r.X, c.Y-r.Y), c.Depth-r.Depth) <= samePlace {
			return i
		}
	}
	return -1
}

// sums warns where several channels lit together do not give the sum of their
// parts: a dimmer, heat or labelling fault, whichever way it goes.
func sums(p *plan.Plan, f Field) diag.List {
	if p.Readings == nil {
		return nil
	}
	var problems diag.List
	for _, r := range p.Readings.Rows {
		i := nearestCoral(p, r)
		if len(r.Lit) < 2 || i < 0 {
			continue
		}
		want, all := 0.0, true
		for _, l := range r.Lit {
			c := f.Corals[i][l.Channel]
			factor, err := Meter(p).Factor(p.Channels[l.Channel].Spectrum)
			all = all && c.Source == Reading && err == nil
			if all {
				want += c.PPFD * l.Fraction / factor
			}
		}
		if all && math.Abs(r.PPFD-want) > addUp*want {
			problems = append(problems, readingProblem(p, r,
				fmt.Sprintf("all lit together read %.0f at %s where the channels read alone add up to %.0f", r.PPFD, p.Corals[i].Name, want),
				"look for a dimmer, heat or labelling fault before relying on either"))
		}
	}
	return problems
}

func readingProblem(p *plan.Plan, r plan.Reading, what, hint string) diag.Problem {
	return diag.Problem{Severity: diag.Warning, Place: diag.Place{File: p.Readings.File, Line: r.Line, Col: 1}, What: what, Hint: hint}
}
