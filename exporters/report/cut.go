package report

import (
	"fmt"
	"io"
	"slices"

	"dayloom/exporters/table"
	"dayloom/schedule/calendar/cutting"
)

// Cut says which dates each table of a year plays which day on, and what it costs.
type Cut struct {
	Tables    []CutTable `json:"tables"`
	Departure float64    `json:"greatest_dli_departure"` // signed, from the date's own
	Name      string     `json:"coral,omitempty"`
	On        string     `json:"on,omitempty"`
	Unfit     []CutRise  `json:"rises_above_limit,omitempty"`
}

// CutTable is the dates of one table.
type CutTable struct {
	From string `json:"valid_from"`
	To   string `json:"valid_to"`
	Days string `json:"days"` // mon … sun, joined by spaces; empty: all
	Day  string `json:"day_of"`
}

// CutRise is a rise from one table to the next that is over its limit.
type CutRise struct {
	Name  string  `json:"coral"`
	Which string  `json:"of"`
	On    string  `json:"on"`
	Rise  float64 `json:"rise"`
	Limit float64 `json:"limit"`
}

// NewCut makes the report of a cutting.
func NewCut(c cutting.Cutting) *Cut {
	out := &Cut{Departure: c.Greatest, Name: c.Name, On: c.On.String()}
	for _, r := range c.Ranges {
		out.Tables = append(out.Tables, CutTable{r.From.String(), r.To.String(), r.Days.String(), r.Day.String()})
	}
	for _, u := range c.Unfit {
		out.Unfit = append(out.Unfit, CutRise{u.Name, u.Which, u.On.String(), u.Rise, u.Limit})
	}
	return out
}

func (c Cut) text(w io.Writer) error {
	t := table.Table{Columns: []table.Column{{Head: "table", Left: true}, {Head: "from", Left: true}, {Head: "to", Left: true}, {Head: "the day of", Left: true}}}
	others := ""
	if slices.ContainsFunc(c.Tables, func(r CutTable) bool { return r.Days != "" }) {
		others = ", for weekdays that the rules tell apart,"
		t.Columns = append(t.Columns, table.Column{Head: "weekdays", Left: true})
	}
	for i, r := range c.Tables {
		t.Add([]any{fmt.Sprint(i + 1), r.From, r.To, r.Day, r.Days}[:len(t.Columns)]...)
	}
	fmt.Fprintln(w)
	if err := t.Text(w); err != nil {
		return err
	}
	if c.Name == "" {
		fmt.Fprintln(w, "Every date has its own day's light.")
	} else {
		fmt.Fprintf(w, "What this costs: %s differs from its own day's DLI by %+.1f %% on %s; nobody on any date by more. No other choice of as many tables%s does better, moonlight aside.\n", c.Name, 100*c.Departure, c.On, others)
	}
	for _, u := range c.Unfit {
		fmt.Fprintf(w, "%s: its %s rises by %.1f %% on %s, limit %.4g %%. No choice of these tables avoids that: allow more tables, or smaller steps.\n", u.Name, u.Which, 100*u.Rise, u.On, 100*u.Limit)
	}
	return nil
}
