package report

import (
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/playback"
	"dayloom/exporters/table"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/plan"
)

// Played is a timetable played on every date of a range.
type Played struct {
	Plan        string        `json:"plan"`
	From        string        `json:"from"`
	To          string        `json:"to"`
	Days        int           `json:"days"`
	Corals      []PlayedCoral `json:"corals"`
	Kept        bool          `json:"kept"`
	Gentle      bool          `json:"no_rise_above_limit"`
	Faithful    bool          `json:"faithful"`
	Met         bool          `json:"met"`
	Unfaithful  []string      `json:"dates_unfaithful,omitempty"`
	Unmet       []string      `json:"dates_unmet,omitempty"`
	Differences []string      `json:"differences,omitempty"`
	Advice      string        `json:"advice,omitempty"`       // what to do where it is not faithful
	Colour      *ColourDrift  `json:"colour_drift,omitempty"` // as the plan asks, on every 30th date and the last
	beyond      []string
	tanks       tanks
}

// PlayedCoral is one coral's extremes. Differences and rises are relative; dates are
// left out where there was none.
type PlayedCoral struct {
	Name        string  `json:"name"`
	Zone        string  `json:"zone"`
	Tank        string  `json:"tank,omitempty"` // where the plan has several
	Least       float64 `json:"dli_least_mol_m2_d"`
	Most        float64 `json:"dli_most_mol_m2_d"`
	Off         float64 `json:"greatest_difference"`
	OffOn       string  `json:"greatest_difference_on,omitempty"`
	DaysOff     int     `json:"days_off"`
	Rise        float64 `json:"greatest_rise"` // over the most of the 7 days before
	RiseOn      string  `json:"greatest_rise_on,omitempty"`
	RiseOf      string  `json:"greatest_rise_of,omitempty"` // DLI, peak PPFD or violet dose (380-430 nm)
	RiseMax     float64 `json:"rise_allowed"`
	DaysOver    int     `json:"days_risen_too_much"`
	Overnight   float64 `json:"greatest_rise_overnight"`
	OvernightOn string  `json:"greatest_rise_overnight_on,omitempty"`
}

// NewPlayed makes the report of a played range; differences are those of the timetable's
// ports from the plan's.
func NewPlayed(p *plan.Plan, r playback.RangeResult, differences []string) Played {
	out := Played{Plan: p.Name, tanks: tanksOf(p), From: r.From.String(), To: r.To.String(), Days: r.From.DaysUntil(r.To) + 1, Kept: r.Kept(), Gentle: r.Gentle(),
		Faithful: r.Faithful() && len(differences) == 0, Met: r.Met(), Differences: differences}
	for _, d := range r.Unfaithful {
		out.Unfaithful = append(out.Unfaithful, d.String())
	}
	for _, d := range r.Unmet {
		out.Unmet = append(out.Unmet, d.String())
	}
	out.beyond = firstBeyond(r)
	for _, c := range r.Corals {
		out.Corals = append(out.Corals, PlayedCoral{c.Name, p.Zones[c.Zone].Name, out.tanks[p.Zones[c.Zone].Name], c.Least.Value, c.Most.Value,
			c.Off.Value, c.Off.Date.String(), c.DaysOff, c.Rise.Value, c.Rise.Date.String(), c.RiseOf, c.Limit, c.DaysOver,
			c.Overnight.Value, c.Overnight.Date.String()})
	}
	return out
}

// firstBeyond is for each port the first date on which its light is not where it should be.
func firstBeyond(r playback.RangeResult) (out []string) {
	seen := map[string]bool{}
	for _, d := range r.Days {
		for _, q := range d.Ports {
			if id := q.Controller + "/" + q.Name + "/" + q.Channel; !q.Follows() && !seen[id] {
				seen[id] = true
				out = append(out, fmt.Sprintf("on %v: %s", d.Date, beyond(q)))
			}
		}
	}
	return out
}

