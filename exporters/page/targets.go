package page

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"dayloom/exporters/report"
	"dayloom/schedule/day/dose"
)

// Signs of the verdicts: what is wrong is told by a sign and a word, and only then by colour.
var signs = map[dose.Verdict]string{dose.Met: "✓", dose.High: "▲", dose.Low: "▼", dose.OverLimit: "▲▲", dose.UnderLimit: "▼▼"}

func class(v string) string { return strings.ReplaceAll(v, " ", "-") }

// choose picks the corals that are shown in full: all, or those worst off.
func (m *maker) choose() {
	for i := range m.dli.Corals {
		m.shown = append(m.shown, i)
	}
	if len(m.shown) <= MostShown {
		return
	}
	slices.SortStableFunc(m.shown, func(a, b int) int {
		x, y := m.dli.Corals[a], m.dli.Corals[b]
		return cmp.Or(cmp.Compare(grade(x), grade(y)), cmp.Compare(off(y), off(x)))
	})
	m.shown = m.shown[:MostShown]
	slices.Sort(m.shown)
}

// grade is how good a verdict is.
func grade(c report.CoralDLI) int {
	return slices.Index([]dose.Verdict{dose.OverLimit, dose.UnderLimit, dose.Low, dose.High, dose.Met}, dose.Verdict(c.Verdict))
}

func off(c report.CoralDLI) float64 { return math.Abs(c.DLI-c.Target) / max(c.Target, 1e-9) }

// sign is how the i-th coral is marked: a letter while it is shown in full.
func (m *maker) sign(i int) Sign {
	s := Sign{Class: class(m.dli.Corals[i].Verdict)}
	if k := slices.Index(m.shown, i); k >= 0 {
		s.Letter = report.Letter(k)
	}
	return s
}

// targets is every coral's light against its target.
func (m *maker) targets() (Section, error) {
	rows := slices.Clone(m.shown)
	areas := len(m.dli.Corals)
	for k := range m.dli.Areas[:min(len(m.dli.Areas), MostShown)] {
		rows = append(rows, areas+k)
	}
	t := newTable("The light of "+m.Date.String()+", place by place", m.full, rows)
	all := slices.Concat(m.dli.Corals, m.dli.Areas)
	most := 0.0
	for _, c := range all {
		most = max(most, c.DLI, c.Target*(1+c.Within))
	}
	var bars Bars
	for k, i := range rows {
		c := all[i]
		s := Sign{Class: class(c.Verdict)}
		if i < areas {
			s = m.sign(i)
		}
		r := &t.Rows[k]
		r.Class, r.Cells[0].Letter = s.Class, s.Letter
		for n := range r.Cells {
			if t.Columns[n].Head == "verdict" {
				r.Cells[n].Sign = signs[dose.Verdict(c.Verdict)]
			}
		}
		b := barOf(c, s, max(most*1.02, 1e-9))
		b.DLI, b.Target = cellOf(m.full, i, "dli_mol_m2_d"), cellOf(m.full, i, "target_dli_mol_m2_d")
		bars = append(bars, b)
	}
	t.Left = m.left()
	out := Section{ID: "targets", Head: "Targets", Sum: m.dli.Summary() + ".", Parts: []Part{bars, t}}
	if worth := m.dli.WorthTable(); worth.Rows != nil {
		out.Parts = append(out.Parts, newTable(sentenceOf(worth.Head), worth.Table, nil))
	}
	notes := Notes(m.dli.Spreads())
	if m.job.OffColour() {
		notes = append(notes, "What was found for the auto levels breaks a wish of spectrum or colour; dayloom balance says which.")
	}
	out.Parts = append(out.Parts, append(notes, m.dli.Notes...))
	return out, nil
}

// left tells what of the corals is not shown.
func (m *maker) left() string {
	n := len(m.dli.Corals) - len(m.shown)
	if n == 0 {
		return ""
	}
	met := 0
	for i, c := range m.dli.Corals {
		if c.Met && !slices.Contains(m.shown, i) {
			met++
		}
	}
	return fmt.Sprintf("Shown are the %d corals furthest from their targets. %d more are counted, and drawn as dots in the tank: %d met, %d not met. dayloom dli lists all.", len(m.shown), n, met, n-met)
}

// Bars are the DLI of places against their targets on one scale.
type Bars []bar

type bar struct {
	Name, Letter, Class, Sign, Verdict string
	DLI, Target                        string // as dli prints them
	Length, From, Width, At            string // of the light, what counts as met, the target; percentages
}

// barOf sets one place on a scale that ends at top, mol m⁻² d⁻¹.
func barOf(c report.CoralDLI, s Sign, top float64) bar {
	return bar{Name: c.Name, Letter: s.Letter, Class: s.Class, Sign: signs[dose.Verdict(c.Verdict)], Verdict: c.Verdict,
		Length: percent(c.DLI / top),
		From:   percent(c.Target * (1 - c.Within) / top), Width: percent(2 * c.Target * c.Within / top), At: percent(c.Target / top)}
}

// Write writes the bars.
func (b Bars) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "bars", b) }
