package report

import (
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/table"
	"dayloom/photon/colour"
	"dayloom/photon/pigment"
	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/plan"
)

// Colour is how the light looks at each coral.
type Colour struct {
	Plan     string         `json:"plan"`
	Date     string         `json:"date"`
	At       string         `json:"at"` // "peaks", or a time of day
	Channels []ChannelLevel `json:"channels"`
	Corals   []CoralColour  `json:"corals"`
	Areas    []CoralColour  `json:"areas,omitempty"`
	Notes    []string       `json:"notes"`
	tanks    tanks
}

// CoralColour is the light at one coral; null is what it has not, or what would not be
// valid.
type CoralColour struct {
	Name      string             `json:"name"`
	Zone      string             `json:"zone"`
	Tank      string             `json:"tank,omitempty"` // where the plan has several
	PPFD      float64            `json:"ppfd_umol_m2_s"`
	X         *float64           `json:"x"`
	Y         *float64           `json:"y"`
	U         *float64           `json:"u_prime"`
	V         *float64           `json:"v_prime"`
	CCT       *float64           `json:"cct_k"`
	Duv       *float64           `json:"duv"`
	Ra        *float64           `json:"ra"`
	R         []float64          `json:"r"` // R1-R14
	Rf        *float64           `json:"rf"`
	SRGB      *string            `json:"srgb"`
	InGamut   *bool              `json:"in_gamut"`
	NoCCT     string             `json:"no_cct,omitempty"`          // why cct_k is null
	Reference *float64           `json:"ra_reference_distance"`     // CIE 1960 u, v; Ra is valid below ra_reference_limit
	Limit     float64            `json:"ra_reference_limit"`        // of CIE 13.3
	Bands     map[string]float64 `json:"photon_shares"`             // of 380-750 nm
	Pigments  map[string]float64 `json:"pigment_excitation_shares"` // of 350-700 nm
	Drift     *DriftOfDay        `json:"drift"`
}

// DriftOfDay is how far the colour moves from noon's, u′v′.
type DriftOfDay struct {
	NoonAt string  `json:"noon_at"` // when PPFD is greatest
	Day    float64 `json:"day_greatest_u_v"`
	DayAt  string  `json:"day_greatest_at"`
	Age    float64 `json:"year_of_ageing_u_v"`
}

// NewDrift works out a place's drift; later is what is left of the channels in a year. It
// is nil on a dark day.
func NewDrift(pl mix.Place, d day.Day, age, later []float64) *DriftOfDay {
	v, ok := pl.OverDay(d, age)
	if !ok {
		return nil
	}
	return &DriftOfDay{NoonAt: Clock(v.NoonT), Day: v.Distance, DayAt: Clock(v.T), Age: pl.OverAge(d, age, later)}
}

// PigmentKey is how a pigment is called in keys.
func PigmentKey(p pigment.Pigment) string { return strings.ReplaceAll(p.Name, " ", "_") }

// NewColour makes the report of the levels of a moment; at names it.
func NewColour(p *plan.Plan, date plan.Date, at string, levels []float64) Colour {
	out := Colour{Plan: p.Name, tanks: tanksOf(p), Date: date.String(), At: at, Corals: []CoralColour{}, Notes: []string{}}
	for i, c := range p.Channels {
		if levels[i] <= 0 {
			continue
		}
		out.Channels = append(out.Channels, ChannelLevel{c.Name, levels[i]})
		if !c.HasSpectrum {
			out.Notes = append(out.Notes, fmt.Sprintf("%s has no spectrum in the plan: it counts as equal photons at all of 400-700 nm, whatever its colour", c.Name))
		}
	}
	return out
}

// Add adds one place with what is seen there, and its drift (nil: a dark day).
func (r Colour) Add(p *plan.Plan, pl mix.Place, s mix.Seen, d *DriftOfDay) Colour {
	c := CoralColour{Name: pl.Name, Zone: p.Zones[pl.Zone].Name, Tank: r.tanks[p.Zones[pl.Zone].Name], PPFD: s.PPFD, Limit: colour.MaxReferenceDistance,
		Bands: map[string]float64{}, Pigments: map[string]float64{}, Drift: d}
	for k, b := range mix.Bands {
		c.Bands[BandName(b)] = s.Bands[k]
	}
	for k, g := range pigment.All() {
		c.Pigments[PigmentKey(g)] = s.Pigments[k]
	}
	if s.Lit {
		u, v := s.XY.Uniform()
		code := s.Swatch.String()
		c.X, c.Y, c.U, c.V, c.SRGB, c.InGamut, c.NoCCT = &s.XY.X, &s.XY.Y, &u, &v, &code, &s.Swatch.InGamut, s.NoTemperature
	}
	if s.Temperature != nil {
		c.CCT, c.Duv = &s.Temperature.K, &s.Temperature.Duv
	}
	if s.Rendering != nil {
		c.Reference = &s.Rendering.ReferenceDistance
		if s.Rendering.Valid() {
			c.Ra, c.R = &s.Rendering.Ra, s.Rendering.R[:]
		}
	}
	if s.Fidelity != nil {
		c.Rf = &s.Fidelity.Rf
	}
	if pl.Area {
		r.Areas = append(r.Areas, c)
	} else {
		r.Corals = append(r.Corals, c)
	}
	return r
}

