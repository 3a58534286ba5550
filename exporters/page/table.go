package page

import (
	"fmt"
	"io"

	"dayloom/exporters/table"
)

// Table is a table of another report as the page sets it: the same cells, letter by letter.
type Table struct {
	Caption string
	Columns []column
	Rows    []row
	Left    string // what is not shown
}

type column struct {
	Head, Unit string
	Words      bool
}

type row struct {
	Class string
	Cells []cell
}

type cell struct {
	Text, Letter, Sign, Swatch string // Sign stands before the text, for those who see no colour
	Words, Head, Long          bool
}

// newTable takes what a table shows to people. only chooses rows; nil: the first MostShown.
func newTable(caption string, t table.Table, only []int) Table {
	out := Table{Caption: caption}
	var keep []int
	for i, c := range t.Columns {
		if c.Only != table.CSVOnly {
			keep = append(keep, i)
			out.Columns = append(out.Columns, column{c.Head, c.Unit, c.Left})
		}
	}
	if only == nil {
		for i := range t.Rows[:min(len(t.Rows), MostShown)] {
			only = append(only, i)
		}
	}
	for _, i := range only {
		var r row
		for n, k := range keep {
			text := t.Rows[i][k]
			if text == "" && !t.Columns[k].Left {
				text = "-" // as the commands print it
			}
			r.Cells = append(r.Cells, cell{Text: text, Words: t.Columns[k].Left, Head: n == 0, Long: len(text) > 32})
		}
		out.Rows = append(out.Rows, r)
	}
	if n := len(t.Rows) - len(only); n > 0 {
		out.Left = fmt.Sprintf("%d more are not shown.", n)
	}
	return out
}

// Row is parts that stand side by side where there is room.
type Row []Part

// Write writes them.
func (r Row) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "row", r) }

// Pair is a drawing with a table that explains it beside it.
type Pair []Part

// Write writes both.
func (p Pair) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "pair", p) }

// Write writes the table.
func (t Table) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "table", t) }

// cellOf is a cell of another report's table, by the key of its column: numbers are set in one place.
func cellOf(t table.Table, row int, key string) string {
	for i, c := range t.Columns {
		if c.Key == key {
			return t.Rows[row][i]
		}
	}
	return ""
}
