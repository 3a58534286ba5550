package main

import (
	"bytes"
	"encoding/json"
	"encoding/xml"
	"errors"
	"fmt"
	"io"
	"maps"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// sheetRow is a row of a table of the report, cell by cell, without the letters of corals.
type sheetRow []string

// readReport takes a report apart: rows by the label of their table, and what sums up each section.
func readReport(t *testing.T, html []byte) (tables map[string][]sheetRow, sums map[string]string) {
	t.Helper()
	d := xml.NewDecoder(bytes.NewReader(html))
	d.Strict, d.AutoClose, d.Entity = false, xml.HTMLAutoClose, xml.HTMLEntity
	tables, sums = map[string][]sheetRow{}, map[string]string{}
	table, section := "", ""
	var cell, sum *strings.Builder
	skip := 0
	for {
		tok, err := d.Token()
		if errors.Is(err, io.EOF) {
			return tables, sums
		}
		require.NoError(t, err)
		switch e := tok.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "section":
				section = attr(e, "id")
			case "table":
				table = attr(e, "aria-label")
			case "tr":
				tables[table] = append(tables[table], nil)
			case "th", "td":
				cell = new(strings.Builder)
			case "b", "span":
				skip++
			case "p":
				if sum = nil; attr(e, "class") == "sum" {
					sum = new(strings.Builder)
				}
			}
		case xml.EndElement:
			switch e.Name.Local {
			case "th", "td":
				rows := tables[table]
				rows[len(rows)-1] = append(rows[len(rows)-1], strings.TrimSpace(cell.String()))
				cell = nil
			case "b", "span":
				skip--
			}
		case xml.CharData:
			if cell != nil && skip == 0 {
				cell.Write(e)
			}
			if sum != nil {
				sum.Write(e)
				sums[section] = strings.TrimSpace(sum.String())
				sum = nil
			}
		}
	}
}

func attr(e xml.StartElement, name string) string {
	for _, a := range e.Attr {
		if a.Name.Local == name {
			return a.Value
		}
	}
	return ""
}

// find is the row that begins with some cells.
func find(rows []sheetRow, begin ...string) sheetRow {
	for _, r := range rows {
		if len(r) >= len(begin) && fmt.Sprint([]string(r[:len(begin)])) == fmt.Sprint(begin) {
			return r
		}
	}
	return nil
}

// Every figure of the report is the one that dli, compile, drill and colour print for the same plan and date.
func TestReportSaysWhatTheCommandsSay(t *testing.T) {
	likes := []string{"nursery", "hybrid", "single", "readings"}
	if testing.Short() {
		likes = likes[2:]
	}
	for _, like := range likes {
		t.Run(like, func(t *testing.T) {
			dir := t.TempDir()
			r := reported{T: t, plan: filepath.Join(dir, "x", "plan.yaml")}
			_, msg, code := at(t, reportNow, "new", filepath.Dir(r.plan), "--like", like)
			require.Zero(t, code, msg)
			file := filepath.Join(dir, "r.html")
			_, msg, code = at(t, reportNow, "report", r.plan, "-o", file, "--on", reportOn)
			require.Contains(t, []int{exitDone, exitUnmet}, code, msg)
			html, err := os.ReadFile(file)
			require.NoError(t, err)
			r.tables, r.sums = readReport(t, html)
			assert.Equal(t, r.asDLI(), code, "report ends as dli does")
			r.asDrill()
			r.asColour()
			r.asCompile(filepath.Join(dir, "out"))
			assert.Greater(t, r.compared, 20)
			r.golden(like)
			text := regexp.MustCompile(`(?s)<style>.*</style>|<[^>]*>`).ReplaceAllString(string(html), " ")
			assert.Empty(t, retired.FindAllString(text, -1), "retired words")
		})
	}
}

// The date lies in the middle of an acclimation.
const reportNow, reportOn = "2026-12-02T12:00:00Z", "2027-02-20"

// reported is a report taken apart.
type reported struct {
	*testing.T
	plan     string
	tables   map[string][]sheetRow
	sums     map[string]string
	compared int // figures
}

// same holds a row's cells from the n-th on against figures.
func (r *reported) same(row sheetRow, n int, want ...string) {
	r.Helper()
	require.GreaterOrEqual(r, len(row), n+len(want), "%v", row)
	assert.Equal(r, want, []string(row[n:n+len(want)]), "%v", row)
	r.compared += len(want)
}

