package grid

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"io"
	"math"
	"strings"

	"dayloom/exporters/csvcell"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// column is one port while it is played.
type column struct {
	port   timetable.Port
	course port.Course
	last   float64 // command last written
	text   string  // as written
}

// Write plays a timetable from one date to another, both inclusive, and writes a
// row every step seconds. The day must be a whole number of steps, and every
// date must have its table.
func Write(w io.Writer, f timetable.File, from, to plan.Date, step int) error {
	if step <= 0 || int(curve.Day)%step != 0 {
		return fmt.Errorf("a grid of %d s; the step must be whole seconds and divide the day of 86400 s, such as 60", step)
	}
	if to.Before(from) {
		return fmt.Errorf("a grid from %v to %v; the last date must not come before the first", from, to)
	}
	out := bufio.NewWriterSize(w, 1<<16)
	var columns []column
	valid := -1 // the table in columns
	for d := from; !to.Before(d); d = d.AddDays(1) {
		at, ok := f.Index(d)
		if !ok {
			return fmt.Errorf("the timetable has no table for %v; compile the plan for the dates of the grid", d)
		}
		if at != valid {
			first := columns == nil
			var err error
			if columns, err = play(f.Tables[at]); err != nil {
				return err
			}
			valid = at
			if first {
				if err := writeHeader(out, columns); err != nil {
					return err
				}
			}
		}
		if err := writeDate(out, d, columns, step); err != nil {
			return err
		}
	}
	return out.Flush()
}

func play(t timetable.Table) ([]column, error) {
	out := make([]column, len(t.Ports))
	for i, p := range t.Ports {
		c, err := p.Course(p.Points)
		if err != nil {
			return nil, fmt.Errorf("port %s of %s: %w", p.Name, p.Controller, err)
		}
		out[i] = column{port: p, course: c, last: math.NaN()}
	}
	return out, nil
}

var escape = strings.NewReplacer(`\`, `\\`, `:`, `\:`)

func writeHeader(w io.Writer, columns []column) error {
	row := []string{"date", "time"}
	for _, c := range columns {
		p := c.port
		row = append(row, csvcell.Neutral(escape.Replace(p.Controller)+":"+escape.Replace(p.Name)+":"+escape.Replace(p.Channels())+":"+p.Unit()))
	}
	out := csv.NewWriter(w)
	out.UseCRLF = true
	if err := out.Write(row); err != nil {
		return err
	}
	out.Flush()
	return out.Error()
}

// writeDate needs no quoting: its cells are dates, times, numbers, on and off.
func writeDate(w *bufio.Writer, d plan.Date, columns []column, step int) error {
	date := d.String() + ","
	row := make([]byte, 0, 256)
	for s := 0; s < int(curve.Day); s += step {
		row = append(append(row[:0], date...), timetable.TimeOfDay(float64(s))...)
		for i := range columns {
			c := &columns[i]
			if command := c.port.Round(c.course.Command(float64(s))); command != c.last {
				c.last, c.text = command, c.port.Text(command)
			}
			row = append(append(row, ','), c.text...)
		}
		if _, err := w.Write(append(row, "\r\n"...)); err != nil {
			return err
		}
	}
	return nil
}
