package report

import (
	"fmt"
	"io"
	"math"

	"dayloom/exporters/proof"
	"dayloom/exporters/table"
	"dayloom/schedule/plan"
)

// Verified is a timetable held against a day of the plan.
type Verified struct {
	Plan    string          `json:"plan"`
	Date    string          `json:"date"`
	Corals  []VerifiedCoral `json:"corals"`
	Ports   []VerifiedPort  `json:"ports"`
	Missing []string        `json:"channels_without_port,omitempty"`
	Kept    bool            `json:"kept"`
}

// VerifiedCoral is one coral's light asked and delivered.
type VerifiedCoral struct {
	Name          string  `json:"name"`
	Zone          string  `json:"zone"`
	Asked         float64 `json:"dli_asked_mol_m2_d"`
	Delivered     float64 `json:"dli_delivered_mol_m2_d"`
	Difference    float64 `json:"difference"` // relative to asked
	PeakAsked     float64 `json:"ppfd_peak_asked_umol_m2_s"`
	PeakDelivered float64 `json:"ppfd_peak_delivered_umol_m2_s"`
	OverLimit     bool    `json:"over_ppfd_max"`
	Kept          bool    `json:"kept"`
}

// VerifiedPort is one port's light asked and delivered.
type VerifiedPort struct {
	Controller string  `json:"controller"`
	Port       string  `json:"port"`
	Channel    string  `json:"channel"`
	Points     int     `json:"points"`
	AskedS     float64 `json:"dose_asked_s"`
	DeliveredS float64 `json:"dose_delivered_s"`
	Greatest   float64 `json:"greatest_departure"`
	GreatestAt string  `json:"greatest_departure_at"`
}

// NewVerified makes the report of a played day.
func NewVerified(p *plan.Plan, r proof.Result) Verified {
	out := Verified{Plan: p.Name, Date: r.Date.String(), Missing: r.Missing, Kept: r.Kept()}
	for _, c := range r.Corals {
		out.Corals = append(out.Corals, VerifiedCoral{c.Name, p.Zones[c.Zone].Name, c.AskedDLI, c.DeliveredDLI,
			c.Departure(), c.AskedPeak, c.DeliveredPeak, c.OverLimit, c.Kept})
	}
	for _, q := range r.Ports {
		out.Ports = append(out.Ports, VerifiedPort{q.Controller, q.Name, q.Channel, q.Points, q.AskedS, q.DeliveredS, q.Greatest, Clock(q.GreatestAtS)})
	}
	return out
}

// Table has one row a coral.
func (r Verified) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true}, {Head: "zone", Key: "zone", Left: true},
		{Head: "DLI asked", Unit: "mol/m²/d", Key: "dli_asked_mol_m2_d"},
		{Head: "delivered", Unit: "mol/m²/d", Key: "dli_delivered_mol_m2_d"},
		{Head: "difference", Unit: "%", Key: "difference_percent"},
		{Head: "peak asked", Unit: "µmol/m²/s", Key: "ppfd_peak_asked_umol_m2_s"},
		{Head: "delivered", Unit: "µmol/m²/s", Key: "ppfd_peak_delivered_umol_m2_s"},
		{Head: "verdict", Key: "verdict", Left: true}}}
	for _, c := range r.Corals {
		verdict := "kept"
		switch off := math.Abs(c.Difference) > proof.Allowed; {
		case off && c.OverLimit:
			verdict = "off, over ppfd_max"
		case c.OverLimit:
			verdict = "over ppfd_max"
		case !c.Kept:
			verdict = "off"
		}
		t.Add(c.Name, c.Zone, fmt.Sprintf("%.3f", c.Asked), fmt.Sprintf("%.3f", c.Delivered), fmt.Sprintf("%+.2f", 100*c.Difference),
			sig(c.PeakAsked), sig(c.PeakDelivered), verdict)
	}
	return t
}

// Text is the corals, the ports, and the verdict in a sentence.
func (r Verified) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s, played on %s\n\n", r.Plan, r.Date)
	if err := r.Table().Text(w); err != nil {
		return err
	}
	t := table.Table{Columns: []table.Column{
		{Head: "controller", Left: true}, {Head: "port", Left: true}, {Head: "channel", Left: true}, {Head: "points"},
		{Head: "dose asked", Unit: "h of full light"}, {Head: "delivered", Unit: "h of full light"},
		{Head: "greatest departure", Unit: "% of full"}, {Head: "at"}}}
	for _, p := range r.Ports {
		t.Add(p.Controller, p.Port, p.Channel, p.Points, fmt.Sprintf("%.3f", p.AskedS/3600), fmt.Sprintf("%.3f", p.DeliveredS/3600),
			fmt.Sprintf("%.2f", 100*p.Greatest), p.GreatestAt)
	}
	fmt.Fprintln(w)
	if err := t.Text(w); err != nil {
		return err
	}
	for _, m := range r.Missing {
		fmt.Fprintf(w, "\n%s should give light but has no port: it stays dark.\n", m)
	}
	off := 0
	for _, c := range r.Corals {
		if !c.Kept {
			off++
		}
	}
	if off == 0 {
		fmt.Fprintf(w, "\nevery coral gets what was asked, within %g %%\n", 100*proof.Allowed)
	} else {
		fmt.Fprintf(w, "\n%d of %d corals are off by more than %g %% of what was asked, or over their limit\n", off, len(r.Corals), 100*proof.Allowed)
	}
	return nil
}
