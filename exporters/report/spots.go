package report

import (
	"fmt"
	"io"

	"dayloom/exporters/sheet"
	"dayloom/exporters/table"
	"dayloom/exporters/timetable"
)

// Spots is what each port should show at a few times of the day, for somebody who
// stands before the controller to check that it plays the right timetable.
type Spots struct {
	From  string      `json:"valid_from"`
	To    string      `json:"valid_to,omitempty"`
	Days  string      `json:"days,omitempty"` // mon … sun, joined by spaces
	Times []string    `json:"times"`          // on the controller's clock
	Ports []SpotsPort `json:"ports"`
	on    string      // the days in words
}

// SpotsPort is one port at those times.
type SpotsPort struct {
	Controller string   `json:"controller"`
	Port       string   `json:"port"`
	Channel    string   `json:"channel"`
	Shows      []string `json:"shows"` // as its display does, with the unit
}

// NewSpots looks at the table of the first date of a timetable at times of the day, seconds
// after midnight on the controller's clock; with none it takes those of the
// printed sheet.
func NewSpots(f timetable.File, times ...float64) (Spots, error) {
	if len(times) == 0 {
		times = sheet.Times[:]
	}
	begin, _ := f.Covers()
	first, _ := f.On(begin)
	out := Spots{From: first.From.String(), To: first.To.String(), Days: first.Days.String(), on: first.Days.Words()}
	for _, s := range times {
		out.Times = append(out.Times, Clock(s))
	}
	for _, p := range first.Ports {
		shows, err := sheet.Expected(p, times)
		if err != nil {
			return Spots{}, err
		}
		out.Ports = append(out.Ports, SpotsPort{p.Controller, p.Name, p.Channels(), shows})
	}
	return out, nil
}

// Table has one row a port, one column a time.
func (r Spots) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "controller", Key: "controller", Left: true}, {Head: "port", Key: "port", Left: true}, {Head: "channel", Key: "channel", Left: true}}}
	for _, s := range r.Times {
		t.Columns = append(t.Columns, table.Column{Head: s, Key: "shows_at_" + s})
	}
	for _, p := range r.Ports {
		cells := []any{p.Controller, p.Port, p.Channel}
		for _, s := range p.Shows {
			cells = append(cells, s)
		}
		t.Add(cells...)
	}
	return t
}

// Text says what the table is for, then the table.
func (r Spots) Text(w io.Writer) error {
	valid := "from " + r.From
	if r.To != "" {
		valid = "from " + r.From + " to " + r.To
	}
	if r.Days != "" {
		valid += ", " + r.on
	}
	fmt.Fprintf(w, "what each port should show %s, by the controller's clock:\n\n", valid)
	return r.Table().Text(w)
}
