package timetable

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"dayloom/exporters/csvcell"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/shape/port"
	"dayloom/schedule/text/spreadsheet"
)

var header = []string{"valid_from", "valid_to", "controller", "port", "channel", "time", "command", "unit", "light_percent", "days"}

// daysAt is the column of weekdays, which files of before it lack.
const daysAt = 9

// WriteCSV writes timetable.csv. The same file gives the same bytes.
func WriteCSV(w io.Writer, f File) error {
	if err := f.Check(); err != nil {
		return err
	}
	var text bytes.Buffer
	out := csv.NewWriter(&text)
	out.UseCRLF = true // RFC 4180, section 2, rule 1
	if err := out.Write(header); err != nil {
		return err
	}
	for _, first := range f.Tables[0].Ports { // port by port, so that a file cut between two tables lacks one of them somewhere
		for _, t := range f.Tables {
			if err := t.Ports[t.Port(first.Ref())].writeRows(out, t); err != nil {
				return err
			}
		}
	}
	out.Flush()
	_, err := io.WriteString(w, bracketed(text.String()))
	return err
}

// writeRows writes a row for each point and lamp of a table's port.
func (p Port) writeRows(out *csv.Writer, t Table) error {
	row := []string{t.From.String(), t.To.String(), csvcell.Neutral(p.Controller), csvcell.Neutral(p.Name), "", "", "", p.Unit(), "", t.Days.String()}
	decimals := p.decimals()
	for i, q := range p.Points {
		row[5] = TimeOfDay(q.Time)
		row[6] = string(p.appendCommand(nil, q.Command, decimals))
		for k, l := range p.answering() {
			light := p.light(i, k)
			if p.claimed != nil {
				light = p.claimed[i][k]
			}
			row[4], row[8] = csvcell.Neutral(l.Channel), string(appendLight(nil, light))
			if err := out.Write(row); err != nil {
				return err
			}
		}
	}
	return nil
}

// answering is the lamps of a port; of an outlet that only feeds others one without a name.
func (p Port) answering() []port.Lamp {
	if len(p.Lamps) == 0 {
		return []port.Lamp{port.SwitchLamp("")}
	}
	return p.Lamps
}

// validity is when a table is, as a row says it.
type validity struct {
	from, to plan.Date
	days     daypattern.Weekdays
}

// csvReader gathers rows into tables.
type csvReader struct {
	rows   spreadsheet.Rows
	file   File
	width  int              // columns of the header
	tables map[validity]int // where in the file the table of some dates is
	lines  [][][]int        // line of each point of each port of each table
}

func readCSV(name string, data []byte) (File, error) {
	if last := strings.Count(string(data), "\n"); len(data) > 0 && data[len(data)-1] != '\n' {
		return File{}, fmt.Errorf("%s:%d: the last line has no line end: the file was cut short; compile the plan again", name, last+1)
	}
	rows, ok := spreadsheet.New(bytes.NewReader(data))
	if !ok {
		return File{}, fmt.Errorf("%s:1: the columns are separated by tabs; separate them with commas, or with semicolons where numbers have decimal commas", name)
	}
	r := csvReader{rows: rows, tables: map[validity]int{}}
	r.rows.FieldsPerRecord = -1 // counted here, for the message
	r.rows.ReuseRecord = true
	if err := r.all(); err != nil {
		line, err := r.place(err)
		return File{}, fmt.Errorf("%s:%d: %w", name, line, err)
	}
	begins, ends := brackets(string(data))
	switch lines := strings.Count(string(data), "\n"); {
	case begins && !ends:
		return File{}, fmt.Errorf("%s:%d: this row is not the one that the file was written to end with: the file was cut or edited; compile the plan again", name, lines)
	case ends && !begins:
		return File{}, fmt.Errorf("%s:2: this row is not the one that the file was written to begin with: the file was cut or edited; compile the plan again", name)
	}
	r.file.Unended = !ends
	r.file.doubt(func(table, port, point int) string { return fmt.Sprintf("%s:%d: ", name, r.lines[table][port][point]) })
	return r.file, nil
}

// place is the line of an error, and the error in our own words.
func (r *csvReader) place(err error) (int, error) {
	if bad := (fault{}); errors.As(err, &bad) {
		if bad.table < 0 {
			return 1, err
		}
		lines := r.lines[bad.table]
		return lines[max(bad.port, 0)][max(bad.point, 0)], err
	}
	if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
		return bad.Line, fmt.Errorf("a quote at column %d is out of place: text in quotes ends with one, and has each quote within doubled; compile the plan again", bad.Column)
	}
	line, _ := r.rows.FieldPos(0)
	return line, err
}

