package report

import (
	"fmt"
	"io"

	"dayloom/exporters/table"
	"dayloom/schedule/day/dose"
)

// Worth is what the day's light is worth to a coral: an indication.
type Worth struct {
	Ek          float64   `json:"ek_umol_m2_s"`
	AboveS      float64   `json:"above_ek_s"`         // time with a PPFD above Ek
	AboveShare  float64   `json:"above_ek_dli_share"` // share of the DLI that falls above Ek
	ProductionS float64   `json:"production_s"`       // ∫ tanh(PPFD/Ek) dt: s at the ceiling
	SameDLI     []SameDLI `json:"same_dli"`
}

// SameDLI is the same DLI in a longer and dimmer day.
type SameDLI struct {
	LongerS     float64 `json:"longer_s"`
	ProductionS float64 `json:"production_s"`
}

// With is the report with what the light is worth at the corals, then the areas, where an
// Ek is stated.
func (r DLI) With(worths []*dose.Worth) DLI {
	list := []*CoralDLI{}
	for i := range r.Corals {
		list = append(list, &r.Corals[i])
	}
	for i := range r.Areas {
		list = append(list, &r.Areas[i])
	}
	for i, w := range worths {
		if w == nil {
			continue
		}
		out := &Worth{Ek: w.Ek, AboveS: w.AboveS, AboveShare: w.AboveShare(), ProductionS: w.ProductionS}
		for k, s := range dose.LongerS {
			out.SameDLI = append(out.SameDLI, SameDLI{s, w.SameDLI[k]})
		}
		list[i].Worth = out
	}
	return r
}

// worths are the places with a stated Ek.
func (r DLI) worths() (out []CoralDLI) {
	for _, list := range [][]CoralDLI{r.Corals, r.Areas} {
		for _, c := range list {
			if c.Worth != nil {
				out = append(out, c)
			}
		}
	}
	return out
}

// cells are the columns of CSV, empty where no Ek is stated.
func (v *Worth) cells() []any {
	if v == nil {
		return []any{"", "", "", ""}
	}
	return []any{trim(v.Ek), fmt.Sprintf("%.2f", v.AboveS/3600), fmt.Sprintf("%.4f", v.AboveShare), fmt.Sprintf("%.3f", v.ProductionS/3600)}
}

// worthText tells what the light is worth, where it can be told.
func (r DLI) worthText(w io.Writer) error {
	t := r.WorthTable()
	if t.Rows == nil {
		return nil
	}
	fmt.Fprintf(w, "\n%s\n\n", t.Head)
	return t.Text(w)
}

// WorthTable is what the light is worth where an Ek is stated; it has no rows where none is.
func (r DLI) WorthTable() Headed {
	t := table.Table{Columns: []table.Column{{Head: "coral", Left: true}, {Head: "Ek", Unit: "µmol/m²/s"},
		{Head: "time above", Unit: "h"}, {Head: "light above", Unit: "of the DLI"}, {Head: "production", Unit: "h at the ceiling"}}}
	for _, s := range dose.LongerS {
		t.Columns = append(t.Columns, table.Column{Head: fmt.Sprintf("%g h longer", s/3600), Unit: "same DLI"})
	}
	for _, c := range r.worths() {
		row := []any{c.Name, trim(c.Worth.Ek), fmt.Sprintf("%.1f", c.Worth.AboveS/3600), percent(c.Worth.AboveShare), fmt.Sprintf("%.2f", c.Worth.ProductionS/3600)}
		for _, s := range c.Worth.SameDLI {
			row = append(row, fmt.Sprintf("%.2f", s.ProductionS/3600))
		}
		t.Add(row...)
	}
	return Headed{"what the light is worth by its Ek: production is the day's sum of tanh(PPFD/Ek) (Jassby and Platt 1976), " +
		"also for the same DLI in a longer and dimmer day. An indication and no promise: Ek follows the light within weeks.", t}
}
