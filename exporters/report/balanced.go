package report

import (
	"fmt"
	"io"

	"dayloom/exporters/table"
	"dayloom/schedule/balance"
	"dayloom/schedule/plan"
)

// Balanced is an answer of the solver with the plan it is for. Its JSON is the
// answer's own, with the plan's name before it.
type Balanced struct {
	Plan       string             `json:"plan"`
	Peaks      map[string]float64 `json:"peaks"`      // light fraction by channel; of a switched one 1 while it has hours
	Departures map[string]float64 `json:"departures"` // signed, of the target, by coral or area
	balance.Answer
}

// NewBalanced makes the report.
func NewBalanced(p *plan.Plan, a balance.Answer) Balanced {
	out := Balanced{p.Name, map[string]float64{}, map[string]float64{}, a}
	for _, c := range a.Channels {
		out.Peaks[c.Name] = c.Peak
	}
	for _, q := range a.Places {
		out.Departures[q.Name] = q.Departure
	}
	return out
}

// Table has one row a channel.
func (r Balanced) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "channel", Key: "channel", Left: true}, {Head: "peak", Unit: "% of full", Key: "peak_percent"},
		{Head: "on", Key: "on"}, {Head: "off", Key: "off"},
		{Head: "dose", Unit: "h of full light", Key: "dose_h"}, {Head: "", Key: "from", Left: true}}}
	for _, c := range r.Channels {
		on, off, from := "", "", "as the plan has it"
		if c.Auto {
			from = "found"
		}
		if c.On != nil && c.Off != nil {
			on, off = Clock(*c.On), Clock(*c.Off)
			if *c.On == *c.Off {
				on, off = "dark", ""
			}
		}
		t.Add(c.Name, fmt.Sprintf("%.2f", 100*c.Peak), on, off, fmt.Sprintf("%.3f", c.Dose/3600), from)
	}
	return t
}

func (r Balanced) places() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "place", Left: true}, {Head: "zone", Left: true}, {Head: "DLI", Unit: "mol/m²/d"}, {Head: "target", Unit: "mol/m²/d"},
		{Head: "departure", Unit: "%"}, {Head: "proven least", Unit: "%"}, {Head: "peak", Unit: "µmol/m²/s"}, {Head: "verdict", Left: true}}}
	for _, p := range r.Places {
		verdict := "met"
		if !p.Met {
			verdict = "not met"
		}
		t.Add(p.Name, p.Zone, fmt.Sprintf("%.2f", p.DLI), trim(p.Target), fmt.Sprintf("%+.2f", 100*p.Departure), fmt.Sprintf("%.2f", 100*p.Bound), sig(p.Peak), verdict)
	}
	return t
}

func (r Balanced) shares() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "place", Left: true}, {Head: "band", Unit: "nm"}, {Head: "share at peak", Unit: "%"}, {Head: "asked", Unit: "%"}, {Head: "verdict", Left: true}}}
	for _, s := range r.Shares {
		verdict := "inside"
		if !s.Met {
			verdict = "outside"
		}
		t.Add(s.Place, s.Band, fmt.Sprintf("%.1f", 100*s.Share), fmt.Sprintf("%g to %g", 100*s.AtLeast, 100*s.AtMost), verdict)
	}
	return t
}

// Text is levels, light, spectrum, the certificate, what binds, and cures.
func (r Balanced) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s\n\n", r.Plan)
	if err := r.Table().Text(w); err != nil {
		return err
	}
	fmt.Fprintln(w)
	if err := r.places().Text(w); err != nil {
		return err
	}
	if len(r.Shares) > 0 {
		fmt.Fprintln(w)
		if err := r.shares().Text(w); err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "\npower: %.0f W at the most, %.3f kWh a day\n", r.Power, r.Energy)
	r.certificate(w)
	if s := r.Sure; s != nil {
		fmt.Fprintf(w, "limits on light hold with %g %% probability, a margin of %.2f standard deviations; without it the greatest departure would be %.2f %%\n",
			100*s.Probability, s.Margin, 100*s.GreatestWithout)
	}
	r.words(w)
	return nil
}

func (r Balanced) certificate(w io.Writer) {
	c := r.Certificate
	proof := "proven"
	if !c.Proven {
		proof = "not proven"
	}
	fmt.Fprintf(w, "greatest departure %.4f %%; no answer within the limits has one below %.4f %%: %s, gap %.1e\n",
		100*c.Greatest, 100*c.Bound, proof, c.Gap)
}

func (r Balanced) words(w io.Writer) {
	list := func(head string, lines []string) {
		if len(lines) == 0 {
			return
		}
		fmt.Fprintf(w, "\n%s\n", head)
		for _, l := range lines {
			fmt.Fprintf(w, "  %s\n", l)
		}
	}
	var binding, cures []string
	for _, b := range r.Binding {
		binding = append(binding, b.Text)
	}
	for _, m := range r.Remedies {
		text := m.Text
		for _, e := range m.Edits {
			text += fmt.Sprintf(" [%s: %s → %s]", e.Key, e.From, e.To)
		}
		cures = append(cures, text)
	}
	list("what binds:", binding)
	list("what stands in the way:", r.Why)
	list("what would cure it (each was tried and meets every target):", cures)
	list("notes:", r.Notes)
}