func (r *csvReader) all() error {
	first, err := r.rows.Next()
	if err == io.EOF {
		return fault{-1, -1, -1, "the file is empty; compile the plan again"}
	}
	if err != nil {
		return err
	}
	if r.width = len(first); !slices.Equal(first, header) && !slices.Equal(first, header[:daysAt]) {
		return fault{-1, -1, -1, fmt.Sprintf("the header must be %q; this is another file, or one of a newer format", strings.Join(header, ","))}
	}
	for {
		row, err := r.rows.Next()
		if err == io.EOF {
			return r.file.Check()
		}
		if err != nil {
			return err
		}
		if len(row) != r.width {
			return fmt.Errorf("the row has %d columns in place of %d; it was cut or edited: compile the plan again", len(row), r.width)
		}
		if err := r.row(row); err != nil {
			return err
		}
	}
}

// row adds one point, opening a new table or port where the row names another. Rows may stand port by port, as
// they are written, or table by table.
func (r *csvReader) row(row []string) error {
	v, err := validOf(row)
	if err != nil {
		return err
	}
	at, known := r.tables[v]
	if !known {
		at = len(r.file.Tables)
		r.tables[v] = at
		r.file.Tables, r.lines = append(r.file.Tables, Table{From: v.from, To: v.to, Days: v.days}), append(r.lines, nil)
	}
	t, lines := &r.file.Tables[at], &r.lines[at]
	controller, name, channel := csvcell.Original(row[2]), csvcell.Original(row[3]), csvcell.Original(row[4])
	if n := len(t.Ports); n == 0 || t.Ports[n-1].Controller != controller || t.Ports[n-1].Name != name {
		signal, ok := signalOf(func(_, unit string) bool { return unit == row[7] })
		if !ok {
			return fmt.Errorf("the unit %q is none of V, %%, count, switch", row[7])
		}
		p := port.Port{Controller: controller, Name: name, Kind: port.Kind{Signal: signal}}
		if signal == port.Switch {
			p.Kind = port.Switched()
		}
		t.Ports, *lines = append(t.Ports, Port{Port: p}), append(*lines, nil)
	}
	p := &t.Ports[len(t.Ports)-1]
	if p.Unit() != row[7] {
		return fmt.Errorf("port %s of %s has the unit %s here, but %s in the rows before; a port has one", name, controller, row[7], p.Unit())
	}
	q, light, err := csvPoint(*p, row)
	if err != nil {
		return err
	}
	line, _ := r.rows.FieldPos(0)
	return p.addRow(q, channel, light, func() { (*lines)[len(*lines)-1] = append((*lines)[len(*lines)-1], line) })
}

func validOf(row []string) (v validity, err error) {
	for i, d := range []*plan.Date{&v.from, &v.to} {
		if row[i] == "" {
			continue // check knows where a date may be left out
		}
		if *d, err = plan.ParseDate(row[i]); err != nil {
			return v, fmt.Errorf("%s: %w", header[i], err)
		}
	}
	if len(row) > daysAt {
		if v.days, err = daypattern.ParseWeekdays(row[daysAt]); err != nil {
			return v, fmt.Errorf("days: %w", err)
		}
	}
	return v, nil
}

// addRow adds a row: a point of its own, or of one more channel at the point before.
func (p *Port) addRow(q port.Point, channel string, light float64, fresh func()) error {
	n := len(p.Points)
	if n == 0 || p.Points[n-1] != q || channel == p.answering()[0].Channel {
		p.Points, p.claimed = append(p.Points, q), append(p.claimed, nil)
		n++
		fresh()
	}
	k := len(p.claimed[n-1])
	switch {
	case n > 1 && (k >= len(p.answering()) || p.answering()[k].Channel != channel):
		return fmt.Errorf("port %s of %s has the channel %q here, but %q in the rows before; every point has one row for each channel of its port", p.Name, p.Controller, channel, p.Channels())
	case n == 1 && channel != "" && p.Signal == port.Switch:
		p.Lamps = append(p.Lamps, port.SwitchLamp(channel))
	case n == 1 && channel != "":
		p.Lamps = append(p.Lamps, port.Lamp{Channel: channel})
	}
	p.claimed[n-1] = append(p.claimed[n-1], light)
	return nil
}

func csvPoint(p Port, row []string) (q port.Point, light float64, err error) {
	if q.Time, err = ParseTimeOfDay(row[5]); err != nil {
		return q, 0, fmt.Errorf("time: %w", err)
	}
	if p.Signal == port.Switch {
		q.Command, err = parseSwitch(row[6])
	} else {
		q.Command, err = parseNumber(row[6])
	}
	if err != nil {
		return q, 0, fmt.Errorf("command: %w", err)
	}
	if light, err = parseNumber(row[8]); err != nil {
		return q, 0, fmt.Errorf("light_percent: %w", err)
	}
	return q, light / 100, nil
}

func parseSwitch(text string) (float64, error) {
	switch text {
	case "on":
		return 1, nil
	case "off":
		return 0, nil
	}
	return 0, fmt.Errorf("%q is neither on nor off, the only commands of a switch", text)
}