// Table has one row a coral.
func (r Played) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "coral", Key: "coral", Left: true}, {Head: "zone", Key: "zone", Left: true, Last: 1},
		{Head: "lowest DLI", Unit: "mol/m²/d", Key: "dli_least_mol_m2_d"}, {Head: "highest", Unit: "mol/m²/d", Key: "dli_most_mol_m2_d"},
		{Head: "differs by", Unit: "%", Key: "greatest_difference_percent"}, {Head: "on date", Key: "greatest_difference_on", Last: 4},
		{Head: "largest rise", Unit: "%", Key: "greatest_rise_percent"}, {Head: "rise of", Key: "greatest_rise_of", Last: 2}, {Head: "rise on", Key: "greatest_rise_on", Last: 3},
		{Head: "limit", Unit: "%", Key: "rise_allowed_percent"},
		{Head: "overnight", Unit: "%", Key: "greatest_rise_overnight_percent", Last: 5}, {Head: "night of", Key: "greatest_rise_overnight_on", Last: 6},
		{Head: "verdict", Key: "verdict", Left: true}}}
	for _, c := range r.Corals {
		allowed := ""
		if c.RiseOn != "" {
			allowed = fmt.Sprintf("%.4g", 100*c.RiseMax)
		}
		t.Add(c.Name, c.Zone, fmt.Sprintf("%.2f", c.Least), fmt.Sprintf("%.2f", c.Most), fmt.Sprintf("%+.2f", 100*c.Off), c.OffOn,
			fmt.Sprintf("%+.1f", 100*c.Rise), short(c.RiseOf), c.RiseOn, allowed, fmt.Sprintf("%+.1f", 100*c.Overnight), c.OvernightOn, c.verdict())
	}
	return r.tanks.beside(t)
}

// rises says of each coral that rises too much when it does so most.
func (r Played) rises() (out []string) {
	for _, c := range r.Corals {
		if c.DaysOver > 0 {
			out = append(out, fmt.Sprintf("%s: its %s rises by %.0f %% on %s, %.4g %% is allowed", c.Name, c.RiseOf, 100*c.Rise, c.RiseOn, 100*c.RiseMax))
		}
	}
	return out
}

// short is what rises, without its unit.
func short(of string) string {
	of, _, _ = strings.Cut(of, " ")
	return of
}

func (c PlayedCoral) verdict() string {
	switch {
	case c.DaysOver > 0:
		return fmt.Sprintf("rises too much on %d %s", c.DaysOver, plural(c.DaysOver, "day"))
	case c.DaysOff > 0:
		return fmt.Sprintf("differs on %d %s", c.DaysOff, plural(c.DaysOff, "day"))
	}
	return "as planned"
}

// Text is the corals and the two verdicts in sentences.
func (r Played) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s, played on every date from %s to %s (%d %s)\n\n", r.Plan, r.From, r.To, r.Days, plural(r.Days, "day"))
	if err := r.Table().Text(w); err != nil {
		return err
	}
	off, over := 0, 0
	for _, c := range r.Corals {
		if c.DaysOff > 0 {
			off++
		}
		if c.DaysOver > 0 {
			over++
		}
	}
	if off == 0 {
		fmt.Fprintf(w, "\ncalculated DLI is within %g %% of the plan at every coral on every date\n", 100*playback.Allowed)
	} else {
		fmt.Fprintf(w, "\n%s\n", differing(off, len(r.Corals)))
	}
	if over == 0 {
		fmt.Fprint(w, "no coral's DLI, peak PPFD or violet dose rises by more than is allowed")
	} else {
		fmt.Fprintf(w, "the DLI, peak PPFD or violet dose of %d of %d corals rises by more than is allowed", over, len(r.Corals))
	}
	fmt.Fprintf(w, "; a rise is over the most that the coral had in the %d days before, so light that comes back after a quiet day counts as none; overnight compares with the day before alone\n", acclimate.Accustomed)
	for _, b := range r.beyond {
		fmt.Fprintln(w, b)
	}
	if n := len(r.Unfaithful); n > 0 {
		fmt.Fprintf(w, "on %d of %d dates the timetable does not give what the plan asks, first on %s\n", n, r.Days, r.Unfaithful[0])
	}
	if n := len(r.Unmet); n > 0 {
		fmt.Fprintf(w, "on %d of %d dates what is asked misses a target or limit, first on %s\n", n, r.Days, r.Unmet[0])
	}
	if r.Colour != nil {
		fmt.Fprintln(w, r.Colour.Text())
	}
	return verdicts(w, r.Differences, r.Faithful, r.Met, r.Advice)
}
