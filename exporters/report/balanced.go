package report

import (
	"fmt"
	"io"
	"slices"

	"dayloom/exporters/table"
	"dayloom/schedule/balance"
	"dayloom/schedule/plan"
)

// Balanced is an answer of the solver with the plan it is for. Its JSON is the
// answer's own, with the plan's name before it.
type Balanced struct {
	Plan       string             `json:"plan"`
	Peaks      map[string]float64 `json:"peaks"`           // light fraction by channel; of a switched one 1 while it has hours
	Departures map[string]float64 `json:"departures"`      // signed, of the target, by coral or area
	Worth      map[string]*Worth  `json:"worth,omitempty"` // what the day found is worth, by coral or area with a stated Ek
	worth      DLI
	tanks      tanks
	balance.Answer
}

// With is the report with what the day that was found is worth, where an Ek is stated.
func (r Balanced) With(d DLI) Balanced {
	r.worth, r.Worth = d, map[string]*Worth{}
	for _, c := range d.worths() {
		r.Worth[c.Name] = c.Worth
	}
	return r
}

// NewBalanced makes the report.
func NewBalanced(p *plan.Plan, a balance.Answer) Balanced {
	out := Balanced{Plan: p.Name, Peaks: map[string]float64{}, Departures: map[string]float64{}, Answer: a, tanks: tanksOf(p)}
	out.Places = slices.Clone(a.Places)
	for i, q := range a.Places {
		out.Places[i].Tank = out.tanks[q.Zone]
	}
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
		{Head: "channel", Key: "channel", Left: true}, {Head: "peak level", Unit: "% of full output", Key: "peak_percent"},
		{Head: "on", Key: "on"}, {Head: "off", Key: "off"},
		{Head: "light", Unit: "full-output h", Key: "dose_h"}, {Head: "", Key: "from", Left: true}}}
	for _, c := range r.Channels {
		on, off, from := "", "", "set in plan"
		if c.Auto {
			from = "auto"
		}
		if c.On != nil && c.Off != nil {
			on, off = Clock(*c.On), Clock(*c.Off)
			if *c.On == *c.Off {
				on, off = "off", ""
			}
		}
		t.Add(c.Name, fmt.Sprintf("%.2f", 100*c.Peak), on, off, fmt.Sprintf("%.3f", c.Dose/3600), from)
	}
	return t
}

func (r Balanced) places() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "place", Left: true}, {Head: "zone", Left: true, Last: 2}, {Head: "DLI", Unit: "mol/m²/d"}, {Head: "target", Unit: "mol/m²/d"},
		{Head: "off target", Unit: "%"}, {Head: "tolerance", Unit: "± %", Last: 1}, {Head: "peak PPFD", Unit: "µmol/m²/s"}, {Head: "verdict", Left: true}}}
	for _, p := range r.Places {
		verdict := "met"
		if !p.Met {
			verdict = "not met"
		}
		t.Add(p.Name, p.Zone, fmt.Sprintf("%.2f", p.DLI), trim(p.Target), fmt.Sprintf("%+.2f", 100*p.Departure), trim(100*p.Within), sig(p.Peak), verdict)
	}
	return r.tanks.beside(t)
}

func (r Balanced) shares() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "place", Left: true}, {Head: "band", Unit: "nm"}, {Head: "share at peak", Unit: "%"}, {Head: "wanted", Unit: "%"}, {Head: "verdict", Left: true}}}
	for _, s := range r.Shares {
		verdict := "met"
		if !s.Met {
			verdict = "not met"
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
	if err := r.wished(w); err != nil {
		return err
	}
	fmt.Fprintf(w, "\npower: highest %.0f W; %.3f kWh a day\n%s\n", r.Power, r.Energy, r.proof())
	if s := r.Sure; s != nil {
		fmt.Fprintf(w, "Limits on light hold with %g %% probability, a margin of %.2f standard deviations; without it the largest difference from target would be %.2f %%.\n",
			100*s.Probability, s.Margin, 100*s.GreatestWithout)
	}
	r.words(w)
	return r.worth.worthText(w)
}

// proof says how near the targets are, and what is proven of it.
func (r Balanced) proof() string {
	c := r.Certificate
	worst := 0.0
	for _, p := range r.Places {
		worst = max(worst, p.Excess)
	}
	if worst == 0 {
		text := fmt.Sprintf("Largest difference from target %.1f %%; every DLI target is met within its tolerance.", 100*r.Greatest)
		if c.Open {
			text += " Not all hours and sets of lit channels were tried: others may suit the wish better."
		}
		return text
	}
	text := fmt.Sprintf("Outside tolerances by %s %% of target in all, %s %% at the worst place. ", sig(100*c.Sum), sig(100*worst))
	if c.Proven {
		return text + "Proven: for these lamps and limits, no other levels make the total smaller."
	}
	return text + fmt.Sprintf("Proven: no other levels or hours make the total smaller than %s %%; between the two it is not known.", sig(100*c.Bound))
}

const mostBinding = 5 // lines, unless all are to be shown

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
	for i, b := range r.Binding {
		if i == mostBinding && !table.Wide(w) {
			binding = append(binding, fmt.Sprintf("and %d more: --wide lists them", len(r.Binding)-i))
			break
		}
		binding = append(binding, b.Text)
	}
	for _, m := range r.Remedies {
		text := m.Text
		for _, e := range m.Edits {
			text += fmt.Sprintf(" [%s: %s → %s]", e.Key, e.From, e.To)
		}
		cures = append(cures, text)
	}
	head := "What prevents a closer match:"
	if r.Met {
		head = "At a limit:"
	}
	list(head, binding)
	if r.Spectrum != nil {
		list("What keeps the spectrum from being closer:", r.Spectrum.HeldBy)
	}
	list("Changes that work (each was tested and meets every target):", cures)
	list("Notes:", r.Notes)
}
