package grid

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"dayloom/exporters/csvcell"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/spreadsheet"
)

// Column is the port that a column is for.
type Column struct{ Controller, Port, Channel, Unit string }

// Row is one step. Commands, in the order of the columns, are held until the
// next row; those of a switch are 0 (off) and 1 (on).
type Row struct {
	Date     plan.Date
	Time     float64 // s after midnight
	Commands []float64
}

// Reader reads a grid row by row.
type Reader struct {
	name    string
	rows    spreadsheet.Rows
	columns []Column
	tail    *tail
	step    float64 // 0 until the second row
	last    Row
	started bool
}

// NewReader reads the header. The name is for messages.
func NewReader(name string, r io.Reader) (*Reader, error) {
	end := &tail{r: r}
	rows, ok := spreadsheet.New(end)
	if !ok {
		return nil, fmt.Errorf("%s:1: the columns are separated by tabs; separate them with commas, or with semicolons where numbers have decimal commas", name)
	}
	g := &Reader{name: name, rows: rows, tail: end}
	g.rows.ReuseRecord = true
	g.rows.FieldsPerRecord = -1 // counted here, for the message
	header, err := g.rows.Next()
	if err == io.EOF {
		return nil, fmt.Errorf("%s:1: the file is empty; compile the plan again", name)
	}
	if err != nil {
		return nil, g.at(err)
	}
	if len(header) < 3 || header[0] != "date" || header[1] != "time" {
		return nil, fmt.Errorf("%s:1: the header must be date, time and a column for each port; this is not a grid.csv", name)
	}
	for _, text := range header[2:] {
		c, ok := parseColumn(csvcell.Original(text))
		if !ok {
			return nil, fmt.Errorf("%s:1: the column %q is not controller:port:channel:unit", name, text)
		}
		g.columns = append(g.columns, c)
	}
	return g, nil
}

// Columns is the ports, in the order of the file.
func (g *Reader) Columns() []Column { return g.columns }

// StepS is the time from row to row, seconds; 0 before two rows are read.
func (g *Reader) StepS() float64 { return g.step }

// Next is the next row; its Commands are valid until the call after. At the end
// of a whole file the error is io.EOF.
func (g *Reader) Next() (Row, error) {
	cells, err := g.rows.Next()
	if err == io.EOF {
		return Row{}, g.end()
	}
	if err != nil {
		return Row{}, g.at(err)
	}
	if len(cells) != len(g.columns)+2 {
		return Row{}, g.at(fmt.Errorf("the row has %d columns in place of %d; it was cut or edited: compile the plan again", len(cells), len(g.columns)+2))
	}
	row, err := g.parse(cells)
	if err == nil {
		err = g.follows(row)
	}
	if err != nil {
		return Row{}, g.at(err)
	}
	g.last, g.started = row, true
	return row, nil
}

func (g *Reader) parse(cells []string) (row Row, err error) {
	row.Commands = g.last.Commands
	if row.Commands == nil {
		row.Commands = make([]float64, len(g.columns))
	}
	if row.Date, err = plan.ParseDate(cells[0]); err != nil {
		return row, err
	}
	if row.Time, err = timetable.ParseTimeOfDay(cells[1]); err != nil {
		return row, err
	}
	for i, text := range cells[2:] {
		if row.Commands[i], err = parseCommand(g.columns[i].Unit, text); err != nil {
			c := g.columns[i]
			return row, fmt.Errorf("port %s of %s: %w", c.Port, c.Controller, err)
		}
	}
	return row, nil
}

func parseCommand(unit, text string) (float64, error) {
	switch {
	case unit == "switch" && text == "on":
		return 1, nil
	case unit == "switch" && text == "off":
		return 0, nil
	case unit == "switch":
		return 0, fmt.Errorf("%q is neither on nor off, the only commands of a switch", text)
	}
	x, err := strconv.ParseFloat(text, 64)
	if err != nil || strings.Trim(text, "0123456789.-") != "" {
		return 0, fmt.Errorf("the command %q is not a number; write it like 4.5", text)
	}
	return x, nil
}

// follows checks a row against the one before, and learns the step.
func (g *Reader) follows(row Row) error {
	if !g.started {
		if row.Time != 0 {
			return fmt.Errorf("the first row is at %s; a grid begins at 00:00: compile the plan again", timetable.TimeOfDay(row.Time))
		}
		return nil
	}
	gap := float64(g.last.Date.DaysUntil(row.Date))*curve.Day + row.Time - g.last.Time
	if g.step == 0 && gap > 0 && int(curve.Day)%int(gap) == 0 {
		g.step = gap
	}
	if gap != g.step || gap == 0 {
		return fmt.Errorf("%v %s does not follow %v %s by one step; rows were lost, added or reordered: compile the plan again",
			row.Date, timetable.TimeOfDay(row.Time), g.last.Date, timetable.TimeOfDay(g.last.Time))
	}
	return nil
}

// end accepts the end of the file only where a date is complete.
func (g *Reader) end() error {
	line, _ := g.rows.FieldPos(0)
	switch {
	case !g.started:
		return fmt.Errorf("%s:1: there are no rows; compile the plan again", g.name)
	case g.tail.last != '\n':
		return fmt.Errorf("%s:%d: the last line has no line end: the file was cut short; compile the plan again", g.name, line)
	case g.step == 0 || g.last.Time+g.step != curve.Day:
		return fmt.Errorf("%s:%d: the file ends at %v %s, before the end of the day: it was cut short; compile the plan again", g.name, line, g.last.Date, timetable.TimeOfDay(g.last.Time))
	}
	return io.EOF
}

func (g *Reader) at(err error) error {
	if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
		return fmt.Errorf("%s:%d: a quote at column %d is out of place; compile the plan again", g.name, bad.Line, bad.Column)
	}
	line, _ := g.rows.FieldPos(0)
	return fmt.Errorf("%s:%d: %w", g.name, line, err)
}

// parseColumn splits at colons that have no backslash before them.
func parseColumn(text string) (Column, bool) {
	parts := []string{""}
	for i := 0; i < len(text); i++ {
		switch {
		case text[i] == '\\' && i+1 < len(text):
			i++
			parts[len(parts)-1] += text[i : i+1]
		case text[i] == ':':
			parts = append(parts, "")
		default:
			parts[len(parts)-1] += text[i : i+1]
		}
	}
	if len(parts) != 4 || parts[0] == "" || parts[1] == "" || parts[3] == "" {
		return Column{}, false
	}
	return Column{parts[0], parts[1], parts[2], parts[3]}, true
}

// tail passes bytes on and remembers the last.
type tail struct {
	r    io.Reader
	last byte
}

func (t *tail) Read(b []byte) (int, error) {
	n, err := t.r.Read(b)
	if n > 0 {
		t.last = b[n-1]
	}
	return n, err
}
