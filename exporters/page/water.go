package page

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"dayloom/exporters/picture"
	"dayloom/exporters/table"
	"dayloom/photon/spectrum"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// vessel is one body of water with what is in and over it.
type vessel struct {
	name, id         string // both empty where there is but one
	plan             *plan.Plan
	field            light.Field
	corals, channels []int // as the whole plan counts them
}

// vessels are the tanks of the plan.
func (m *maker) vessels() (out []vessel) {
	if m.on.Plan.Several() {
		for i, t := range m.on.Plan.Tanks {
			q := m.on.Plan.Part(i)
			out = append(out, vessel{t.Name, "-" + t.Name, q.Plan, m.on.Field.Of(q), q.Kept.Corals, q.Kept.Channels})
		}
		return out
	}
	v := vessel{plan: m.on.Plan, field: m.on.Field}
	for i := range m.on.Plan.Corals {
		v.corals = append(v.corals, i)
	}
	for i := range m.on.Plan.Channels {
		v.channels = append(v.channels, i)
	}
	return []vessel{v}
}

// tank is the day's light from above and in a section.
func (m *maker) tank() (Section, error) {
	out := Section{ID: "tank", Head: "The tank"}
	var sums []string
	for _, v := range m.vessels() {
		ask := m.dose(v)
		if len(v.corals) == 0 || len(ask.Channels) == 0 {
			continue
		}
		drawings, sum, err := m.drawings(v, ask)
		if err != nil {
			return out, err
		}
		out.Parts, sums = append(out.Parts, drawings), append(sums, sum)
	}
	if sums == nil {
		out.Sum = "There is no drawing: the plan has no corals, or nothing is lit on this day."
		return out, nil
	}
	out.Sum = strings.Join(sums, " ")
	out.Parts = append(out.Parts, m.places(), m.drawn())
	return out, nil
}

// drawn says what the drawings show and what they leave out.
func (m *maker) drawn() Notes {
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
	return notes
}

// drawings are a plane at the median depth of the corals, and a section through the one that is furthest
// from its target.
func (m *maker) drawings(v vessel, ask maps.Ask) (out Row, sum string, err error) {
	plane, _ := maps.Region{Box: v.plan.Tank.Box}.OrPlane(v.plan)
	worst := m.on.Plan.Corals[m.furthest(func(coral int) bool { return slices.Contains(v.corals, coral) })]
	above, totals, err := m.region(v, "above"+v.id, plane, ask)
	if err != nil {
		return nil, "", err
	}
	section, _, err := m.region(v, "section"+v.id, maps.Region{Box: plane.Box, Y: &worst.Y}, ask)
	above.Caption = "From above, the front glass at the bottom; cm from the left end and from the front."
	section.Caption = fmt.Sprintf("Section at y = %s, through %s, seen from the front; cm from the left end and below the water.", maps.Cm(worst.Y), worst.Name)
	sum = fmt.Sprintf("On the plane %s deep the day gives from %.2f to %.2f mol/m²/d.", maps.Cm(*plane.Depth), slices.Min(totals), slices.Max(totals))
	if v.name != "" {
		sum, above.Caption, section.Caption = v.name+": "+sum, v.name+". "+above.Caption, v.name+". "+section.Caption
	}
	return Row{above, section}, sum, err
}

// dose asks for the DLI: each channel as many mol as its day makes of 1 µmol m⁻² s⁻¹ at full output.
func (m *maker) dose(v vessel) maps.Ask {
	a := maps.Ask{Band: spectrum.PAR}
	for k, i := range v.channels {
		c := m.on.Day.Channels[i]
		if c.DoseS <= 0 {
			continue
		}
		share := light.DLI([]float64{1}, []float64{c.DoseS})
		if m.on.Age != nil {
			share *= m.on.Age[i]
		}
		a.Channels, a.Levels = append(a.Channels, k), append(a.Levels, share)
	}
	return a
}

// region is the picture of a plane or section with the corals' own light, and the light at its nodes.
func (m *maker) region(v vessel, id string, r maps.Region, ask maps.Ask) (t Tank, totals []float64, err error) {
	nodes, err := r.Nodes(r.Spacing())
	if err != nil {
		return t, nil, err
	}
	grid, err := maps.OnGrid(m.ctx, v.field, ask, nodes, nil)
	if err != nil {
		return t, nil, err
	}
	pic := picture.Picture{Subtitle: "DLI, " + r.Name(), Quantity: "DLI, mol/m²/d", Region: r, Map: grid}
	for _, ch := range ask.Channels {
		pic.Lamps = append(pic.Lamps, v.plan.Channels[ch].Emitters...)
	}
	var signs []Sign
	for k, c := range v.plan.Corals {
		i := v.corals[k]
		pic.Corals = append(pic.Corals, picture.Coral{Name: c.Name, X: c.X, Y: c.Y, Depth: c.Depth, Value: m.dli.Corals[i].DLI})
		s := m.sign(i)
		if at := slices.Index(m.shown, i); at >= widest && len(m.dli.Corals) > MostShown {
			s.Letter = "" // there are too many to be told apart
		}
		signs = append(signs, s)
	}
	t, err = NewTank(id, pic, signs)
	totals = grid.Totals()
	t.Told = fmt.Sprintf("Contours of the daily light, %.2f to %.2f mol/m²/d, with %s and %s.", slices.Min(totals), slices.Max(totals), count(len(pic.Lamps), "lamp"), count(len(signs), "coral"))
	return t, totals, err
}

// furthest is the coral furthest from its target of some.
func (m *maker) furthest(of func(coral int) bool) int {
	best, worst := -1, math.Inf(-1)
	for i, c := range m.dli.Corals {
		if off(c) > worst && of(i) {
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
