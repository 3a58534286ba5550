package grid

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"dayloom/exporters/timetable"
	"dayloom/schedule/shape/port"
)

// Timetable is a grid as a timetable: what a device does that reads a row every step
// and keeps its commands until the next. Ports hold, and still lack the range and
// response that only a plan knows. Equal dates are one table.
func Timetable(name string, r io.Reader) (timetable.File, error) {
	g, err := NewReader(name, r)
	if err != nil {
		return timetable.File{}, err
	}
	ports, err := g.ports()
	if err != nil {
		return timetable.File{}, err
	}
	f := timetable.File{Unended: true} // whole dates after the last may be lost
	day := timetable.Table{}
	for {
		row, err := g.Next()
		if err == io.EOF {
			f.Tables = joined(f.Tables, day)
			return f, nil
		}
		if err != nil {
			return timetable.File{}, err
		}
		if row.Date != day.From {
			f.Tables = joined(f.Tables, day)
			day = timetable.Table{From: row.Date, To: row.Date, Ports: slices.Clone(ports)}
		}
		for i, command := range row.Commands {
			points := &day.Ports[i].Points
			if n := len(*points); n == 0 || (*points)[n-1].Command != command {
				*points = append(*points, port.Point{Time: row.Time, Command: command})
			}
		}
	}
}

// ports are the columns as ports without points.
func (g *Reader) ports() ([]timetable.Port, error) {
	var out []timetable.Port
	for _, c := range g.columns {
		p := timetable.Port{Port: port.Port{Controller: c.Controller, Name: c.Port, Kind: port.Kind{Hold: true}}}
		if c.Channel != "" {
			for name := range strings.SplitSeq(c.Channel, "+") {
				p.Lamps = append(p.Lamps, port.Lamp{Channel: name})
			}
		}
		for _, p.Signal = range []port.Signal{port.Volts, port.Percent, port.Counts, port.Switch} {
			if p.Unit() == c.Unit {
				break
			}
		}
		if p.Unit() != c.Unit {
			return nil, fmt.Errorf("%s:1: port %s of %s: there is no unit %q; allowed are V, %%, count, switch", g.name, c.Port, c.Controller, c.Unit)
		}
		out = append(out, p)
	}
	return out, nil
}

// joined appends a date, or lengthens the last table when that has the same points.
func joined(tables []timetable.Table, day timetable.Table) []timetable.Table {
	switch n := len(tables); {
	case day.From.IsZero():
		return tables
	case n > 0 && slices.EqualFunc(tables[n-1].Ports, day.Ports, func(a, b timetable.Port) bool { return slices.Equal(a.Points, b.Points) }):
		tables[n-1].To = day.To
		return tables
	}
	return append(tables, day)
}
