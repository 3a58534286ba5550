package report

import (
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/table"
	"dayloom/photon/spectrum"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/day/load"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// DLI is the light of one day, coral by coral.
type DLI struct {
	Plan     string       `json:"plan"`
	Date     string       `json:"date"`
	Corals   []CoralDLI   `json:"corals"`
	Areas    []CoralDLI   `json:"areas,omitempty"`
	Channels []ChannelDLI `json:"channels"`
	Load     Load         `json:"load"`
	MoonLit  float64      `json:"moon_lit_fraction"`
	Notes    []string     `json:"notes,omitempty"`
	AllMet   bool         `json:"all_met"`
	tanks    tanks
}

// CoralDLI is one coral's (or area's) day.
type CoralDLI struct {
	Name        string                  `json:"name"`
	Zone        string                  `json:"zone"`
	Tank        string                  `json:"tank,omitempty"` // where the plan has several
	X           float64                 `json:"x_m"`
	Y           float64                 `json:"y_m"`
	Depth       float64                 `json:"depth_m"`
	DLI         float64                 `json:"dli_mol_m2_d"`
	SD          float64                 `json:"dli_sd_mol_m2_d"`
	Peak        float64                 `json:"ppfd_peak_umol_m2_s"`
	PeakAt      string                  `json:"ppfd_peak_at"`
	Photoperiod float64                 `json:"photoperiod_s"`
	Night       float64                 `json:"moonlight_ppfd_umol_m2_s"`
	Moons       float64                 `json:"moonlight_full_moons"`
	Target      float64                 `json:"target_dli_mol_m2_d"`
	Within      float64                 `json:"within"`
	DLIMin      *float64                `json:"dli_min_mol_m2_d,omitempty"`
	DLIMax      *float64                `json:"dli_max_mol_m2_d,omitempty"`
	PPFDMax     *float64                `json:"ppfd_max_umol_m2_s,omitempty"`
	P10         *float64                `json:"dli_p10_mol_m2_d,omitempty"`
	P90         *float64                `json:"dli_p90_mol_m2_d,omitempty"`
	Met         bool                    `json:"met"`
	Verdict     string                  `json:"verdict"`
	Full        map[string]float64      `json:"ppfd_full_umol_m2_s"`
	Source      map[string]light.Source `json:"source"`
	BandDLI     map[string]float64      `json:"bands_mol_m2_d"`
	BandPeak    map[string]float64      `json:"bands_peak_umol_m2_s"`
	Worth       *Worth                  `json:"worth,omitempty"` // where an Ek is stated
	area        bool
}

// ChannelDLI is what a channel does that day.
type ChannelDLI struct {
	Name  string  `json:"name"`
	Peak  float64 `json:"peak"`   // greatest light fraction of the day
	DoseS float64 `json:"dose_s"` // peak × dose_s is ∫ light fraction dt
	Age   float64 `json:"age"`    // what is left of the new flux
}

// BandName is how a band is called in keys: "380-400".
func BandName(b spectrum.Band) string { return fmt.Sprintf("%g-%g", b.Lo, b.Hi) }

// NewDLI makes the report of a day.
func NewDLI(p *plan.Plan, f light.Field, d day.Day, r dose.Result, age []float64, l load.Load) DLI {
	out := DLI{Plan: p.Name, Date: d.Date.String(), MoonLit: d.MoonLit, AllMet: r.AllMet() && !l.Over(), Load: newLoad(l), tanks: tanksOf(p)}
	if name, worst := brightestNight(r); worst > dose.HarmfulNight {
		out.Notes = append(out.Notes, fmt.Sprintf("moonlight is %.2g µmol/m²/s at %s, %.0f full moons; %g for a month lowered photosynthesis in symbiont cultures (Symbiodinium under night light, abstract of PMC8256845): call it a night light and keep it short",
			worst, name, worst/dose.FullMoon, dose.HarmfulNight))
	}
	for _, c := range r.Corals {
		out.Corals = append(out.Corals, coralDLI(p, f, c))
	}
	for _, a := range r.Areas {
		out.Areas = append(out.Areas, coralDLI(p, f, a))
	}
	for i, c := range d.Channels {
		ch := ChannelDLI{Name: p.Channels[i].Name, Peak: c.Peak, Age: 1}
		if c.Peak > 0 {
			ch.DoseS = c.DoseS / c.Peak
		}
		if age != nil {
			ch.Age = age[i]
		}
		out.Channels = append(out.Channels, ch)
	}
	return out
}

func coralDLI(p *plan.Plan, f light.Field, c dose.Place) CoralDLI {
	z := p.Zones[c.Zone]
	out := CoralDLI{
		Name: c.Name, Zone: z.Name, Tank: tanksOf(p)[z.Name], X: c.At.X, Y: c.At.Y, Depth: c.At.Depth,
		DLI: c.DLI, SD: c.SD, Peak: c.Peak, PeakAt: Clock(c.PeakAtS), Photoperiod: c.LitS,
		Night: c.Night, Moons: c.Night / dose.FullMoon,
		Target: c.Target, Within: z.Within, DLIMin: limit(z.DLIMin), DLIMax: limit(z.DLIMax), PPFDMax: limit(z.PPFDMax),
		Met: c.Verdict == dose.Met, Verdict: string(c.Verdict),
		Full: map[string]float64{}, Source: map[string]light.Source{},
		BandDLI: map[string]float64{}, BandPeak: map[string]float64{}, area: c.Area,
	}
	if c.Area {
		out.P10, out.P90 = &c.Least, &c.Most
	}
	for i, v := range c.Full {
		if !over(p, i, c.Zone) {
			continue
		}
		out.Full[p.Channels[i].Name] = v
		out.Source[p.Channels[i].Name] = c.Sources[i]
	}
	for k, b := range f.Bands {
		out.BandDLI[BandName(b)], out.BandPeak[BandName(b)] = c.BandDLI[k], c.BandPeak[k]
	}
	return out
}

// brightestNight is the place with the most moonlight.
func brightestNight(r dose.Result) (name string, worst float64) {
	for _, c := range r.Corals {
		if c.Night > worst {
			name, worst = c.Name, c.Night
		}
	}
	return name, worst
}

// Table has one row a coral, then one an area.
func (r DLI) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true},
		{Head: "zone", Key: "zone", Left: true, Last: 3},
		{Key: "x_m", Only: table.CSVOnly}, {Key: "y_m", Only: table.CSVOnly}, {Key: "depth_m", Only: table.CSVOnly},
		{Head: "DLI", Unit: "mol/m²/d", Key: "dli_mol_m2_d"},
		{Head: "± 1 sd", Unit: "mol/m²/d", Key: "dli_sd_mol_m2_d"},
		{Head: "target", Unit: "mol/m²/d", Key: "target_dli_mol_m2_d"},
		{Head: "peak PPFD", Unit: "µmol/m²/s", Key: "ppfd_peak_umol_m2_s", Last: 1},
		{Head: "peak at", Key: "ppfd_peak_at", Last: 5},
		{Head: "photoperiod", Unit: "h", Key: "photoperiod_h", Last: 4},
		{Head: "UV 380-400 nm", Unit: "mmol/m²/d", Key: "near_uv_380_400_mmol_m2_d", Last: 6},
		{Head: "moonlight", Unit: "full moons", Key: "moonlight_full_moons", Last: 7},
		{Head: "verdict", Key: "verdict", Left: true},
		{Head: "source", Key: "source", Left: true, Last: 2},
	}}
	worth := r.worths() != nil
	if worth {
		t.Columns = append(t.Columns, table.Column{Key: "ek_umol_m2_s", Only: table.CSVOnly}, table.Column{Key: "above_ek_h", Only: table.CSVOnly},
			table.Column{Key: "above_ek_dli_share", Only: table.CSVOnly}, table.Column{Key: "production_h", Only: table.CSVOnly})
	}
	for _, list := range [][]CoralDLI{r.Corals, r.Areas} {
		for _, c := range list {
			row := []any{c.Name, c.Zone, fmt.Sprintf("%.4f", c.X), fmt.Sprintf("%.4f", c.Y), fmt.Sprintf("%.4f", c.Depth),
				fmt.Sprintf("%.2f", c.DLI), fmt.Sprintf("%.2f", c.SD), trim(c.Target),
				sig(c.Peak), c.PeakAt, fmt.Sprintf("%.1f", c.Photoperiod/3600),
				sig(1000 * c.BandDLI[BandName(spectrum.NearUV)]), sig(c.Moons), c.Verdict, c.sources()}
			if worth {
				row = append(row, c.Worth.cells()...)
			}
			t.Add(row...)
		}
	}
	return r.tanks.beside(t)
}

