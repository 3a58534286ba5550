package page

import (
	"fmt"
	"slices"

	"dayloom/exporters/report"
	"dayloom/exporters/table"
	"dayloom/photon/colour"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/light"
	"dayloom/schedule/shape/curve"
)

// days is each zone's day at the coral that is furthest from its target, or over its area.
func (m *maker) days() (Section, error) {
	out := Section{ID: "day", Head: "The day"}
	field, age := m.on.Field.Spread(m.on.Age)
	for zi, z := range m.on.Plan.Zones[:min(len(m.on.Plan.Zones), MostShown)] {
		at, cells := m.furthest(func(i int) bool { return m.on.Plan.Corals[i].Zone == zi }), []light.Cell(nil)
		switch area := slices.IndexFunc(field.Areas, func(a light.Area) bool { return a.Zone == zi }); {
		case at >= 0:
			cells = field.Corals[at]
		case area >= 0:
			at, cells = len(m.dli.Corals)+area, field.Areas[area].Mean
		default:
			continue
		}
		c := slices.Concat(m.dli.Corals, m.dli.Areas)[at]
		channels := m.channels(light.Full(cells, age), m.seen[at])
		s := NewStack(fmt.Sprintf("day-%d", zi), channels, z.PPFDMax)
		peak, dli := cellOf(m.full, at, "ppfd_peak_umol_m2_s"), cellOf(m.full, at, "dli_mol_m2_d")
		s.Title = z.Name + ": the day at " + c.Name
		s.Told = fmt.Sprintf("PPFD from midnight to midnight, channel upon channel; highest %s µmol/m²/s at %s.", peak, c.PeakAt)
		s.Caption = fmt.Sprintf("%s, at %s: DLI %s mol/m²/d, target %s; highest PPFD %s µmol/m²/s at %s.", z.Name, c.Name, dli, cellOf(m.full, at, "target_dli_mol_m2_d"), peak, c.PeakAt)
		out.Parts = append(out.Parts, Pair{s, m.legend(channels, z.Name)})
	}
	if len(m.on.Plan.Zones) > MostShown {
		out.Parts = append(out.Parts, Notes{fmt.Sprintf("%d more zones are not drawn.", len(m.on.Plan.Zones)-MostShown)})
	}
	out.Sum = m.brightest()
	out.Parts = append(out.Parts, newTable("What each channel does on this day", m.dli.ChannelTable(), nil))
	notes := Notes{"Across: hours from midnight. Up: PPFD, µmol/m²/s, channel upon channel.", "A colour is that of the channel's own light at that place, at full brightness; height alone tells how strong it is. Light more saturated than a screen can show has white added."}
	for _, c := range m.on.Plan.Channels {
		if !c.HasSpectrum {
			notes = append(notes, c.Name+" has no spectrum in the plan: its colour here is that of equal photons at all of 400-700 nm.")
		}
	}
	out.Parts = append(out.Parts, notes)
	return out, nil
}

// brightest says where and when the day's light is strongest.
func (m *maker) brightest() string {
	best := -1
	all := slices.Concat(m.dli.Corals, m.dli.Areas)
	for i, c := range all {
		if best < 0 || c.Peak > all[best].Peak {
			best = i
		}
	}
	if best < 0 || all[best].Peak <= 0 {
		return "It is dark all day."
	}
	return fmt.Sprintf("The light is strongest at %s: %s µmol/m²/s at %s. Each zone is drawn where it is furthest from its target.",
		all[best].Name, cellOf(m.full, best, "ppfd_peak_umol_m2_s"), all[best].PeakAt)
}

// channels are what each channel adds at a place; full is its light as Field.Spread has it.
func (m *maker) channels(full []float64, at mix.Place) []Channel {
	split := m.on.Day.Split(m.on.Field.Spans())
	n := len(m.on.Plan.Channels)
	out := make([]Channel, n)
	for k, f := range full {
		c := &out[k%n]
		c.Full, c.Curves, c.DoseS = append(c.Full, f), append(c.Curves, split.Channels[k].Curve), append(c.DoseS, split.Channels[k].DoseS)
		c.Lit = c.Lit || f > 0 && !split.Channels[k].Curve.Dark()
	}
	for i := range out {
		out[i].Swatch = colour.Of(m.on.Plan.Channels[i].Spectrum).XYZ().Swatch()
	}
	for i, c := range at.All() {
		if c.PPFD > 0 {
			out[i].Swatch = c.XYZ.Swatch()
		}
	}
	return out
}

// legend is what each channel gives, the topmost first.
func (m *maker) legend(channels []Channel, zone string) Table {
	t := table.Table{Columns: []table.Column{{Head: "channel", Left: true}, {Head: "DLI", Unit: "mol/m²/d"}, {Head: "highest", Unit: "µmol/m²/s"}}}
	out := Table{Caption: "What each channel gives to " + zone}
	var keep []int
	for i := len(channels) - 1; i >= 0; i-- {
		c := channels[i]
		peak, _ := curve.Peak(c.Curves, c.Full)
		t.Add(m.on.Plan.Channels[i].Name, fmt.Sprintf("%.2f", light.DLI(c.Full, c.DoseS)), report.Sig(peak))
		if c.Lit {
			keep = append(keep, len(t.Rows)-1)
		}
	}
	out = newTable(out.Caption, t, append([]int{}, keep...))
	for k, r := range keep {
		i := len(channels) - 1 - r
		out.Rows[k].Cells[0].Swatch, out.Rows[k].Cells[0].Letter = channels[i].Swatch.String(), fmt.Sprint(i+1)
	}
	out.Left = ""
	return out
}
