package report

import (
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/playback"
	"dayloom/exporters/table"
	"dayloom/schedule/plan"
)

// Verified is a timetable held against a day of the plan.
type Verified struct {
	Plan        string          `json:"plan"`
	Date        string          `json:"date"`
	Corals      []VerifiedCoral `json:"corals"`
	Ports       []VerifiedPort  `json:"ports"`
	Missing     []string        `json:"channels_without_port,omitempty"`
	Kept        bool            `json:"kept"`
	Faithful    bool            `json:"faithful"`              // the timetable gives what was asked
	Met         bool            `json:"met"`                   // what was asked meets targets and limits
	Differences []string        `json:"differences,omitempty"` // of the timetable's ports and clock from the plan's
	Advice      string          `json:"advice,omitempty"`      // what to do where it is not faithful
	Colour      *PlayedColour   `json:"colour_drift,omitempty"`
	tanks       tanks
}

// VerifiedCoral is one coral's light asked and delivered.
type VerifiedCoral struct {
	Name          string  `json:"name"`
	Zone          string  `json:"zone"`
	Tank          string  `json:"tank,omitempty"` // where the plan has several
	Asked         float64 `json:"dli_asked_mol_m2_d"`
	Delivered     float64 `json:"dli_delivered_mol_m2_d"`
	Difference    float64 `json:"difference"` // relative to asked
	PeakAsked     float64 `json:"ppfd_peak_asked_umol_m2_s"`
	PeakDelivered float64 `json:"ppfd_peak_delivered_umol_m2_s"`
	Band          string  `json:"band_furthest_off_nm,omitempty"`
	BandOff       float64 `json:"band_difference"`
	MoonAsked     float64 `json:"moonlight_dli_asked_mol_m2_d"`
	MoonDelivered float64 `json:"moonlight_dli_delivered_mol_m2_d"`
	OverLimit     bool    `json:"over_ppfd_max"`
	Kept          bool    `json:"kept"`
	verdict       string
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
	Follows    bool    `json:"follows"`
	beyond     string
}

// NewVerified makes the report of a played day; differences are those of the timetable's
// ports from the plan's.
func NewVerified(p *plan.Plan, r playback.Result, differences []string) Verified {
	out := Verified{Plan: p.Name, tanks: tanksOf(p), Date: r.Date.String(), Missing: r.Missing, Kept: r.Kept(),
		Faithful: r.Faithful() && len(differences) == 0, Met: r.Met, Differences: differences}
	for _, c := range r.Corals {
		row := VerifiedCoral{Name: c.Name, Zone: p.Zones[c.Zone].Name, Tank: out.tanks[p.Zones[c.Zone].Name], Asked: c.AskedDLI, Delivered: c.DeliveredDLI,
			Difference: c.Departure(), PeakAsked: c.AskedPeak, PeakDelivered: c.DeliveredPeak, BandOff: c.BandOff,
			MoonAsked: c.AskedMoon, MoonDelivered: c.DeliveredMoon, OverLimit: c.OverLimit, Kept: c.Kept(), verdict: verdictOf(c)}
		if c.BandOff != 0 {
			row.Band = BandName(c.Band)
		}
		out.Corals = append(out.Corals, row)
	}
	for _, q := range r.Ports {
		out.Ports = append(out.Ports, VerifiedPort{q.Controller, q.Name, q.Channel, q.Points, q.AskedS, q.DeliveredS, q.Greatest, Clock(q.GreatestAtS), q.Follows(), beyond(q)})
	}
	return out
}

// verdictOf is what is wrong with a coral's light, in words.
func verdictOf(c playback.Coral) string {
	var wrong []string
	if c.Off() {
		wrong = append(wrong, "differs")
	}
	if c.BandIsOff() {
		wrong = append(wrong, fmt.Sprintf("%s nm differs by %+.1f %%", BandName(c.Band), 100*c.BandOff))
	}
	if c.MoonIsOff() {
		wrong = append(wrong, "moonlight differs")
	}
	if c.OverLimit {
		wrong = append(wrong, "over ppfd_max")
	}
	if wrong == nil {
		return "as planned"
	}
	return strings.Join(wrong, ", ")
}

// beyond says where a port's light is not where it should be; "" where it is.
func beyond(p playback.Port) string {
	if p.Follows() {
		return ""
	}
	return fmt.Sprintf("%s port %s (%s): at %s the level differs from the plan by %.2f %% of full output; %.2f %% is allowed",
		p.Controller, p.Name, p.Channel, Clock(p.BeyondAtS), 100*(p.Allowed+p.Beyond), 100*p.Allowed)
}

