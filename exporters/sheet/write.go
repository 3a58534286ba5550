package sheet

import (
	"bufio"
	_ "embed"
	"fmt"
	"html/template"
	"io"
	"strings"
	"unicode/utf8"

	"dayloom/exporters/timetable"
)

//go:embed sheet.html
var html string

var htmlTemplate = template.Must(template.New("sheet").Parse(html))

// WriteHTML writes the sheet as one self-contained HTML file. Give it a timetable
// that holds only the tables to be printed.
func WriteHTML(w io.Writer, f timetable.File, e Ending) error {
	all, err := pages(f, e)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	if err := htmlTemplate.Execute(out, struct {
		Plan  string
		Pages []page
	}{f.Plan, all}); err != nil {
		return err
	}
	return out.Flush()
}

// WriteText writes the sheet as text, 80 columns wide unless names are long.
func WriteText(w io.Writer, f timetable.File, e Ending) error {
	all, err := pages(f, e)
	if err != nil {
		return err
	}
	out := bufio.NewWriter(w)
	for _, p := range all {
		if p.No > 1 {
			_, _ = out.WriteString("\f")
		}
		p.text(out)
	}
	return out.Flush()
}

// text leaves errors to the buffer, which keeps the first until Flush.
func (p page) text(w io.Writer) {
	fmt.Fprintf(w, "%s: controller %s (page %d of %d)\n", p.Plan, p.Controller, p.No, p.Of)
	wrap(w, fmt.Sprintf("Valid %s. %s", p.Valid, p.Clock), "")
	for _, n := range p.Notes {
		wrap(w, n, "")
	}
	if p.Hash != "" {
		fmt.Fprintf(w, "Plan %s\n", p.Hash)
	}
	fmt.Fprintln(w, "[ ] keyed in on ______________ by ______________   [ ] checked")
	for _, q := range p.Ports {
		fmt.Fprintf(w, "\nPort %s: %s\n", q.Name, q.Channel)
		wrap(w, q.Limits, "")
		fmt.Fprintf(w, "\n  00 |%s| 24\n\n", q.Blocks)
		rows := [][]string{{"no", "time", heading(q.Unit), "light"}}
		for _, x := range q.Points {
			rows = append(rows, []string{fmt.Sprint(x.No), x.Time, x.Command, x.Light})
		}
		columns(w, rows, 0)
	}
	fmt.Fprint(w, "\nWhat the display should show (one step of difference is fine)\n\n")
	rows := [][]string{append([]string{"port"}, p.Times...)}
	for _, q := range p.Ports {
		rows = append(rows, append([]string{q.Name + " " + q.Channel}, q.Expected...))
	}
	columns(w, rows, 1)
	if len(p.Corals) > 0 {
		fmt.Fprintf(w, "\nDLI that the plan gives each coral on %s, calculated, mol/m²/d\n\n", p.From)
		rows = [][]string{{"coral", "zone", "DLI"}}
		for _, c := range p.Corals {
			rows = append(rows, []string{c.Name, c.Zone, c.DLI})
		}
		columns(w, rows, 2)
	}
	fmt.Fprint(w, "\nCautions\n\n")
	for _, c := range p.Cautions {
		wrap(w, "- "+c, "  ")
	}
}

func heading(unit string) string {
	if unit == "switch" {
		return "state"
	}
	return unit
}

// columns aligns cells to the right, the first few to the left.
func columns(w io.Writer, rows [][]string, left int) {
	width := make([]int, len(rows[0]))
	for _, r := range rows {
		for i, c := range r {
			width[i] = max(width[i], utf8.RuneCountInString(c))
		}
	}
	for _, r := range rows {
		var b strings.Builder
		for i, c := range r {
			pad := strings.Repeat(" ", width[i]-utf8.RuneCountInString(c))
			if i < left {
				b.WriteString("  " + c + pad)
			} else {
				b.WriteString("  " + pad + c)
			}
		}
		fmt.Fprintln(w, strings.TrimRight(b.String(), " "))
	}
}

// wrap breaks a paragraph between words; later lines begin with the indent.
func wrap(w io.Writer, text, indent string) {
	const width = 78
	line := ""
	for _, word := range strings.Fields(text) {
		switch {
		case line == "":
			line = word
		case utf8.RuneCountInString(line+" "+word) > width:
			fmt.Fprintln(w, line)
			line = indent + word
		default:
			line += " " + word
		}
	}
	fmt.Fprintln(w, line)
}
