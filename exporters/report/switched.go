package report

import (
	"fmt"
	"io"

	"dayloom/exporters/playback"
	"dayloom/exporters/table"
	"dayloom/schedule/plan"
)

// Switched is the outlets of a crontab held against a day of the plan.
type Switched struct {
	Plan    string         `json:"plan"`
	Date    string         `json:"date"`
	Ports   []VerifiedPort `json:"ports"`
	Missing []string       `json:"channels_without_port,omitempty"`
	Kept    bool           `json:"kept"`
	kept    []bool
}

// NewSwitched makes the report of a played day of outlets.
func NewSwitched(p *plan.Plan, r playback.Result) Switched {
	v := NewVerified(p, r, nil)
	out := Switched{Plan: v.Plan, Date: v.Date, Ports: v.Ports, Missing: v.Missing, Kept: len(v.Missing) == 0}
	for _, q := range r.Ports {
		out.kept = append(out.kept, q.Kept())
		out.Kept = out.Kept && q.Kept()
	}
	return out
}

// Table has one row a port.
func (r Switched) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "controller", Key: "controller", Left: true}, {Head: "port", Key: "port", Left: true}, {Head: "channel", Key: "channel", Left: true},
		{Head: "points", Key: "points"}, {Head: "planned", Unit: "h on", Key: "asked_h"}, {Head: "played", Unit: "h on", Key: "delivered_h"},
		{Head: "verdict", Key: "verdict", Left: true}}}
	for i, p := range r.Ports {
		verdict := "as planned"
		if !r.kept[i] {
			verdict = "differs"
		}
		t.Add(p.Controller, p.Port, p.Channel, p.Points, fmt.Sprintf("%.3f", p.AskedS/3600), fmt.Sprintf("%.3f", p.DeliveredS/3600), verdict)
	}
	return t
}

// Text is the ports and the verdict in a sentence.
func (r Switched) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s, outlets played on %s\n\n", r.Plan, r.Date)
	if err := r.Table().Text(w); err != nil {
		return err
	}
	for _, m := range r.Missing {
		fmt.Fprintf(w, "\n%s should give light but no line switches it, so it is dark.\n", m)
	}
	verdict := "every outlet is on for as long as planned"
	if !r.Kept {
		verdict = "not every outlet is on for as long as planned"
	}
	_, err := fmt.Fprintf(w, "\n%s, within %g %%; dimmed channels are not in this file and are not judged\n", verdict, 100*playback.Allowed)
	return err
}