func (r *reported) asDLI() (code int) {
	var dli struct {
		Corals []struct {
			Name, Verdict string
			DLI           float64 `json:"dli_mol_m2_d"`
			SD            float64 `json:"dli_sd_mol_m2_d"`
			At            string  `json:"ppfd_peak_at"`
			Photoperiod   float64 `json:"photoperiod_s"`
		}
		Load struct {
			Power float64 `json:"power_peak_w"`
		}
	}
	code = asJSON(r.T, &dli, "dli", r.plan, "--date", reportOn)
	for _, c := range dli.Corals {
		row := find(r.tables["The light of "+reportOn+", place by place"], c.Name)
		r.same(row, 2, fmt.Sprintf("%.2f", c.DLI), fmt.Sprintf("%.2f", c.SD))
		r.same(row, 6, c.At, fmt.Sprintf("%.1f", c.Photoperiod/3600))
		r.same(row, 10, c.Verdict)
	}
	assert.Contains(r, r.sums["power"], fmt.Sprintf("highest %.0f W", dli.Load.Power))
	return code
}

type jsonFault struct {
	Fault, Controller, Port, Channel string
	Corals                           []struct {
		Name, Verdict string
		Ratio         *float64 `json:"dli_ratio"`
	}
}

// cell is how a grid names the fault.
func (f jsonFault) cell() string {
	name := strings.Replace(f.Fault, "wire open", "control wire broken", 1) + ", "
	if f.Controller == "" {
		return name + f.Channel
	}
	name += f.Controller
	if f.Port != "" {
		name += " " + f.Port
	}
	if f.Channel != "" && f.Fault != "ports swapped" {
		name += " (" + f.Channel + ")"
	}
	return name
}

func (r *reported) asDrill() {
	var drill struct{ Faults []jsonFault }
	asJSON(r.T, &drill, "drill", r.plan, "--date", reportOn)
	for _, f := range drill.Faults {
		row := find(r.tables["Faults and corals"], f.cell())
		normal := true
		for k, c := range f.Corals {
			normal = normal && c.Verdict == "as normal"
			if row != nil && c.Ratio != nil {
				assert.Equal(r, fmt.Sprintf("%.0f", 100**c.Ratio), strings.TrimRight(row[1+k], "!<>"), "%s: %s", f.cell(), c.Name)
				r.compared++
			}
		}
		assert.Equal(r, normal, row == nil, "%s: only faults without effect are left out", f.cell())
	}
}

func (r *reported) asColour() {
	var colour struct {
		Corals []struct {
			Name string
			X, Y *float64
			SRGB *string
		}
	}
	asJSON(r.T, &colour, "colour", r.plan, "--date", reportOn)
	for _, c := range colour.Corals {
		row := find(r.tables["Colour with all channels at their peak levels"], c.Name)
		if c.X != nil {
			r.same(row, 1, fmt.Sprintf("%.4f", *c.X), fmt.Sprintf("%.4f", *c.Y))
			r.same(row, 9, *c.SRGB)
		}
	}
}

func (r *reported) asCompile(dir string) {
	var compiled struct {
		Ports []struct {
			Controller, Port, Channel string
			Points                    int
			Greatest                  float64 `json:"greatest_departure"`
			DoseS                     float64 `json:"dose_asked_s"`
			Error                     float64 `json:"dose_departure"`
		}
	}
	asJSON(r.T, &compiled, "compile", r.plan, "-o", dir, "--from", reportOn)
	for _, p := range compiled.Ports {
		row := find(r.tables["How near the timetable comes, port by port"], p.Controller, p.Port, p.Channel)
		r.same(row, 3, fmt.Sprint(p.Points))
		r.same(row, 5, fmt.Sprintf("%.2f", 100*p.Greatest))
		r.same(row, 7, fmt.Sprintf("%.3f", p.DoseS/3600), fmt.Sprintf("%+.2f", 100*p.Error))
	}
}

// golden holds all cells of the report's tables against a file.
func (r *reported) golden(like string) {
	t := r.T
	var b strings.Builder
	for _, id := range slices.Sorted(maps.Keys(r.sums)) {
		fmt.Fprintf(&b, "%s: %s\n", id, r.sums[id])
	}
	for _, name := range slices.Sorted(maps.Keys(r.tables)) {
		fmt.Fprintf(&b, "\n%s\n", name)
		for _, row := range r.tables[name] {
			fmt.Fprintf(&b, "%s\n", strings.Join(row, " | "))
		}
	}
	golden := rootFile("cmd/dayloom/testdata/report/" + like + ".txt")
	if *update {
		require.NoError(t, os.MkdirAll(filepath.Dir(golden), 0o755))
		require.NoError(t, os.WriteFile(golden, []byte(b.String()), 0o644))
	}
	want, err := os.ReadFile(golden)
	require.NoError(t, err)
	assert.Equal(t, string(want), b.String())
}

// asJSON runs a command and reads what it prints.
func asJSON(t *testing.T, v any, args ...string) (code int) {
	t.Helper()
	out, msg, code := at(t, reportNow, append(args, "--format", "json")...)
	require.Contains(t, []int{exitDone, exitUnmet}, code, msg)
	require.NoError(t, json.Unmarshal([]byte(out), v))
	return code
}
