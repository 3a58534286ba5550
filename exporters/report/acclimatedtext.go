package report

import (
	"fmt"
	"io"
	"strings"

	"dayloom/exporters/table"
	"dayloom/schedule/text/diag"
)

// Text is the sum of it, who comes how, and a line for each step; where all is to be
// shown, the levels and everybody's light at each step instead of the line.
func (r Acclimated) Text(w io.Writer) error {
	if len(r.Ways) == 0 && len(r.Steps) == 0 {
		_, err := fmt.Fprintf(w, "%s: nothing to acclimate; the plan has no acclimation and its journal changes nothing\n", r.Plan)
		return err
	}
	fmt.Fprintf(w, "%s: acclimation\n%s\n\n", r.Plan, r.summary())
	tables := []table.Table{r.waysTable(), r.briefTable()}
	if table.Wide(w) {
		tables = []table.Table{r.waysTable(), r.stepsTable(), r.table(true)}
	}
	for _, t := range tables {
		if len(t.Rows) == 0 {
			continue
		}
		if err := t.Text(w); err != nil {
			return err
		}
		fmt.Fprintln(w)
	}
	for _, u := range r.Under {
		fmt.Fprintf(w, "%s is below target for %d days; lowest DLI %.2f mol/m²/d.\n", u.Name, u.Days, u.Least)
	}
	if r.Colour != nil {
		fmt.Fprintln(w, r.Colour.Text())
	}
	for _, list := range [][]string{r.Notes, r.Cautions} {
		for _, n := range list {
			fmt.Fprintln(w, n)
		}
	}
	if !r.Accepted {
		fmt.Fprintf(w, "Refused, for %d %s.\n", r.Problems.Count(diag.Error), plural(r.Problems.Count(diag.Error), "reason"))
	}
	return nil
}

// summary counts the new corals, the steps, and the places that miss something on the way.
func (r Acclimated) summary() string {
	missed := map[string]bool{}
	for _, s := range r.Steps {
		for _, c := range append(s.Corals[:len(s.Corals):len(s.Corals)], s.Areas...) {
			if c.Present && !c.Met {
				missed[c.Name] = true
			}
		}
	}
	text := fmt.Sprintf("%d new %s, %d dates on which light changes", len(r.Ways), plural(len(r.Ways), "coral"), len(r.Steps))
	if n := len(r.Steps); n > 0 {
		text += fmt.Sprintf(", %s to %s", r.Steps[0].Date, r.Steps[n-1].Date)
	}
	if len(missed) == 0 {
		return text + "; every target of each day is met"
	}
	return text + fmt.Sprintf("; %d %s outside a target or limit on the way", len(missed), plural(len(missed), "place"))
}

// felt is the change of DLI from which on a step is said to change somebody's light.
const felt = 0.01

// briefTable has one line for each step and new coral, or for the place that changes most
// where there is none.
func (r Acclimated) briefTable() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "date", Left: true}, {Head: "coral", Left: true},
		{Head: "DLI", Unit: "mol/m²/d"}, {Head: "target", Unit: "mol/m²/d", Last: 2}, {Head: "change", Unit: "%"},
		{Head: "peak PPFD", Unit: "µmol/m²/s", Last: 1}, {Head: "what happens", Left: true, Fold: 54}}}
	for _, s := range r.Steps {
		about, others := s.about()
		what := strings.Join(s.What, "; ")
		if others != "" {
			what += "; also changes: " + others
		}
		date := s.Date
		for _, c := range about {
			what = strings.Replace(strings.TrimPrefix(what, c.Name+": "), " "+c.Name+" ", " ", 1) // it has a column of its own
			t.Add(date, c.Name, fmt.Sprintf("%.2f", c.DLI), fmt.Sprintf("%.2f", c.Target), change(c.RiseDLI), sig(c.Peak), what)
			date, what = "", ""
		}
	}
	return t
}

// about is whom a step is about, and who else feels it, in words.
func (s AcclimatedStep) about() (rows []AcclimatedCoral, others string) {
	all := append(s.Corals[:len(s.Corals):len(s.Corals)], s.Areas...)
	most, at := -1.0, -1
	for i, c := range all {
		if c.Present && c.Newcomer {
			rows = append(rows, c)
		}
		if c.Present && c.size() > most {
			most, at = c.size(), i
		}
	}
	if rows == nil && at >= 0 {
		rows = append(rows, all[at])
	}
	var words []string
	for _, c := range all {
		if c.Present && c.size() >= felt && !c.Newcomer && (len(rows) == 0 || c.Name != rows[0].Name) {
			words = append(words, fmt.Sprintf("%s %s %%", c.Name, change(c.RiseDLI)))
		}
	}
	return rows, strings.Join(words, ", ")
}

// size is how much a DLI changes, up or down.
func (c AcclimatedCoral) size() float64 {
	if c.RiseDLI == nil {
		return 0
	}
	return max(*c.RiseDLI, -*c.RiseDLI)
}

func (r Acclimated) waysTable() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "new coral", Left: true}, {Head: "by", Left: true}, {Head: "arrives", Left: true}, {Head: "last step", Left: true},
		{Head: "DLI from", Unit: "mol/m²/d"}, {Head: "DLI to", Unit: "mol/m²/d"}, {Head: "steps"}, {Head: "each step", Unit: "%", Last: 1}, {Head: "limit", Unit: "%", Last: 2}}}
	for _, a := range r.Ways {
		t.Add(a.Coral, a.By, a.Arrives, a.Ends, fmt.Sprintf("%.2f", a.From), fmt.Sprintf("%.2f", a.To), a.Steps, fmt.Sprintf("%+.1f", 100*a.Rise), fmt.Sprintf("%.4g", 100*a.StepMax))
	}
	return t
}

// stepsTable shows the channels that have daylight: peaks in percent, and the hours of
// full light that the day comes to.
func (r Acclimated) stepsTable() table.Table {
	t := table.Table{Columns: []table.Column{{Head: "date", Left: true}}}
	if len(r.Steps) == 0 {
		return t
	}
	var shown []int
	for i, l := range r.Steps[0].Levels {
		for _, s := range r.Steps {
			if s.Levels[i].Peak > 0 {
				shown = append(shown, i)
				unit := "% × h"
				if !l.Dimmable {
					unit = "h"
				}
				t.Columns = append(t.Columns, table.Column{Head: l.Channel, Unit: unit})
				break
			}
		}
	}
	t.Columns = append(t.Columns, table.Column{Head: "what", Left: true})
	for _, s := range r.Steps {
		cells := []any{s.Date}
		for _, i := range shown {
			switch l := s.Levels[i]; {
			case !l.Dimmable:
				cells = append(cells, fmt.Sprintf("%.2f", l.DoseS/3600))
			case l.Peak <= 0:
				cells = append(cells, "off")
			default:
				cells = append(cells, fmt.Sprintf("%.1f × %.2f", 100*l.Peak, l.DoseS/3600/l.Peak))
			}
		}
		t.Add(append(cells, strings.Join(s.What, "; "))...)
	}
	return t
}
