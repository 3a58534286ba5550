package timetable

import (
	"bytes"
	"errors"
	"fmt"
	"path"
	"strings"
	"unicode/utf8"

	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
)

// Read reads the content of a timetable, csv when the name ends so and JSON
// otherwise. Errors begin with the name, the line and, for JSON, the column.
func Read(name string, data []byte) (File, error) {
	if strings.EqualFold(path.Ext(name), ".csv") {
		return readCSV(name, data)
	}
	return readJSON(name, data)
}

// jsonReader keeps the byte at which each table, port and point begins.
type jsonReader struct {
	cursor
	file    File
	count   float64 // as the file says it
	countAt int     // byte of it
	format  int
	where   []tablePlace
}

type tablePlace struct {
	at    int
	ports []portPlace
}

type portPlace struct {
	at     int
	points []int
}

func readJSON(name string, data []byte) (File, error) {
	r := jsonReader{cursor: newCursor(data)}
	err := wellFormed(data)
	if err == nil {
		err = r.readFormat()
	}
	if err == nil {
		err = r.top()
	}
	if err == nil {
		err = r.file.Check()
	}
	if err == nil && r.count != float64(r.file.PointCount()) {
		err = misplaced{r.countAt, fmt.Sprintf("point_count says %g points, but %d are there; points were lost or added: compile the plan again", r.count, r.file.PointCount())}
	}
	if err != nil {
		line, column := lineColumn(data, r.place(err))
		return File{}, fmt.Errorf("%s:%d:%d: %w", name, line, column, err)
	}
	r.file.doubt(func(table, port, point int) string {
		line, column := lineColumn(data, r.where[table].ports[port].points[point])
		return fmt.Sprintf("%s:%d:%d: ", name, line, column)
	})
	return r.file, nil
}

// place is the byte of the file that an error speaks of.
func (r *jsonReader) place(err error) int {
	if m := (misplaced{}); errors.As(err, &m) {
		return m.at
	}
	bad := fault{-1, -1, -1, ""}
	errors.As(err, &bad)
	switch {
	case bad.table < 0:
		return 0
	case bad.port < 0:
		return r.where[bad.table].at
	case bad.point < 0:
		return r.where[bad.table].ports[bad.port].at
	}
	return r.where[bad.table].ports[bad.port].points[bad.point]
}

// lineColumn counts from 1, columns in characters.
func lineColumn(data []byte, at int) (line, column int) {
	before := data[:min(max(at, 0), len(data))]
	start := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte("\n")) + 1, utf8.RuneCount(before[start:]) + 1
}

// format looks for the format number first, so that a newer file is not
// refused for its first unknown key.
func (r *jsonReader) readFormat() error {
	c := newCursor(r.data)
	if err := c.open('{', "a timetable", "an object, {...}"); err != nil {
		return err
	}
	for c.next() {
		key, err := c.text("a key")
		if err != nil {
			return err
		}
		if key != "format" {
			c.skip()
			continue
		}
		at := c.at()
		n, err := c.number("format")
		switch {
		case err != nil:
			return err
		case n > Format:
			return misplaced{at, fmt.Sprintf("this is format %g and this program reads format %d; use a newer dayloom", n, Format)}
		case n != 1 && n != Format:
			return misplaced{at, fmt.Sprintf("there is no format %g; the format is %d", n, Format)}
		}
		r.format = int(n)
		return nil
	}
	return misplaced{0, "there is no key \"format\": this is not a timetable"}
}

func (r *jsonReader) top() error {
	optional := "judged dli_departure_percent"
	if r.format == 1 {
		optional = ""
	}
	return r.object("a timetable", "format plan plan_hash clock point_count tables", optional, func(key string) (err error) {
		switch key {
		case "format":
			_, err = r.number(key)
		case "plan":
			r.file.Plan, err = r.text(key)
		case "plan_hash":
			r.file.PlanHash, err = r.text(key)
		case "clock":
			err = r.clock()
		case "point_count":
			r.countAt = r.at()
			r.count, err = r.number(key)
		case "judged":
			err = r.object(key, "from to", "", func(end string) (err error) {
				r.file.Judged[map[string]int{"from": 0, "to": 1}[end]], err = r.date(end)
				return err
			})
		case "dli_departure_percent":
			var percent float64
			if percent, err = r.number(key); err == nil {
				percent /= 100
				r.file.Cost = &percent
			}
		case "tables":
			err = r.array(key, r.table)
		}
		return err
	})
}

func (r *jsonReader) clock() error {
	return r.object("clock", "zone summer_time controller", "", func(key string) (err error) {
		switch key {
		case "zone":
			r.file.Clock.Zone, err = r.text(key)
		case "summer_time":
			r.file.Clock.FollowsSummerTime, err = r.word(key, "follow", "ignore")
		case "controller":
			r.file.Clock.ControllerStays, err = r.word(key, "stays", "follows")
		}
		return err
	})
}

func (r *jsonReader) date(key string) (plan.Date, error) {
	at := r.at()
	s, err := r.text(key)
	if err != nil {
		return plan.Date{}, err
	}
	d, err := plan.ParseDate(s)
	if err != nil {
		return plan.Date{}, misplaced{at, fmt.Sprintf("%s: %v", key, err)}
	}
	return d, nil
}

func (r *jsonReader) table() error {
	var t Table
	place := tablePlace{at: r.at()}
	err := r.object("a table", "valid_from ports", "valid_to days", func(key string) (err error) {
		switch key {
		case "valid_from":
			t.From, err = r.date(key)
		case "valid_to":
			t.To, err = r.date(key)
		case "days":
			at := r.at()
			var text string
			if text, err = r.text(key); err == nil {
				if t.Days, err = daypattern.ParseWeekdays(text); err != nil {
					err = misplaced{at, "days: " + err.Error()}
				}
			}
		case "ports":
			err = r.array(key, func() error {
				p, at, err := r.port()
				t.Ports, place.ports = append(t.Ports, p), append(place.ports, at)
				return err
			})
		}
		return err
	})
	r.file.Tables, r.where = append(r.file.Tables, t), append(r.where, place)
	return err
}
