package report

import (
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"dayloom/exporters/table"
	"dayloom/photon/spectrum"
	"dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
)

// MapHead is what every map says of itself.
type MapHead struct {
	Plan     string         `json:"plan"`
	At       string         `json:"at"`   // full | peaks
	Band     string         `json:"band"` // nm
	Channels []ChannelLevel `json:"channels"`
	Show     string         `json:"show,omitempty"` // uncertainty, in place of the light
	Notes    []string       `json:"notes,omitempty"`
	band     spectrum.Band
	tanks    tanks
	over     []string // of each channel of several tanks: the one that it is over
}

// Uncertain is the head of a map of how unsure the light is.
func (h MapHead) Uncertain() MapHead {
	h.Show = "uncertainty"
	return h
}

func (h MapHead) unsure() bool { return h.Show != "" }

// unit is that of what is mapped.
func (h MapHead) unit() string {
	if h.unsure() {
		return "%"
	}
	return unit
}

// ChannelLevel is a channel of a map and the light fraction it stands at.
type ChannelLevel struct {
	Name  string  `json:"name"`
	Level float64 `json:"level"`
}

// NewMapHead describes an ask; at is the word of --at.
func NewMapHead(p *plan.Plan, a maps.Ask, at string, notes ...string) MapHead {
	h := MapHead{Plan: p.Name, At: at, Band: BandName(a.Band), band: a.Band, Notes: notes, tanks: tanksOf(p)}
	for k, ch := range a.Channels {
		h.over = append(h.over, p.TankAt(p.Channels[ch].Tank).Name)
		h.Channels = append(h.Channels, ChannelLevel{p.Channels[ch].Name, a.Levels[k]})
	}
	return h
}

// Quantity is the name of the light mapped: PPFD, or photons in a band.
func (h MapHead) Quantity() string {
	if h.unsure() {
		h.Show = ""
		return "uncertainty (1 sd) of " + h.Quantity()
	}
	if h.band == spectrum.PAR {
		return "PPFD"
	}
	return "photons " + h.Band + " nm"
}

// Lit says which channels are lit and how far.
func (h MapHead) Lit() string {
	var words []string
	for _, c := range h.Channels {
		if h.At == "full" {
			words = append(words, c.Name)
		} else {
			words = append(words, fmt.Sprintf("%s %s %%", c.Name, trim(c.Level*100)))
		}
	}
	if h.At == "full" {
		return strings.Join(words, ", ") + " at full output"
	}
	return strings.Join(words, ", ")
}

// total is the key of the sum over the channels.
func (h MapHead) total() string {
	if h.unsure() {
		return "uncertainty_percent"
	}
	if h.band == spectrum.PAR {
		return "ppfd_umol_m2_s"
	}
	return fmt.Sprintf("pfd_%g_%g_umol_m2_s", h.band.Lo, h.band.Hi)
}

func (h MapHead) text(w io.Writer, where string) {
	fmt.Fprintf(w, "%s: %s, %s\n%s\n\n", h.Plan, h.Quantity(), where, h.Lit())
}

func (h MapHead) footer(w io.Writer) {
	if len(h.Notes) > 0 {
		fmt.Fprintf(w, "\n%s\n", strings.Join(h.Notes, "\n"))
	}
}

// CoralMap is the light at the corals.
type CoralMap struct {
	MapHead
	Corals []CoralLight `json:"corals"`
	Zones  []ZoneLight  `json:"zones"`
}

// CoralLight is the light at one coral.
type CoralLight struct {
	Name   string                        `json:"name"`
	Zone   string                        `json:"zone"`
	Tank   string                        `json:"tank,omitempty"` // where the plan has several
	X      float64                       `json:"x_m"`
	Y      float64                       `json:"y_m"`
	Depth  float64                       `json:"depth_m"`
	Full   map[string]float64            `json:"ppfd_full_umol_m2_s"` // new lamps at full output
	Bands  map[string]map[string]float64 `json:"bands"`               // the same, µmol m⁻² s⁻¹ by band and channel
	Source map[string]light.Source       `json:"source"`
	Lit    map[string]float64            `json:"lit_umol_m2_s"` // in the band asked for at the levels asked for
	Total  float64                       `json:"total_umol_m2_s"`
	SD     float64                       `json:"total_sd_umol_m2_s"`
	lit    []float64
}

