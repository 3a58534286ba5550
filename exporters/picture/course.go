package picture

import (
	"fmt"
	"math"
	"strings"

	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Course is the DLI of every coral from one date to another, and the steps that made it.
type Course struct {
	Title, Subtitle string
	From, To        plan.Date // both inclusive
	Panels          []Panel   // one a zone
	Ways            []Way     // one a newcomer
}

// Panel is the corals that share a target.
type Panel struct {
	Zone           string
	Target, Within float64 // mol m⁻² d⁻¹ and relative
	Min, Max       float64 // limits; 0 and +Inf: none
	Lines          []Line
}

// Line is one coral's DLI, day by day, mol m⁻² d⁻¹; NaN while it is not there.
type Line struct {
	Name     string
	DLI      []float64
	Newcomer bool
	Asked    map[int]float64 // by day: the target of a step
	tone     int             // of newcomers: which of those in its panel
}

// Way is a newcomer's steps, by day from Course.From.
type Way struct {
	Name  string
	Marks []Mark
}

// Mark is a step: when, which, and what is done.
type Mark struct {
	Day        int
	Step, Done string
}

// MostDays is the longest course that is drawn.
const MostDays = 3660

// Around the steps a course shows so many days unless dates are given.
const daysAround = 7

// NewCourse works out the course of a programme between two dates; zero dates stand
// for a week around its steps. It reports false when there is nothing to tell the
// dates by, or too many of them.
func NewCourse(p *plan.Plan, f light.Field, g *acclimate.Programme, from, to plan.Date) (Course, bool) {
	if n := len(g.Steps); n > 0 {
		if from.IsZero() {
			from = g.Steps[0].Date.AddDays(-daysAround)
		}
		if to.IsZero() {
			to = g.Steps[n-1].Date.AddDays(2 * daysAround)
		}
	}
	if from.IsZero() || to.IsZero() || to.Before(from) || from.DaysUntil(to) >= MostDays {
		return Course{}, false
	}
	c := Course{Title: p.Name, From: from, To: to, Subtitle: fmt.Sprintf("daily light integral, mol/m²/d, %s to %s; places in cm", from, to)}
	at := make([]*Line, len(p.Corals)+len(f.Areas))
	for zi, z := range p.Zones {
		panel := Panel{Zone: z.Name, Target: z.DLI, Within: z.Within, Min: z.DLIMin, Max: z.DLIMax}
		var index []int
		for _, i := range z.Corals {
			panel.Lines, index = append(panel.Lines, Line{Name: p.Corals[i].Name}), append(index, i)
		}
		for k, a := range f.Areas {
			if a.Zone == zi {
				panel.Lines, index = append(panel.Lines, Line{Name: "area"}), append(index, len(p.Corals)+k)
			}
		}
		for k, i := range index {
			at[i] = &panel.Lines[k]
		}
		c.Panels = append(c.Panels, panel)
	}
	c.tracks(p, g, at)
	for _, panel := range c.Panels {
		n := 0
		for k := range panel.Lines {
			if panel.Lines[k].Newcomer {
				panel.Lines[k].tone, n = n, n+1
			}
		}
	}
	book := g.Book()
	for d := from; !to.Before(d); d = d.AddDays(1) {
		dated := book.On(d)
		_, here := dated.Moved(p, f)
		built := day.Build(p, d, dated.Day).Split(here.Spans())
		here, age := here.Spread(dated.Age)
		for i, l := range at {
			v := math.NaN()
			switch {
			case i >= len(p.Corals):
				v = light.DLI(light.Full(here.Areas[i-len(p.Corals)].Mean, age), built.Doses())
			case present(p, i, d):
				v = light.DLI(light.Full(here.Corals[i], age), built.Doses())
			}
			l.DLI = append(l.DLI, v)
		}
	}
	return c, true
}

// present tells whether a coral has arrived; areas always have.
func present(p *plan.Plan, coral int, d plan.Date) bool {
	for _, a := range p.Acclimation {
		for _, c := range a.Corals {
			if c == coral && d.Before(a.Arrives) {
				return false
			}
		}
	}
	return true
}

// tracks puts the steps of the newcomers on their lines and into rows of their own.
func (c *Course) tracks(p *plan.Plan, g *acclimate.Programme, at []*Line) {
	for _, t := range g.Tracks {
		l := at[t.Coral]
		l.Newcomer = true
		if l.Asked == nil {
			l.Asked = map[int]float64{}
		}
		w := Way{Name: p.Corals[t.Coral].Name}
		why := ""
		for _, e := range t.Events {
			k := c.From.DaysUntil(e.Date)
			if k < 0 || c.To.Before(e.Date) {
				continue
			}
			l.Asked[k] = e.Target
			name := stepName(e)
			if e.Why != "" && e.Why != why {
				name += ", " + e.Why
			}
			why = e.Why
			w.Marks = append(w.Marks, Mark{k, name, done(t, e)})
		}
		c.Ways = append(c.Ways, w)
	}
	c.others(p, g)
}

// others adds what the journal did that is no newcomer's step: moves, and the way back
// after an outage.
func (c *Course) others(p *plan.Plan, g *acclimate.Programme) {
	tank := Way{Name: "the tank"}
	taken := map[int]bool{}
	for _, w := range c.Ways {
		for _, m := range w.Marks {
			taken[m.Day] = true
		}
	}
	for _, s := range g.Steps {
		if s.Date.Before(c.From) || c.To.Before(s.Date) || taken[c.From.DaysUntil(s.Date)] || len(s.What) == 0 {
			continue
		}
		m := Mark{Day: c.From.DaysUntil(s.Date)}
		m.Step, m.Done, _ = strings.Cut(s.What[0], ": ")
		for i, l := range s.Corals {
			if l.Moved {
				m.Step, m.Done = p.Corals[i].Name+" moved", spot(l.Place)
			}
		}
		tank.Marks = append(tank.Marks, m)
	}
	if tank.Marks != nil {
		c.Ways = append(c.Ways, tank)
	}
}

func spot(at light.Place) string {
	return fmt.Sprintf("x %.0f y %.0f, %.0f deep", 100*at.X, 100*at.Y, 100*at.Depth)
}

func stepName(e acclimate.Event) string {
	if e.Step == 0 {
		return "begins"
	}
	return fmt.Sprintf("%d of %d", e.Step, e.Of)
}

// done is what a step does, in few words.
func done(t acclimate.Track, e acclimate.Event) string {
	switch {
	case t.By == plan.ByPlace && e.Place != (light.Place{}):
		return spot(e.Place)
	case e.Step == e.Of:
		return "the usual day"
	case t.By == plan.ByDimming:
		return fmt.Sprintf("all at %.0f %%", 100*e.Value)
	case t.By == plan.ByHeight:
		return fmt.Sprintf("racks %.0f cm higher", 100*e.Value)
	case t.By == plan.ByHours:
		return fmt.Sprintf("%.0f %% of hours", 100*e.Value)
	}
	return "balanced"
}
