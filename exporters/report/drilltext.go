package report

import (
	"cmp"
	"fmt"
	"io"
	"slices"
	"strings"

	"dayloom/exporters/drill"
	"dayloom/exporters/table"
)

// mostFaults is how many faults the grid shows unless all are to be shown.
const mostFaults = 16

// called is a fault in words that cannot be taken for bare mains.
func (f Fault) called() string {
	if f.Fault == string(drill.WireOpen) {
		return "control wire broken"
	}
	return f.Fault
}

// Text is the sum of it, a grid of faults and corals with the worst first, then what
// helps; where all is to be shown, the faults one by one in full as well.
func (r Drill) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s, %s: what faults would do to the light\n", r.Plan, r.Date)
	faults := r.Ordered()
	fmt.Fprintf(w, "%s\n\n", r.Summary())
	if err := r.grid(w, faults); err != nil {
		return err
	}
	if table.Wide(w) {
		fmt.Fprintln(w)
		if err := long(faults).Text(w); err != nil {
			return err
		}
	}
	fmt.Fprintf(w, "\nwhat helps (common practice, no source)\n")
	if err := r.Helps().Text(w); err != nil {
		return err
	}
	_, err := fmt.Fprintf(w, "\n%s\n\n%s\n", strings.Join(r.Notes, "\n"), strings.Join(r.Cautions, "\n"))
	return err
}

// Helps is what guards against each sort of fault.
func (r Drill) Helps() table.Table {
	t := table.Table{Columns: []table.Column{{Head: "fault", Left: true}, {Head: "guard", Left: true, Fold: 28}}}
	for i, f := range r.Faults {
		if i == 0 || r.Faults[i-1].Fault != f.Fault {
			t.Add(f.called(), f.Helps)
		}
	}
	return t
}

// Ordered is the faults, worst first: bleaching risk, then limits broken, then the greatest
// change of anybody's light.
func (r Drill) Ordered() []Fault {
	out := slices.Clone(r.Faults)
	slices.SortStableFunc(out, func(a, b Fault) int {
		at, ac := a.harm()
		bt, bc := b.harm()
		return cmp.Or(cmp.Compare(bt, at), cmp.Compare(bc, ac))
	})
	return out
}

func (f Fault) harm() (tier int, change float64) {
	for _, c := range f.Corals {
		switch {
		case c.Risk:
			tier = max(tier, 2)
		case c.Over || c.Under:
			tier = max(tier, 1)
		}
		for _, r := range []*float64{c.DLIRatio, c.PeakRatio} {
			if r != nil {
				change = max(change, *r-1, 1-*r)
			}
		}
	}
	return tier, change
}

// Summary says how many faults are harmful, and which is the worst.
func (r Drill) Summary() string {
	faults := r.Ordered()
	risk, limits := 0, 0
	for _, f := range faults {
		switch tier, _ := f.harm(); tier {
		case 2:
			risk++
		case 1:
			limits++
		}
	}
	text := fmt.Sprintf("%d %s: %d with a risk of bleaching, %d more outside a limit", len(faults), plural(len(faults), "fault"), risk, limits)
	if len(faults) > 0 && len(faults[0].Corals) > 0 {
		f := faults[0]
		c := f.Corals[f.worst]
		text += fmt.Sprintf("; worst: %s, %s (%s: DLI %s of normal)", f.called(), f.where(), c.Name, times(c.DLIRatio))
	}
	return text
}

func times(ratio *float64) string { return known(ratio, "%.2f ×", "from dark, no multiple") }

// grid has one row a fault and one column a coral, which a letter stands for.
func (r Drill) grid(w io.Writer, faults []Fault) error {
	t := table.Table{Columns: []table.Column{{Head: "fault", Left: true}}}
	var legend []string
	if len(faults) > 0 {
		for i, c := range faults[0].Corals {
			t.Columns = append(t.Columns, table.Column{Head: Letter(i)})
			legend = append(legend, Letter(i)+" "+c.Name)
		}
	}
	shown := faults
	if !table.Wide(w) && len(shown) > mostFaults {
		shown = shown[:mostFaults]
	}
	for _, f := range shown {
		cells := []any{f.Short()}
		for _, c := range f.Corals {
			cells = append(cells, c.Mark())
		}
		t.Add(cells...)
	}
	if err := t.Text(w); err != nil {
		return err
	}
	if n := len(faults) - len(shown); n > 0 {
		fmt.Fprintf(w, "and %d %s with less effect: --wide shows all, with figures\n", n, plural(n, "fault"))
	}
	_, err := fmt.Fprintf(w, "DLI of the 24 h from the fault on, %% of a normal day; ! bleaching risk, > over a limit, < under one\n%s\n", strings.Join(legend, ", "))
	return err
}

// Short names a fault in one cell.
func (f Fault) Short() string {
	if f.Fault == string(drill.Swapped) {
		f.Channel = ""
	}
	return f.called() + ", " + f.where()
}

// Letter names the i-th coral of a grid: A to Z, then by number.
func Letter(i int) string {
	if i < len(marks) {
		return marks[i : i+1]
	}
	return fmt.Sprint(i + 1)
}

// Mark is the DLI in % of a normal day, with a sign: ! bleaching risk, > over a limit, < under one.
func (c FaultCoral) Mark() string {
	text := "lit"
	if c.DLIRatio != nil {
		text = fmt.Sprintf("%.0f", 100**c.DLIRatio)
	}
	switch {
	case c.Risk:
		return text + "!"
	case c.Over:
		return text + ">"
	case c.Under:
		return text + "<"
	}
	return text + " "
}

// long has one row a fault with the coral that is hit most.
func long(faults []Fault) table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "fault", Left: true}, {Head: "where", Left: true}, {Head: "worst-hit coral", Left: true},
		{Head: "DLI", Unit: "mol/m²/d"}, {Head: "normal", Unit: "mol/m²/d"}, {Head: "DLI", Unit: "× normal"}, {Head: "peak PPFD", Unit: "× normal"},
		{Head: "full day's DLI reached after", Unit: "h"}, {Head: "verdict", Left: true}}}
	for _, f := range faults {
		if len(f.Corals) == 0 {
			continue
		}
		c := f.Corals[f.worst]
		hours := c.Hours
		if c.Verdict == "as normal" {
			hours = nil
		}
		t.Add(f.called(), f.where(), c.Name, fmt.Sprintf("%.2f", c.DLI), fmt.Sprintf("%.2f", c.NormalDLI), known(c.DLIRatio, "%.2f", "from dark"), known(c.PeakRatio, "%.2f", "from dark"),
			known(hours, "%.1f", "-"), c.Verdict)
	}
	return t
}
