package report

import (
	"fmt"
	"slices"
	"strings"

	"dayloom/exporters/table"
	"dayloom/photon/pigment"
	"dayloom/schedule/day/mix"
)

// Remarks say why values are missing, each reason once with the corals that it holds for.
func (r Colour) Remarks() []string {
	var order []string
	who := map[string][]string{}
	say := func(name, what string) {
		if !slices.Contains(order, what) {
			order = append(order, what)
		}
		who[what] = append(who[what], name)
	}
	for _, c := range r.all() {
		switch {
		case c.X == nil:
			say(c.Name, "dark: no colour")
			continue
		case c.NoCCT != "":
			say(c.Name, c.NoCCT+", so no Ra or Rf either")
		case c.Ra == nil && c.Reference != nil:
			say(c.Name, fmt.Sprintf("Ra does not hold: CIE 13.3 allows a distance of %g from the reference light (u, v)", c.Limit))
		case c.Rf == nil:
			say(c.Name, "no Ra or Rf: the CIE's daylight ends at 25 000 K")
		}
		if !*c.InGamut {
			say(c.Name, "more saturated than a screen can show: the swatch has white added, its tint is kept")
		}
	}
	var out []string
	for _, what := range order {
		names := strings.Join(who[what], ", ")
		if len(who[what]) == len(r.all()) && len(r.all()) > 1 {
			names = "all"
		}
		out = append(out, names+": "+what)
	}
	return out
}

// Headed is a table with the words above it.
type Headed struct {
	Head string
	table.Table
}

// Tables are rendering, photons by band, pigments and drift, those that have a row.
func (r Colour) Tables() (out []Headed) {
	for _, part := range []func() (string, table.Table){r.rendering, r.shares, r.pigments, r.drifts} {
		if head, t := part(); len(t.Rows) > 0 {
			out = append(out, Headed{head, t})
		}
	}
	return out
}

// rendering is R1-R14 where they hold.
func (r Colour) rendering() (string, table.Table) {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true}}}
	for k := range 14 {
		t.Columns = append(t.Columns, table.Column{Head: fmt.Sprintf("R%d", k+1)})
	}
	for _, c := range r.all() {
		if c.R == nil {
			continue
		}
		row := []any{c.Name}
		for _, v := range c.R {
			row = append(row, fmt.Sprintf("%.0f", v))
		}
		t.Add(row...)
	}
	return "special indices of colour rendering (CIE 13.3); R9 is strong red, R12 strong blue", t
}

var bandWords = []string{"UV", "violet", "blue", "green", "yellow", "red", "far red"}

// shares are the photons by band.
func (r Colour) shares() (string, table.Table) {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true}}}
	for k, b := range mix.Bands {
		t.Columns = append(t.Columns, table.Column{Head: bandWords[k], Unit: BandName(b)})
	}
	for _, c := range r.all() {
		row := []any{c.Name}
		for _, b := range mix.Bands {
			row = append(row, percent(c.Bands[BandName(b)]))
		}
		t.Add(row...)
	}
	return "share of the photons of 380-750 nm in each band, nm", t
}

// pigments are the shares that excite what glows.
func (r Colour) pigments() (string, table.Table) {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true}}}
	for _, g := range pigment.All() {
		t.Columns = append(t.Columns, table.Column{Head: g.Name, Unit: fmt.Sprintf("glows at %g", g.GlowNM)})
	}
	for _, c := range r.all() {
		row := []any{c.Name}
		for _, g := range pigment.All() {
			row = append(row, percent(c.Pigments[PigmentKey(g)]))
		}
		t.Add(row...)
	}
	return "share of the photons of 350-700 nm that excites coral pigments, by their published curves. " +
		"An indication only: corals have many more pigments. The doses of violet and UV are judged apart: " +
		"a small share here is no reason for more of them.", t
}

// drifts are how far the colour moves.
func (r Colour) drifts() (string, table.Table) {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true},
		{Head: "noon"}, {Head: "in the day", Unit: "u′v′"}, {Head: "farthest at"}, {Head: "lamps a year older", Unit: "u′v′"}}}
	for _, c := range r.all() {
		if d := c.Drift; d != nil {
			t.Add(c.Name, d.NoonAt, fmt.Sprintf("%.4f", d.Day), d.DayAt, fmt.Sprintf("%.4f", d.Age))
		}
	}
	return "how far the colour moves from noon's (when PPFD is greatest), while PPFD is above 1 % of noon's; " +
		"about 0.004 is what people begin to see side by side (common practice, no source)", t
}
