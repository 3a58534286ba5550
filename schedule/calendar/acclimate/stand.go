package acclimate

import (
	"dayloom/schedule/calendar"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/diag"
)

// stand is where a coral stands from a date on and what light it gets there.
type stand struct {
	from  plan.Date
	place light.Place
	zone  int
	cells []light.Cell
	gain  float64    // by readings, of all its light; in cells already
	at    diag.Place // the line of the journal
}

// home is a coral as the plan has it.
func (g *Programme) home(coral int) stand {
	c := g.p.Corals[coral]
	return stand{place: light.Place{X: c.X, Y: c.Y, Depth: c.Depth}, zone: c.Zone, cells: g.f.Corals[coral], gain: 1}
}

// last is where a coral was last put on or before a date, by the journal or the plan.
func (g *Programme) last(coral int, date plan.Date) (s stand, moved bool) {
	s = g.home(coral)
	for _, x := range g.stands[coral] {
		if !date.Before(x.from) {
			s, moved = x, true
		}
	}
	return s, moved
}

// standing is where a coral stands on a date if that is not as the plan has it.
func (g *Programme) standing(coral int, date plan.Date) (stand, bool) {
	s, moved := g.last(coral, date)
	t := g.track(coral, date)
	if t == nil || t.By != plan.ByPlace {
		return s, moved
	}
	e := t.at(date)
	switch {
	case e == nil || e.cells == nil, moved && e.Date.Before(s.from):
		return s, moved
	case e.Step == e.Of && !moved:
		return s, false
	}
	return stand{from: e.Date, place: e.Place, zone: s.zone, cells: e.cells, gain: s.gain}, true
}

// lit is a day as places see it.
type lit struct {
	curves []curve.Curve
	dose   []float64 // s
	age    []float64
}

func (g *Programme) lit(d calendar.Dated) *lit {
	return litBy(day.Build(g.p, d.Date, d.Day), d.Age)
}

func litBy(built day.Day, age []float64) *lit {
	l := &lit{curves: built.Curves(), age: age}
	for _, c := range built.Channels {
		l.dose = append(l.dose, c.DoseS)
	}
	return l
}

// usual is the usual day of a date, kept once built.
func (g *Programme) usual(date plan.Date) *lit {
	if l := g.days[date]; l != nil {
		return l
	}
	l := g.lit(g.book.Usual(date))
	g.days[date] = l
	return l
}

// dli is the DLI at a place, mol m⁻² d⁻¹.
func (l *lit) dli(cells []light.Cell) float64 { return light.DLI(light.Full(cells, l.age), l.dose) }

// measure is all three quantities; violet is the index of its band, -1: unknown.
func (l *lit) measure(cells []light.Cell, violet int) Measure {
	full := light.Full(cells, l.age)
	m := Measure{DLI: light.DLI(full, l.dose)}
	if violet >= 0 {
		m.Violet = light.DLI(light.InBand(cells, violet, l.age), l.dose)
	}
	m.Peak, _ = curve.Peak(l.curves, full)
	return m
}