// ZoneLight is the spread of light over a zone's corals or area.
type ZoneLight struct {
	Name string  `json:"zone"`
	Tank string  `json:"tank,omitempty"` // where the plan has several
	Area bool    `json:"area"`
	Min  float64 `json:"min_umol_m2_s"`
	P10  float64 `json:"p10_umol_m2_s"`
	Mean float64 `json:"mean_umol_m2_s"`
	P90  float64 `json:"p90_umol_m2_s"`
	Max  float64 `json:"max_umol_m2_s"`
}

// NewCoralMap makes the report of the light at the corals.
func NewCoralMap(p *plan.Plan, c maps.Corals, h MapHead) CoralMap {
	out := CoralMap{MapHead: h, Corals: []CoralLight{}, Zones: h.zoneLights(c.Zones)}
	for _, pl := range c.Places {
		l := CoralLight{
			Name: pl.Name, Zone: p.Zones[pl.Zone].Name, Tank: h.tanks[p.Zones[pl.Zone].Name], X: pl.At.X, Y: pl.At.Y, Depth: pl.At.Depth,
			Full: map[string]float64{}, Bands: map[string]map[string]float64{}, Source: map[string]light.Source{},
			Lit: map[string]float64{}, Total: pl.Total, SD: pl.SD, lit: pl.Channel,
		}
		for _, b := range c.Bands {
			l.Bands[BandName(b)] = map[string]float64{}
		}
		for k, ch := range h.Channels {
			if h.over[k] != p.TankAt(p.Zones[pl.Zone].Tank).Name {
				continue
			}
			l.Full[ch.Name], l.Source[ch.Name], l.Lit[ch.Name] = pl.Full[k], pl.Source[k], pl.Channel[k]
			for b, band := range c.Bands {
				l.Bands[BandName(band)][ch.Name] = pl.Bands[b][k]
			}
		}
		out.Corals = append(out.Corals, l)
	}
	return out
}

func (h MapHead) zoneLights(zones []maps.Zone) []ZoneLight {
	out := []ZoneLight{}
	for _, z := range zones {
		out = append(out, ZoneLight{z.Name, h.tanks[z.Name], z.Area, z.Min, z.P10, z.Mean, z.P90, z.Max})
	}
	return out
}

// Table has one row a coral.
func (r CoralMap) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true}, {Head: "zone", Key: "zone", Left: true},
		{Key: "x_m", Only: table.CSVOnly}, {Key: "y_m", Only: table.CSVOnly}, {Key: "depth_m", Only: table.CSVOnly},
	}}
	for _, c := range r.Channels {
		t.Columns = append(t.Columns, table.Column{Head: c.Name, Unit: unit, Key: c.Name + "_umol_m2_s"})
	}
	t.Columns = append(t.Columns, table.Column{Head: "all", Unit: unit, Key: r.total()},
		table.Column{Head: "± 1 sd", Unit: unit, Key: "sd_umol_m2_s"},
		table.Column{Head: "source", Key: "source", Left: true})
	for _, c := range r.Corals {
		row := []any{c.Name, c.Zone, place(c.X), place(c.Y), place(c.Depth)}
		row = append(row, r.levels(c)...)
		t.Add(append(row, sig(c.Total), sig(c.SD), CoralDLI{Source: c.Source}.sources())...)
	}
	return r.tanks.beside(t)
}

// levels is the light of each channel; of one over another tank there is none to tell.
func (r CoralMap) levels(c CoralLight) (out []any) {
	for k, v := range c.lit {
		if _, own := c.Lit[r.Channels[k].Name]; own {
			out = append(out, sig(v))
		} else {
			out = append(out, "")
		}
	}
	return out
}

const unit = "µmol/m²/s"

// place is a length in m without noise of the last bits.
func place(m float64) string {
	s := strconv.FormatFloat(m, 'f', 6, 64)
	return strings.TrimSuffix(strings.TrimRight(s, "0"), ".")
}

// Text is the table and the zones; where the page is too narrow for all channels, the
// sums first and then the channels.
func (r CoralMap) Text(w io.Writer) error {
	r.text(w, "at the corals")
	tables := []table.Table{r.Table()}
	if r.tanks != nil || !table.Wide(w) && !tables[0].Fits(w) {
		tables = r.narrow()
	}
	tables = append(tables, r.zones())
	for i, t := range tables {
		if i > 0 {
			fmt.Fprintln(w)
		}
		if err := t.Text(w); err != nil {
			return err
		}
	}
	r.footer(w)
	return nil
}

