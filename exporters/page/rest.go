package page

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"dayloom/exporters/drill"
	"dayloom/exporters/report"
	"dayloom/exporters/sheet"
	"dayloom/photon/colour"
	"dayloom/schedule/day/load"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/text/diag"
)

// widest is how many corals a grid of faults has room for.
const widest = 16

// Grid is faults against corals, the worst first.
type Grid struct {
	Caption, Left string
	Heads         []head
	Rows          []faulted
}

type head struct{ Letter, Name string }

type faulted struct {
	Fault string
	Cells []cell
}

// faults is what drill tells of the date.
func (m *maker) faults() (Section, error) {
	out := Section{ID: "faults", Head: "When something fails"}
	if m.built == nil {
		return out, nil
	}
	outcomes, err := drill.Run(m.on.Plan, m.on.Field, m.built.File.Tables[0], m.on.Age, clock.Of(m.on.Plan.Clock).ShiftOn(m.Date))
	if err != nil {
		return out, err
	}
	r := report.NewDrill(m.on.Plan, m.Date, outcomes)
	out.Sum = r.Summary() + "."
	out.Parts = []Part{m.grid(r), newTable("What helps (common practice, no source)", r.Helps(), nil), Notes(r.Notes)}
	return out, nil
}

func (m *maker) grid(r report.Drill) Grid {
	g := Grid{Caption: "DLI of the 24 h from the fault on, % of a normal day: ! bleaching risk, > over a limit, < under one"}
	faults := r.Ordered()
	shown := slices.Clone(m.shown[:min(len(m.shown), widest)])
	for _, i := range shown {
		g.Heads = append(g.Heads, head{m.sign(i).Letter, m.dli.Corals[i].Name})
	}
	for k, a := range m.dli.Areas {
		if len(shown) < widest {
			shown = append(shown, len(m.dli.Corals)+k)
			g.Heads = append(g.Heads, head{fmt.Sprintf("a%d", k+1), a.Name + " (area)"})
		}
	}
	quiet := 0
	for _, f := range faults {
		if !slices.ContainsFunc(f.Corals, func(c report.FaultCoral) bool { return c.Verdict != "as normal" }) {
			quiet++
			continue
		}
		if len(g.Rows) == MostShown {
			continue
		}
		row := faulted{Fault: f.Short()}
		for _, i := range shown {
			c := f.Corals[i]
			row.Cells = append(row.Cells, cell{Text: strings.TrimSpace(c.Mark()), Sign: harm(c)})
		}
		g.Rows = append(g.Rows, row)
	}
	if n := len(faults) - len(g.Rows) - quiet; n > 0 {
		g.Left += fmt.Sprintf("%d more faults have less effect. ", n)
	}
	if quiet > 0 {
		g.Left += fmt.Sprintf("%s as normal at every coral and left out. ", count(quiet, "more fault"))
	}
	if n := len(m.dli.Corals) + len(m.dli.Areas) - len(shown); n > 0 {
		g.Left += fmt.Sprintf("%d more places are not in the grid. ", n)
	}
	if g.Left != "" {
		g.Left += "dayloom drill --wide shows all."
	}
	return g
}

// harm is how a cell is shaded; its text tells the same.
func harm(c report.FaultCoral) string {
	switch {
	case c.Risk:
		return "risk"
	case c.Over:
		return "over"
	case c.Under:
		return "under"
	case c.Verdict == "as normal":
		return ""
	case c.DLI < c.NormalDLI:
		return "less"
	}
	return "more"
}

// Write writes the grid.
func (g Grid) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "faults", g) }

// circuits is the electrical side.
func (m *maker) circuits() (Section, error) {
	lines := m.dli.Load.Lines()
	out := Section{ID: "power", Head: "Power and circuits", Sum: sentenceOf(lines[0]), Parts: []Part{Notes(lines[1:])}}
	if m.job.Plan.Tariff.PerKWh > 0 {
		months := load.Months(m.job.Plan, m.Date, m.Date.AddDays(yearDays), m.job.Day)
		t := report.EnergyTable(report.NewEnergy(m.job.Plan, months))
		out.Parts = append(out.Parts, newTable("Energy and cost by month, over the dates of the year", t, nil))
	}
	return out, nil
}

// sentenceOf gives a line of another report a capital and a full stop.
func sentenceOf(s string) string {
	return strings.ToUpper(s[:1]) + strings.TrimSuffix(s[1:], ".") + "."
}

// doubts is what is not proven, and what check tells.
func (m *maker) doubts() (Section, error) {
	var list []string
	for _, p := range m.Doubts {
		list = append(list, strings.TrimSpace(p.Error()))
	}
	list = slices.Concat(list, m.unproven)
	out := Section{ID: "doubts", Head: "Doubts", Sum: "Check and compile have no doubts of this plan. What the model leaves out is told with the tank."}
	if len(list) > 0 {
		out.Sum = fmt.Sprintf("%s about this plan: what check warns of, and what compile cannot show or prove.", diag.Count(len(list), "doubt"))
		if n := len(list) - MostShown; n > 0 {
			list = append(list[:MostShown], fmt.Sprintf("%d more; dayloom check and dayloom compile list all.", n))
		}
		out.Parts = []Part{Notes(list)}
	}
	return out, nil
}

func (m *maker) cautions() (Section, error) {
	return Section{ID: "cautions", Head: "Cautions", Sum: "Read these before you touch a lamp.", Parts: []Part{Notes(sheet.Cautions())}}, nil
}

// made is what the report was made from.
func (m *maker) made() (Section, error) {
	return Section{ID: "made", Head: "This report",
		Sum: fmt.Sprintf("It tells of %s and, in the year, of the dates to %s.", m.Date, m.Date.AddDays(yearDays)),
		Parts: []Part{Notes{"Plan: " + m.job.Plan.Name + ", " + m.job.Plan.Hash, "Made by " + m.Version + ".",
			"Levels are found and figures calculated for these lamps and readings; the water itself is not measured here."}}}, nil
}

func (m *maker) channelNamed(name string) int {
	for i, c := range m.job.Plan.Channels {
		if c.Name == name {
			return i
		}
	}
	return 0
}

// swatch is the colour of a channel's own light.
func (m *maker) swatch(channel int) string {
	return colour.Of(m.job.Plan.Channels[channel].Spectrum).XYZ().Swatch().String()
}

// lettered gives the corals of a table that shows m.shown their letters.
func (m *maker) lettered(t Table) Table {
	for k, i := range m.shown {
		t.Rows[k].Cells[0].Letter = m.sign(i).Letter
	}
	t.Left = ""
	return t
}
