package page

import (
	"fmt"
	"math"
	"slices"

	"dayloom/exporters/picture"
	"dayloom/exporters/table"
	"dayloom/photon/spectrum"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/text/diag"
)

// tank is the day's light from above and in a section. Both go through the place of the coral
// that is furthest from its target, so that the light shown there is the light that is judged.
func (m *maker) tank() (Section, error) {
	out := Section{ID: "tank", Head: "The tank"}
	ask := m.dose()
	if len(m.on.Plan.Corals) == 0 || len(ask.Channels) == 0 {
		out.Sum = "There is no drawing: the plan has no corals, or nothing is lit on this day."
		return out, nil
	}
	r, _ := maps.Region{Box: m.on.Plan.Tank.Box}.OrPlane(m.on.Plan)
	worst := m.on.Plan.Corals[m.furthest(func(int) bool { return true })]
	section := maps.Region{Box: r.Box, Y: &worst.Y}
	var drawings Row
	for i, region := range []maps.Region{r, section} {
		t, least, most, err := m.drawn([]string{"above", "section"}[i], region, ask)
		if err != nil {
			return out, err
		}
		if i == 0 {
			out.Sum = fmt.Sprintf("On the plane %s deep the day gives from %.2f to %.2f mol/m²/d.", maps.Cm(*r.Depth), least, most)
			t.Caption = "From above, the front glass at the bottom; cm from the left end and from the front."
		} else {
			t.Caption = fmt.Sprintf("Section at y = %s, through %s, seen from the front; cm from the left end and below the water.", maps.Cm(worst.Y), worst.Name)
		}
		drawings = append(drawings, t)
	}
	out.Parts = append(out.Parts, drawings, m.places())
	notes := Notes{"Contours are the model's, as the readings teach it; rock and corals cast no shadow in it. Dashed: lamps. Dark marks are within 1 cm of what is drawn, white ones elsewhere."}
	var unknown []string
	for _, c := range m.on.Plan.Channels {
		if !light.Modelled(c) {
			unknown = append(unknown, c.Name)
		}
	}
	if unknown != nil {
		notes = append(notes, "No lamps are described for "+diag.Words(unknown)+": between the places that were read, their light is interpolated.")
	}
	if len(m.on.Field.Asides) > 0 {
		notes = append(notes, "A rack hangs aside for a part of this day: the contours are of its usual place, the figures of the corals count both.")
	}
	out.Parts = append(out.Parts, notes)
	return out, nil
}

// dose asks for the DLI: each channel as many mol as its day makes of 1 µmol m⁻² s⁻¹ at full output.
func (m *maker) dose() maps.Ask {
	a := maps.Ask{Band: spectrum.PAR}
	for i, c := range m.on.Day.Channels {
		if c.DoseS <= 0 {
			continue
		}
		share := light.DLI([]float64{1}, []float64{c.DoseS})
		if m.on.Age != nil {
			share *= m.on.Age[i]
		}
		a.Channels, a.Levels = append(a.Channels, i), append(a.Levels, share)
	}
	return a
}

// drawn is the picture of a region with the corals' own light.
func (m *maker) drawn(id string, r maps.Region, ask maps.Ask) (t Tank, least, most float64, err error) {
	nodes, err := r.Nodes(r.Spacing())
	if err != nil {
		return t, 0, 0, err
	}
	grid, err := maps.OnGrid(m.ctx, m.on.Field, ask, nodes, nil)
	if err != nil {
		return t, 0, 0, err
	}
	pic := picture.Picture{Subtitle: "DLI, " + r.Name(), Quantity: "DLI, mol/m²/d", Region: r, Map: grid}
	for _, ch := range ask.Channels {
		pic.Lamps = append(pic.Lamps, m.on.Plan.Channels[ch].Emitters...)
	}
	var signs []Sign
	for i, c := range m.on.Plan.Corals {
		pic.Corals = append(pic.Corals, picture.Coral{Name: c.Name, X: c.X, Y: c.Y, Depth: c.Depth, Value: m.dli.Corals[i].DLI})
		s := m.sign(i)
		if k := slices.Index(m.shown, i); k >= widest && len(m.on.Plan.Corals) > MostShown {
			s.Letter = "" // there are too many to be told apart
		}
		signs = append(signs, s)
	}
	t, err = NewTank(id, pic, signs)
	totals := grid.Totals()
	t.Told = fmt.Sprintf("Contours of the daily light, %.2f to %.2f mol/m²/d, with %s and %s.", slices.Min(totals), slices.Max(totals), count(len(pic.Lamps), "lamp"), count(len(signs), "coral"))
	return t, slices.Min(totals), slices.Max(totals), err
}

// furthest is the coral furthest from its target of some.
func (m *maker) furthest(of func(zone int) bool) int {
	best, worst := -1, math.Inf(-1)
	for i, c := range m.dli.Corals {
		if of(m.on.Plan.Corals[i].Zone) && off(c) > worst {
			best, worst = i, off(c)
		}
	}
	return best
}

// places tells where the corals are.
func (m *maker) places() Table {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true}, {Head: "x"}, {Head: "y"}, {Head: "depth"}, {Head: "DLI", Unit: "mol/m²/d"}, {Head: "target", Unit: "mol/m²/d"}}}
	for i, c := range m.on.Plan.Corals {
		t.Add(c.Name, maps.Cm(c.X), maps.Cm(c.Y), maps.Cm(c.Depth), cellOf(m.full, i, "dli_mol_m2_d"), cellOf(m.full, i, "target_dli_mol_m2_d"))
	}
	out := newTable("Places of the corals", t, m.shown)
	for k, i := range m.shown {
		s := m.sign(i)
		out.Rows[k].Class, out.Rows[k].Cells[0].Letter = s.Class, s.Letter
	}
	out.Left = ""
	return out
}