// sources says in short where the numbers come from.
func (c CoralDLI) sources() string {
	n, fitted := 0, false
	for _, s := range c.Source {
		if s == light.Reading {
			n++
		}
		fitted = fitted || s == light.Fitted
	}
	switch {
	case n == 0 && fitted:
		return "fitted"
	case n == 0:
		return "model"
	case n == len(c.Source):
		return "readings"
	}
	return fmt.Sprintf("%d of %d readings", n, len(c.Source))
}

// Summary is the day in a line: how many are under or over, and who is furthest off.
func (r DLI) Summary() string {
	var l Tally
	for _, list := range [][]CoralDLI{r.Corals, r.Areas} {
		for _, c := range list {
			l.Count(c.Name, c.DLI, c.Target, c.Met)
		}
	}
	return l.String()
}

// Spreads say how the light of each area is spread.
func (r DLI) Spreads() (out []string) {
	for _, a := range r.Areas {
		out = append(out, fmt.Sprintf("%s: 80 %% of it lies between %.2f and %.2f mol/m²/d.", a.Name, *a.P10, *a.P90))
	}
	return out
}

// ChannelTable has one row a channel.
func (r DLI) ChannelTable() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "channel", Left: true}, {Head: "highest level", Unit: "% of full output"}, {Head: "light", Unit: "full-output h"}, {Head: "output", Unit: "% of new"}}}
	for _, c := range r.Channels {
		t.Add(c.Name, fmt.Sprintf("%.1f", 100*c.Peak), fmt.Sprintf("%.2f", c.Peak*c.DoseS/3600), fmt.Sprintf("%.1f", 100*c.Age))
	}
	return t
}

// Text is the sum of it, the table, the channels and what to know about them.
func (r DLI) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s, %s\n%s\n\n", r.Plan, r.Date, r.Summary())
	if err := r.Table().Text(w); err != nil {
		return err
	}
	for _, s := range r.Spreads() {
		fmt.Fprintf(w, "\n%s\n", s)
	}
	if err := r.worthText(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	err := r.ChannelTable().Text(w)
	r.Load.text(w)
	if len(r.Notes) > 0 {
		fmt.Fprintf(w, "\n%s\n", strings.Join(r.Notes, "\n"))
	}
	return err
}