func (r Colour) all() []CoralColour {
	return append(r.Corals[:len(r.Corals):len(r.Corals)], r.Areas...)
}

// Table has one row a place.
func (r Colour) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true},
		{Key: "zone", Only: table.CSVOnly}, {Key: "ppfd_umol_m2_s", Only: table.CSVOnly},
		{Head: "x", Key: "x"}, {Head: "y", Key: "y"}, {Head: "u′", Key: "u_prime"}, {Head: "v′", Key: "v_prime"},
		{Head: "CCT", Unit: "K", Key: "cct_k"}, {Head: "Duv", Key: "duv"},
		{Head: "Ra", Key: "ra"}, {Head: "Rf", Key: "rf"},
		{Head: "swatch", Unit: "sRGB", Key: "srgb", Left: true}, {Key: "in_gamut", Only: table.CSVOnly}}}
	for k := range 14 {
		t.Columns = append(t.Columns, table.Column{Key: fmt.Sprintf("r%d", k+1), Only: table.CSVOnly})
	}
	for _, b := range mix.Bands {
		t.Columns = append(t.Columns, table.Column{Key: "photon_share_" + strings.ReplaceAll(BandName(b), "-", "_"), Only: table.CSVOnly})
	}
	for _, g := range pigment.All() {
		t.Columns = append(t.Columns, table.Column{Key: "excitation_share_" + PigmentKey(g), Only: table.CSVOnly})
	}
	for _, c := range r.all() {
		row := []any{c.Name, c.Zone, sig(c.PPFD), or("%.4f", c.X), or("%.4f", c.Y), or("%.4f", c.U), or("%.4f", c.V),
			or("%.0f", c.CCT), or("%+.4f", c.Duv), or("%.1f", c.Ra), or("%.1f", c.Rf), "", ""}
		if c.SRGB != nil {
			row[11], row[12] = *c.SRGB, *c.InGamut
		}
		for k := range 14 {
			if row = append(row, ""); c.R != nil {
				row[len(row)-1] = fmt.Sprintf("%.1f", c.R[k])
			}
		}
		for _, b := range mix.Bands {
			row = append(row, fmt.Sprintf("%.4f", c.Bands[BandName(b)]))
		}
		for _, g := range pigment.All() {
			row = append(row, fmt.Sprintf("%.4f", c.Pigments[PigmentKey(g)]))
		}
		t.Add(row...)
	}
	return r.tanks.beside(t)
}

// or sets a number that may be missing.
func or(format string, v *float64) string {
	if v == nil {
		return ""
	}
	return fmt.Sprintf(format, *v)
}

// Text is the tables and what to know about them.
func (r Colour) Text(w io.Writer) error {
	moment := "at " + r.At
	if r.At == "peaks" {
		moment = "all channels at their peak levels"
	}
	fmt.Fprintf(w, "%s, %s: how the light looks, %s\n%s\n\n", r.Plan, r.Date, moment, r.Lit())
	t := r.Table()
	for _, row := range t.Rows {
		for i, v := range row {
			if v == "" {
				row[i] = "-"
			}
		}
	}
	if err := t.Text(w); err != nil {
		return err
	}
	for _, n := range r.Remarks() {
		fmt.Fprintln(w, n)
	}
	for _, t := range r.Tables() {
		fmt.Fprintf(w, "\n%s\n\n", t.Head)
		if err := t.Text(w); err != nil {
			return err
		}
	}
	for _, n := range r.Notes {
		fmt.Fprintf(w, "\n%s\n", n)
	}
	return nil
}

// Lit names the channels with their levels.
func (r Colour) Lit() string {
	var words []string
	for _, c := range r.Channels {
		words = append(words, c.Name+" "+percent(c.Level))
	}
	if words == nil {
		return "no channel is lit"
	}
	return strings.Join(words, ", ")
}