// Table has one row a coral.
func (r Verified) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true}, {Head: "zone", Key: "zone", Left: true, Last: 1},
		{Head: "DLI planned", Unit: "mol/m²/d", Key: "dli_asked_mol_m2_d"},
		{Head: "played", Unit: "mol/m²/d", Key: "dli_delivered_mol_m2_d"},
		{Head: "difference", Unit: "%", Key: "difference_percent"},
		{Head: "PPFD planned", Unit: "µmol/m²/s", Key: "ppfd_peak_asked_umol_m2_s"},
		{Head: "played", Unit: "µmol/m²/s", Key: "ppfd_peak_delivered_umol_m2_s"},
		{Head: "verdict", Key: "verdict", Left: true}}}
	for _, c := range r.Corals {
		t.Add(c.Name, c.Zone, fmt.Sprintf("%.3f", c.Asked), fmt.Sprintf("%.3f", c.Delivered), fmt.Sprintf("%+.2f", 100*c.Difference),
			sig(c.PeakAsked), sig(c.PeakDelivered), c.verdict)
	}
	return r.tanks.beside(t)
}

// Text is the corals, the ports, and the verdict in a sentence.
func (r Verified) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s, played on %s\n\n", r.Plan, r.Date)
	if err := r.Table().Text(w); err != nil {
		return err
	}
	t := table.Table{Columns: []table.Column{
		{Head: "controller", Left: true}, {Head: "port", Left: true}, {Head: "channel", Left: true}, {Head: "points"},
		{Head: "light planned", Unit: "full-output h"}, {Head: "played", Unit: "full-output h"},
		{Head: "largest difference", Unit: "% of full output"}, {Head: "at time", Last: 1}}}
	for _, p := range r.Ports {
		t.Add(p.Controller, p.Port, p.Channel, p.Points, fmt.Sprintf("%.3f", p.AskedS/3600), fmt.Sprintf("%.3f", p.DeliveredS/3600),
			fmt.Sprintf("%.2f", 100*p.Greatest), p.GreatestAt)
	}
	fmt.Fprintln(w)
	if err := t.Text(w); err != nil {
		return err
	}
	for _, s := range r.Remarks() {
		fmt.Fprintf(w, "\n%s\n", s)
	}
	fmt.Fprintf(w, "\n%s\n", r.Summary())
	if r.Colour != nil {
		fmt.Fprintln(w, r.Colour.text())
	}
	return verdicts(w, r.Differences, r.Faithful, r.Met, r.Advice)
}

// Remarks are what is dark for want of a port, and which port is where it should not be.
func (r Verified) Remarks() (out []string) {
	for _, m := range r.Missing {
		out = append(out, m+" should give light but has no port, so it is dark.")
	}
	for _, p := range r.Ports {
		if p.beyond != "" {
			out = append(out, p.beyond)
		}
	}
	return out
}

// Summary says how near the calculated light comes to the plan's.
func (r Verified) Summary() string {
	off := 0
	for _, c := range r.Corals {
		if !c.Kept {
			off++
		}
	}
	if off == 0 {
		return fmt.Sprintf("calculated DLI is within %g %% of the plan at every coral", 100*playback.Allowed)
	}
	return differing(off, len(r.Corals))
}

// differing says in what corals may differ that are not as planned.
func differing(off, of int) string {
	return fmt.Sprintf("calculated light differs from the plan by more than %[3]g %% of DLI, %[4]g %% of a band or %[5]g %% of moonlight, or a limit is broken, at %[1]d of %[2]d corals",
		off, of, 100*playback.Allowed, 100*playback.AllowedBand, 100*playback.AllowedMoon)
}

// verdicts says in what a timetable differs from its plan, whether it is faithful, and
// whether what it should give meets the targets; of what is well nothing is said. The advice is for one that is not
// faithful.
func verdicts(w io.Writer, differences []string, faithful, met bool, advice string) (err error) {
	for _, d := range differences {
		_, err = fmt.Fprintf(w, "differs from the plan: %s\n", d)
	}
	if !faithful {
		if advice != "" {
			advice = "; " + advice
		}
		_, err = fmt.Fprintf(w, "the timetable does not give what the plan asks: do not load it%s\n", advice)
	}
	if !met {
		_, err = fmt.Fprintln(w, "not all targets and limits are met by what the plan asks; dayloom dli shows which")
	}
	return err
}
