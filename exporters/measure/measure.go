package measure

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"html/template"
	"io"
	"math"
	"strconv"
	"strings"

	"dayloom/exporters/csvcell"
	"dayloom/schedule/light/survey"
	"dayloom/schedule/plan"
)

//go:embed page.html
var page string

var pageTemplate = template.Must(template.New("page").Parse(page))

// Row is one line of a survey in words.
type Row struct {
	No                      int
	Coral, X, Y, Depth, Lit string // X, Y, Depth in cm
	Tank                    string // where the plan has several
	Expected, Low, High     float64
	First                   bool // of its spot
}

// Rows puts a survey in words, in its order.
func Rows(p *plan.Plan, s survey.Survey) (out []Row) {
	for i, l := range s.Lines {
		r := Row{No: i + 1, Tank: s.Tank, X: cm(l.X), Y: cm(l.Y), Depth: cm(l.Depth), Lit: lit(p, l.Lit), Expected: l.Expected.Value}
		if l.Coral >= 0 {
			r.Coral = p.Corals[l.Coral].Name
		}
		k := 1.0
		if l.Expected.Value > 0 {
			k = math.Exp(2 * l.Expected.SD / l.Expected.Value)
		}
		r.Low, r.High = l.Expected.Value/k, l.Expected.Value*k
		r.First = i == 0 || out[i-1].X != r.X || out[i-1].Y != r.Y || out[i-1].Depth != r.Depth
		out = append(out, r)
	}
	return out
}

func lit(p *plan.Plan, lit []plan.Lit) string {
	if len(lit) > 1 {
		return "all"
	}
	l := lit[0]
	if l.Command == "" {
		return p.Channels[l.Channel].Name
	}
	return p.Channels[l.Channel].Name + "@" + l.Command
}

func cm(m float64) string {
	return strconv.FormatFloat(math.Round(m*1000)/10, 'f', -1, 64)
}

// Light is a PPFD with three figures.
func Light(v float64) string {
	if v >= 100 {
		return fmt.Sprintf("%.0f", v)
	}
	return strconv.FormatFloat(v, 'g', 3, 64)
}

// WriteCSV writes the table to fill in (RFC 4180), its lamps lit on the date.
func WriteCSV(w io.Writer, date plan.Date, rows []Row) error {
	t := csv.NewWriter(w)
	t.UseCRLF = true
	tank := func(row Row, cells ...string) []string {
		if rows[0].Tank == "" {
			return cells
		}
		return append([]string{row.Tank}, cells...)
	}
	if err := t.Write(tank(Row{Tank: "tank"}, "coral", "x_cm", "y_cm", "depth_cm", "lit", "ppfd", "date", "expected_umol_m2_s", "low", "high", "note")); err != nil {
		return err
	}
	for _, r := range rows {
		x, y, depth := r.X, r.Y, r.Depth
		if r.Coral != "" { // a line says one place
			x, y, depth = "", "", ""
		}
		if err := t.Write(tank(r, csvcell.Neutral(r.Coral), x, y, depth, r.Lit, "", date.String(), Light(r.Expected), Light(r.Low), Light(r.High), "")); err != nil {
			return err
		}
	}
	t.Flush()
	return t.Error()
}

// WritePage writes the page to print.
func WritePage(w io.Writer, name string, date plan.Date, rows []Row) error {
	type line struct {
		No                       int
		Spot, Lit, Expected, Low string
		High                     string
		First                    bool
	}
	var lines []line
	for _, r := range rows {
		spot := strings.TrimSpace(fmt.Sprintf("%s %s x %s, y %s, depth %s cm", r.Tank, r.Coral, r.X, r.Y, r.Depth))
		lines = append(lines, line{r.No, spot, r.Lit, Light(r.Expected), Light(r.Low), Light(r.High), r.First})
	}
	return pageTemplate.Execute(w, struct {
		Plan, Date string
		Lines      []line
	}{name, date.String(), lines})
}
