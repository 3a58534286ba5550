package report

import (
	"fmt"
	"io"
	"math"

	"dayloom/exporters/table"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/plan"
)

// Journal is what was done and seen.
type Journal struct {
	Plan    string         `json:"plan"`
	File    string         `json:"file"`
	Entries []JournalEntry `json:"entries"`
}

// JournalEntry is one entry.
type JournalEntry struct {
	Date   string   `json:"date"`
	Coral  string   `json:"coral,omitempty"`
	Do     string   `json:"do"`
	Rack   string   `json:"rack,omitempty"`
	X      *float64 `json:"x_m,omitempty"`
	Y      *float64 `json:"y_m,omitempty"`
	Depth  *float64 `json:"depth_m,omitempty"`
	Height *float64 `json:"height_m,omitempty"` // of a rack
	From   string   `json:"from,omitempty"`     // of a rack: times of day
	To     string   `json:"to,omitempty"`
	Note   string   `json:"note,omitempty"`
}

// NewJournal makes the report of a journal.
func NewJournal(p *plan.Plan, file string, entries []journal.Entry) Journal {
	out := Journal{Plan: p.Name, File: file, Entries: []JournalEntry{}}
	for _, e := range entries {
		x := JournalEntry{Date: e.Date.String(), Coral: e.Coral, Do: e.Words(), Note: e.Remarks}
		if e.Do == journal.Moved {
			x.X, x.Y, x.Depth = &e.To[0], &e.To[1], &e.To[2]
		}
		if e.Do == journal.Aside {
			x.Rack, x.From, x.To = e.Rack, Clock(e.Times[0]), Clock(e.Times[1])
			for i, at := range []**float64{&x.X, &x.Y, &x.Height} {
				if !math.IsNaN(e.Hung[i]) {
					*at = &e.Hung[i]
				}
			}
		}
		out.Entries = append(out.Entries, x)
	}
	return out
}

// Entry is one entry in a line.
func Entry(e journal.Entry) string {
	text := e.Date.String()
	if e.Coral != "" {
		text += ", " + e.Coral
	}
	text += ": " + e.Words()
	if e.Do == journal.Moved {
		text += fmt.Sprintf(" to x %s cm, y %s cm, depth %s cm", cm(e.To[0]), cm(e.To[1]), cm(e.To[2]))
	}
	if e.Remarks != "" {
		text += " (" + e.Remarks + ")"
	}
	return text
}

// Table has one row an entry.
func (r Journal) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "date", Key: "date", Left: true}, {Head: "coral", Key: "coral", Left: true}, {Head: "do", Key: "do", Left: true},
		{Head: "x", Unit: "cm", Only: table.TextOnly}, {Head: "y", Unit: "cm", Only: table.TextOnly}, {Head: "depth", Unit: "cm", Only: table.TextOnly},
		{Key: "x_m", Only: table.CSVOnly}, {Key: "y_m", Only: table.CSVOnly}, {Key: "depth_m", Only: table.CSVOnly},
		{Head: "note", Key: "note", Left: true}}}
	for _, e := range r.Entries {
		cells := []any{e.Date, e.Coral, e.Do}
		for _, unit := range []func(float64) string{cm, func(v float64) string { return fmt.Sprintf("%.4f", v) }} {
			for _, v := range []*float64{e.X, e.Y, e.Depth} {
				if v == nil {
					cells = append(cells, "")
				} else {
					cells = append(cells, unit(*v))
				}
			}
		}
		t.Add(append(cells, e.Note)...)
	}
	return t
}

// Text is the entries, oldest first.
func (r Journal) Text(w io.Writer) error {
	if len(r.Entries) == 0 {
		_, err := fmt.Fprintf(w, "%s: no entries yet\n", r.File)
		return err
	}
	fmt.Fprintf(w, "%s, %s\n\n", r.Plan, r.File)
	return r.Table().Text(w)
}
