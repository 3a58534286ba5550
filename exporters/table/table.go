// Package table sets rows of values as aligned text or as CSV.
//
// A column has a heading, the unit that belongs to it and a side to align to.
// In text the unit stands on a line of its own under the headings, so that the
// numbers below need none; in CSV (RFC 4180) the heading is the machine's key,
// which carries the unit in its name.
package table

import (
	"encoding/csv"
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/csvcell"
)

// Column describes one column.
type Column struct {
	Head string // for people
	Unit string // for people; may be empty
	Key  string // for CSV, with its unit, such as dli_mol_m2_d; empty: not in CSV
	Left bool   // words align left, numbers right
	Only Form   // Both, or left out of the other
	Last int    // where a page is too narrow: 0 stays; of the others the greatest gives way first
	Fold int    // of the last column: words that may go on below, but columns give way before they get narrower than this
}

// Form says where a column appears.
type Form int

// The forms.
const (
	Both Form = iota
	TextOnly
	CSVOnly
)

// Table is columns and rows; every row has one cell for each column.
type Table struct {
	Columns []Column
	Rows    [][]string
}

// Add appends a row; values are set with fmt.Sprint.
func (t *Table) Add(cells ...any) {
	row := make([]string, len(cells))
	for i, c := range cells {
		row[i] = fmt.Sprint(c)
	}
	t.Rows = append(t.Rows, row)
}

func (t Table) pick(skip Form) []int {
	var keep []int
	for i, c := range t.Columns {
		if c.Only != skip {
			keep = append(keep, i)
		}
	}
	return keep
}

// CSV writes the table by RFC 4180: a header of keys, CRLF line ends.
func (t Table) CSV(w io.Writer) error {
	cols := t.pick(TextOnly)
	if err := t.finite(cols, func(c Column) string { return c.Key }); err != nil {
		return err
	}
	c := csv.NewWriter(w)
	c.UseCRLF = true
	write := func(cell func(i int) string) error {
		row := make([]string, len(cols))
		for n, i := range cols {
			row[n] = cell(i)
		}
		return c.Write(row)
	}
	if err := write(func(i int) string { return t.Columns[i].Key }); err != nil {
		return err
	}
	for _, r := range t.Rows {
		if err := write(func(i int) string { return disarmed(r[i]) }); err != nil {
			return err
		}
	}
	c.Flush()
	return c.Error()
}

// finite refuses a table with a cell that is no number.
func (t Table) finite(cols []int, name func(Column) string) error {
	for _, r := range t.Rows {
		for _, i := range cols {
			switch strings.TrimSuffix(r[i], " %") {
			case "NaN", "+Inf", "-Inf":
				return fmt.Errorf("%s of %s came out as no number, so nothing is printed", name(t.Columns[i]), r[cols[0]])
			}
		}
	}
	return nil
}

// disarmed is a cell that no spreadsheet takes for a formula. Numbers, signed ones
// too, stay as they are.
func disarmed(s string) string {
	if isNumber(s) {
		return s
	}
	return csvcell.Neutral(s)
}

func isNumber(s string) bool {
	var f float64
	var rest string
	n, _ := fmt.Sscanf(s, "%g%s", &f, &rest)
	return n == 1
}