// narrow is the table in parts: the sums, and the channels, tank by tank, without their unit.
func (r CoralMap) narrow() []table.Table {
	sums := table.Table{Columns: []table.Column{{Head: "coral", Left: true}, {Head: "zone", Left: true, Last: 1}, {Head: "all", Unit: unit}, {Head: "± 1 sd", Unit: unit}, {Head: "source", Left: true, Last: 2}}}
	for _, c := range r.Corals {
		sums.Add(c.Name, c.Zone, sig(c.Total), sig(c.SD), CoralDLI{Source: c.Source}.sources())
	}
	out := []table.Table{r.tanks.beside(sums)}
	for _, tank := range slices.Compact(slices.Sorted(slices.Values(r.over))) {
		each := table.Table{Columns: []table.Column{{Head: strings.TrimSpace(tank + " by channel"), Unit: unit, Left: true}}}
		for k, c := range r.Channels {
			if r.over[k] == tank {
				each.Columns = append(each.Columns, table.Column{Head: c.Name})
			}
		}
		for _, c := range r.Corals {
			if c.Tank != tank && r.tanks != nil {
				continue
			}
			row := []any{c.Name}
			for k, v := range c.lit {
				if r.over[k] == tank {
					row = append(row, sig(v))
				}
			}
			each.Add(row...)
		}
		if len(each.Rows) > 0 {
			out = append(out, each)
		}
	}
	return out
}

func (r CoralMap) zones() table.Table {
	t := table.Table{Columns: append([]table.Column{{Head: "zone", Left: true}}, spread(unit)...)}
	for _, z := range r.Zones {
		t.Add(append([]any{z.label()}, z.cells()...)...)
	}
	return r.tanks.beside(t)
}

func spread(unit string) []table.Column {
	return []table.Column{
		{Head: "lowest", Unit: unit, Key: "min_umol_m2_s"}, {Head: "10 % below", Unit: unit, Key: "p10_umol_m2_s"},
		{Head: "mean", Unit: unit, Key: "mean_umol_m2_s"},
		{Head: "10 % above", Unit: unit, Key: "p90_umol_m2_s"}, {Head: "highest", Unit: unit, Key: "max_umol_m2_s"},
	}
}

func (z ZoneLight) label() string {
	if z.Area {
		return z.Name + " (area)"
	}
	return z.Name
}

func (z ZoneLight) cells() []any {
	return []any{sig(z.Min), sig(z.P10), sig(z.Mean), sig(z.P90), sig(z.Max)}
}

// Sweep is how the light of the zones follows one value of the plan.
type Sweep struct {
	MapHead
	Path string      `json:"path"`
	Rows []SweepStep `json:"rows"`
}

// SweepStep is the light of the zones at one value.
type SweepStep struct {
	Value string      `json:"value"`
	Zones []ZoneLight `json:"zones"`
}

// NewSweep makes the report of a sweep.
func NewSweep(s maps.Sweep, steps []maps.Step, h MapHead) Sweep {
	out := Sweep{MapHead: h, Path: s.Path, Rows: []SweepStep{}}
	for _, st := range steps {
		out.Rows = append(out.Rows, SweepStep{st.Value, h.zoneLights(st.Zones)})
	}
	return out
}

// Table has one row for each zone and value, a zone's rows together.
func (r Sweep) Table() table.Table {
	t := table.Table{Columns: append([]table.Column{
		{Head: "zone", Key: "zone", Left: true}, {Head: r.Path[strings.LastIndex(r.Path, ".")+1:], Key: "value"}}, spread(unit)...)}
	if len(r.Rows) == 0 {
		return t
	}
	for z := range r.Rows[0].Zones {
		for _, st := range r.Rows {
			if z < len(st.Zones) {
				t.Add(append([]any{st.Zones[z].label(), st.Value}, st.Zones[z].cells()...)...)
			}
		}
	}
	return r.tanks.beside(t)
}

// Text is the table.
func (r Sweep) Text(w io.Writer) error {
	r.text(w, "while "+r.Path+" varies")
	err := r.Table().Text(w)
	r.footer(w)
	return err
}
