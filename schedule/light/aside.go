package light

import (
	"slices"

	"dayloom/schedule/plan"
)

// Aside is a stretch of the day in which lamps hang elsewhere, and the light from there.
type Aside struct {
	From, To float64 // s of the day
	Corals   [][]Cell
	Areas    []Area
}

// Beside is the light at places, and over the field's areas, with the lamps where another plan
// of the same channels has them. What readings taught of lamps and meter still holds.
func (f Field) Beside(p *plan.Plan, places []Place) (Aside, error) {
	switch {
	case f.parts != nil:
		return f.besides(p, places)
	case f.lesson == nil:
		return Aside{}, errElsewhere
	case f.of != nil:
		a, err := f.of.field.Beside(p.Part(f.of.tank).Plan, places)
		a.Corals, a.Areas = f.of.wide(a.Corals, len(f.Bands)), nil
		return a, err
	}
	s := f.lesson.on(p)
	var out Aside
	var err error
	if out.Corals, _, err = s.at(places, f.Bands); err != nil {
		return out, err
	}
	out.Areas = slices.Clone(f.Areas)
	for i := range out.Areas {
		if err := s.fill(&out.Areas[i], f.Bands); err != nil {
			return out, err
		}
	}
	return out, nil
}

// During is the field of an aside alone, with the plan that Beside was asked with; false for fields that cannot tell,
// as those of several tanks.
func (f Field) During(a Aside, p *plan.Plan) (Field, bool) {
	if f.lesson == nil || f.parts != nil || f.of != nil {
		return f, false
	}
	f.lesson, f.Corals, f.Areas, f.Asides = f.lesson.on(p), a.Corals, a.Areas, nil
	return f, true
}

// Spans are the stretches of the day in which lamps hang elsewhere, [from, to] in s.
func (f Field) Spans() (out [][2]float64) {
	for _, a := range f.Asides {
		out = append(out, [2]float64{a.From, a.To})
	}
	return out
}

// Spread is the field with every channel once for the day outside its asides and once more for each
// of them, as day.Split has their light, and the ages (nil: all new) as often.
func (f Field) Spread(age []float64) (Field, []float64) {
	if len(f.Asides) == 0 {
		return f, age
	}
	out := f
	out.Asides, out.Corals, out.Areas = nil, slices.Clone(f.Corals), slices.Clone(f.Areas)
	for _, a := range f.Asides {
		for i := range out.Corals {
			out.Corals[i] = slices.Concat(out.Corals[i], a.Corals[i])
		}
		for i := range out.Areas {
			area := &out.Areas[i]
			area.Mean = slices.Concat(area.Mean, a.Areas[i].Mean)
			area.Cells = slices.Clone(area.Cells)
			for k := range area.Cells {
				area.Cells[k] = slices.Concat(area.Cells[k], a.Areas[i].Cells[k])
			}
		}
	}
	if age != nil {
		age = slices.Repeat(age, 1+len(f.Asides))
	}
	return out, age
}

// Times is light times a gain.
func Times(cells []Cell, gain float64) []Cell {
	out := make([]Cell, len(cells))
	for i, c := range cells {
		out[i] = c
		out[i].PPFD *= gain
		out[i].Bands = make([]float64, len(c.Bands))
		for k, b := range c.Bands {
			out[i].Bands[k] = b * gain
		}
	}
	return out
}
