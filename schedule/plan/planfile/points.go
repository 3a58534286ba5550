package planfile

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/spreadsheet"
	"dayloom/schedule/text/yamltree"
)

const mostPoints = 1440

// points reads a day's curve from a file of the columns time and share, share in percent of the peak.
func (r *reader) points(v yamltree.Value, peak plan.Level) *plan.Daylight {
	d := &plan.Daylight{Peak: peak}
	path, data, ok := r.files.named(v, maxTable)
	if !ok {
		return d
	}
	t, _ := spreadsheet.New(bytes.NewReader(data))
	t.Comment, t.FieldsPerRecord = '#', 2
	head, err := t.Next()
	if err != nil || strings.TrimSpace(head[0]) != "time" || strings.TrimSpace(head[1]) != "share" {
		r.files.add(path, 1, 1, "the file is not a table of points", "begin with the line time,share, then lines such as 06:15,1.4; share in % of the peak", "")
		return d
	}
	before := r.errors()
	for r.errors() == before {
		record, err := t.Next()
		if errors.Is(err, io.EOF) {
			break
		}
		if bad := (*csv.ParseError)(nil); errors.As(err, &bad) {
			r.files.add(path, bad.Line, 1, "the line does not have a time and a share", "write a line such as 06:15,1.4", "")
			break
		}
		line, _ := t.FieldPos(0)
		r.point(path, line, record, d)
	}
	if r.errors() == before {
		r.ends(path, d)
	}
	return d
}

func (r *reader) point(path string, line int, record []string, d *plan.Daylight) {
	at, err := quantity.TimeOfDay(record[0])
	if err != nil {
		r.files.add(path, line, 1, err.Error(), "", "")
		return
	}
	share, err := quantity.Share.Parse(strings.TrimSuffix(strings.TrimSpace(record[1]), "%") + " %")
	n := len(d.Points)
	switch {
	case err != nil || !(share >= 0 && share <= 1):
		r.files.add(path, line, 1, fmt.Sprintf("%q is not a share", record[1]), "a number from 0 to 100, in % of the peak", "")
	case n > 0 && at <= d.Points[n-1].TimeS:
		r.files.add(path, line, 1, "the time is not later than the one above it", "times rise from line to line within a day", "")
	case n == mostPoints:
		r.files.add(path, line, 1, fmt.Sprintf("the file has more than %d points", mostPoints), "leave out points between which the curve is straight", "")
	default:
		d.Points = append(d.Points, plan.Share{TimeS: at, Share: share})
	}
}

// ends finds the brightest moment, and the longest dark time, after which the curve begins and before
// which it ends.
func (r *reader) ends(path string, d *plan.Daylight) {
	n, top, longest := len(d.Points), 0, 0.0
	for i, p := range d.Points {
		if p.Share > d.Points[top].Share {
			top = i
		}
		dark := 0
		for dark < n && d.Points[(i+dark)%n].Share == 0 {
			dark++
		}
		if dark == 0 || dark == n {
			continue
		}
		end := d.Points[(i+dark-1)%n].TimeS
		if length := wrap(end - p.TimeS); longest == 0 || length > longest {
			d.Sunset.To, d.Sunrise.From, longest = p.TimeS, end, length
		}
	}
	if n < 2 || d.Points[top].Share == 0 {
		r.files.add(path, 1, 1, "the points give no light", "give two points or more, one of them above 0", "")
		return
	}
	d.Sunrise.To, d.Sunset.From = d.Points[top].TimeS, d.Points[top].TimeS
}
