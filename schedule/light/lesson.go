package light

import (
	"fmt"
	"math"
	"slices"

	"dayloom/photon/fit"
	"dayloom/photon/meter"
	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// samePlace is how near a reading must be to a place to be its reading, m.
const samePlace = 0.01

// dark is the share of a channel's flux, spread evenly over the tank, below which the
// model has no light at a place.
const dark = 1e-5

// Ages is what is left of each channel's new flux on a date.
type Ages func(plan.Date) []float64

// lesson is a plan with what its readings taught.
type lesson struct {
	p       *plan.Plan
	bands   []spectrum.Band // of the field; nil: those of the plan
	ages    Ages
	fit     *fit.Fit
	rows    []int // of the plan's readings, by reading of the fit
	rooms   map[plan.Date]int
	factors map[[2]int]float64 // by meter and channel
	known   map[seen]float64   // the model's PPFD
	taught  []bool             // by channel: a reading that counts had it lit
	alone   [][]Place          // by channel: where such a reading had nothing else lit
	sources *sources
}

// on is what was taught, with another plan of the same channels.
func (s *lesson) on(p *plan.Plan) *lesson {
	out := *s
	out.p, out.known, out.sources = p, map[seen]float64{}, newSources(p)
	return &out
}

// seen is a channel at a place, and where racks hung if not as in the plan.
type seen struct {
	channel int
	at      Place
	hung    string
}

// learn fits the plan's readings. The warnings name readings that could not be used.
func learn(p *plan.Plan, ages Ages) (*lesson, diag.List) {
	s := &lesson{p: p, ages: ages, rooms: map[plan.Date]int{}, factors: map[[2]int]float64{}, known: map[seen]float64{}, sources: newSources(p)}
	problem := fit.Problem{}
	for _, c := range p.Channels {
		problem.Channels = append(problem.Channels, fit.Channel{Common: c.Uncertainty.Common, Own: c.Uncertainty.Own, Modelled: Modelled(c)})
	}
	for _, m := range p.Meters { // a plan made by hand without any has no readings either
		problem.Meters = append(problem.Meters, m.Uncertainty)
	}
	var problems diag.List
	if p.Readings != nil {
		problems = s.readings(&problem)
	}
	var err error
	if s.fit, err = fit.Solve(problem); err != nil {
		problems = append(problems, diag.Problem{Place: diag.Place{File: p.Readings.File, Line: 1, Col: 1}, What: err.Error(),
			Allowed: fmt.Sprintf("at most %d readings can be fitted", fit.Most), Hint: "leave out old ones, or repeated ones"})
		s.fit, _ = fit.Solve(fit.Problem{Channels: problem.Channels, Meters: problem.Meters})
		s.rows = nil
	}
	s.taught, s.alone = make([]bool, len(p.Channels)), make([][]Place, len(p.Channels))
	for i, aside := range s.fit.Aside {
		if aside {
			problems = append(problems, s.setAside(i))
			continue
		}
		r := p.Readings.Rows[s.rows[i]]
		for _, l := range r.Lit {
			s.taught[l.Channel] = true
			if len(r.Lit) == 1 && !elsewhere(p, r, l.Channel) {
				s.alone[l.Channel] = append(s.alone[l.Channel], placeOf(r))
			}
		}
	}
	return s, problems
}

// readings adds the plan's readings to a problem.
func (s *lesson) readings(problem *fit.Problem) (problems diag.List) {
	for _, r := range s.p.Readings.Rows {
		if _, ok := s.rooms[r.Date]; len(r.Lit) == 0 && !ok {
			s.rooms[r.Date] = len(s.rooms)
		}
	}
	problem.Rooms = len(s.rooms)
	if err := s.model(s.p.Readings.Rows); err != nil {
		return diag.List{{Place: diag.Place{File: s.p.File, Line: 1, Col: 1}, What: err.Error(), Hint: "make its emitters simpler or check their sizes"}}
	}
	for i, r := range s.p.Readings.Rows {
		q, err := s.reading(r)
		if err != nil {
			problems = append(problems, readingProblem(s.p, r, err.what, err.hint))
			continue
		}
		problem.Readings = append(problem.Readings, q)
		s.rows = append(s.rows, i)
	}
	return problems
}

// model works out the light that readings need and that is not known yet, each channel
// for all its places at once, with the racks where they hung.
func (s *lesson) model(rows []plan.Reading) error {
	hung := map[string]*plan.Plan{}
	var order []string
	for _, r := range rows {
		if name := r.Hung(); hung[name] == nil {
			hung[name], order = s.p.Hung(r), append(order, name)
		}
	}
	for _, name := range order {
		for ch, c := range s.p.Channels {
			if !Modelled(c) {
				continue
			}
			if err := s.modelled(hung[name], name, ch, rows); err != nil {
				return fmt.Errorf("channel %s: %w", c.Name, err)
			}
		}
	}
	return nil
}

// modelled is the same for one channel and one place of the racks.
func (s *lesson) modelled(p *plan.Plan, name string, ch int, rows []plan.Reading) error {
	var at []Place
	for _, r := range rows {
		for _, l := range r.Lit {
			key := seen{ch, placeOf(r), name}
			if _, ok := s.known[key]; l.Channel == ch && !ok && r.Hung() == name {
				s.known[key] = 0
				at = append(at, key.at)
			}
		}
	}
	if at == nil {
		return nil
	}
	values, err := Predict(p, ch, spectrum.PAR, at)
	for i, v := range values {
		s.known[seen{ch, at[i], name}] = v
	}
	return err
}

func placeOf(r plan.Reading) Place { return Place{X: r.X, Y: r.Y, Depth: r.Depth} }

// unusable is why a reading teaches nothing.
type unusable struct{ what, hint string }

// reading is a row as the fit takes it; the model's light must be known.
func (s *lesson) reading(r plan.Reading) (fit.Reading, *unusable) {
	q := fit.Reading{At: placeOf(r), Value: r.PPFD, Meter: r.Meter, Room: -1, Constant: constant(r)}
	if room, ok := s.rooms[r.Date]; ok {
		q.Room = room
	}
	hung := r.Hung()
	left := ones(len(s.p.Channels))
	if s.ages != nil && !r.Date.IsZero() {
		left = s.ages(r.Date)
	}
	for _, l := range r.Lit {
		c := s.p.Channels[l.Channel]
		factor, err := s.factor(r.Meter, l.Channel)
		switch {
		case err != nil:
			return q, &unusable{err.Error(), "leave its readings out, or use another meter"}
		case l.Fraction <= 0:
			return q, &unusable{c.Name + " is dark at that command, so the row says nothing of it", "read it at full output"}
		}
		if !Modelled(c) && elsewhere(s.p, r, l.Channel) {
			return q, &unusable{"the rack of " + c.Name + " hung elsewhere, and without emitters nothing tells what that changed", "read it where it hangs, or give it flux and emitters"}
		}
		ppfd := l.Fraction * left[l.Channel] / factor
		if Modelled(c) {
			f := s.known[seen{l.Channel, q.At, hung}]
			if f <= dark*c.Flux.UmolS/(s.p.Tank.Box.Length*s.p.Tank.Box.Width) {
				continue
			}
			ppfd *= f
		}
		q.Terms = append(q.Terms, fit.Term{Channel: l.Channel, PPFD: ppfd})
	}
	if len(q.Terms) == 0 && len(r.Lit) > 0 {
		return q, &unusable{fmt.Sprintf("the model has no light of %s at this place, so a reading there corrects nothing", s.names(r.Lit)),
			"check the place and the lamp's beam and aim; a meter reads stray light and other lamps too"}
	}
	return q, nil
}

// elsewhere reports whether a channel hung elsewhere when a reading was taken.
func elsewhere(p *plan.Plan, r plan.Reading, channel int) bool {
	return slices.ContainsFunc(r.Racks, func(m plan.RackMove) bool { return slices.Contains(p.Racks[m.Rack].Channels, channel) })
}

func (s *lesson) names(lit []plan.Lit) string {
	var names []string
	for _, l := range lit {
		names = append(names, s.p.Channels[l.Channel].Name)
	}
	return diag.Words(names)
}

// constant is the own error of a reading that is no share of it: what was said, or
// that of its last digit, a rectangle's (JCGM 100:2008, F.2.2.1).
func constant(r plan.Reading) float64 {
	if r.RepeatSD > 0 {
		return r.RepeatSD
	}
	return max(r.Digit/math.Sqrt(12), 1e-5*r.PPFD, 1e-6)
}

// factor turns what a meter shows of a channel into PPFD.
func (s *lesson) factor(m, channel int) (float64, error) {
	key := [2]int{m, channel}
	if f, ok := s.factors[key]; ok {
		return f, nil
	}
	f, err := Meter(s.p.Meters[m]).Factor(s.p.Channels[channel].Spectrum)
	if err == nil {
		s.factors[key] = f
	}
	return f, err
}

// Meter is a meter of the plan as the corrections need it.
func Meter(m plan.Meter) meter.Meter {
	return meter.Meter{InWaterFactor: m.InWaterFactor, Uncertainty: m.Uncertainty, Spectral: m.Spectral}
}

// setAside says that a reading was not used.
func (s *lesson) setAside(i int) diag.Problem {
	r := s.p.Readings.Rows[s.rows[i]]
	q, _ := s.reading(r)
	e := s.fit.Expect(q, i)
	return readingProblem(s.p, r, fmt.Sprintf("read %.4g where all else says %.3g ± %.2g; it is set aside", r.PPFD, e.Value, e.SD),
		"dayloom fit names the likeliest slip; correct the line or read again")
}

func readingProblem(p *plan.Plan, r plan.Reading, what, hint string) diag.Problem {
	return diag.Problem{Severity: diag.Warning, Place: diag.Place{File: p.Readings.File, Line: r.Line, Col: 1}, What: what, Hint: hint}
}

func ones(n int) []float64 {
	out := make([]float64, n)
	for i := range out {
		out[i] = 1
	}
	return out
}
