package page

import (
	"bytes"
	"context"
	_ "embed"
	"html/template"
	"io"

	"dayloom/exporters/compile"
	"dayloom/exporters/job"
	"dayloom/exporters/report"
	"dayloom/exporters/table"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/visible"
)

// MostShown is how many corals, ports or dates a section shows in full; the others are counted.
const MostShown = 50

// yearDays is how many days after its date a report looks ahead.
const yearDays = 364

// Question is what a report is to be of.
type Question struct {
	Date    plan.Date
	Version string
	Doubts  diag.List // what check tells of the plan
}

// Page is a report, ready to be written.
type Page struct {
	Plan, Date, Version, Hash string
	Sections                  []Section
	Unmet                     string // what of targets, limits, circuits and colour is not met, in words; empty: nothing
}

// Section is one matter of a report: what it comes to in a sentence, then its drawings and tables.
type Section struct {
	ID, Head, Sum string
	Parts         []Part
}

// Part is a drawing, a table or a list of notes.
type Part interface{ Write(w io.Writer) error }

// New works a report out. The error is of a plan of which some figure cannot be had.
func New(ctx context.Context, j *job.Job, q Question) (Page, error) {
	m, err := newMaker(ctx, j, q)
	if err != nil {
		return Page{}, err
	}
	out := Page{Plan: j.Plan.Name, Date: q.Date.String(), Version: q.Version, Hash: j.Plan.Hash, Unmet: m.unmet()}
	for _, section := range []func() (Section, error){m.targets, m.tank, m.days, m.ports, m.year, m.faults, m.colour, m.circuits, m.doubts, m.cautions, m.made} {
		s, err := section()
		if err != nil {
			return out, err
		}
		if s.Sum != "" {
			out.Sections = append(out.Sections, s)
		}
	}
	return out, nil
}

// maker is what the sections of one report share.
type maker struct {
	Question
	ctx      context.Context
	job      *job.Job
	on       job.Dated
	dli      report.DLI
	full     table.Table       // of dli
	built    *compile.Result   // of the date; nil: there are no ports
	seen     map[int]mix.Place // the colours of the places that are shown, numbered as in dli: corals, then areas
	shown    []int             // of the corals, those that are shown in full, in the plan's order
	unproven []string
}

// unmet is what dli ends with code 3 for.
func (m *maker) unmet() string {
	switch {
	case m.dli.Load.Over:
		return "a limit of power or of a circuit is broken"
	case !m.dli.AllMet:
		return "not all targets and limits are met"
	case m.job.OffColour():
		return "all targets are met, but a wish of spectrum or colour is not"
	}
	return ""
}

func newMaker(ctx context.Context, j *job.Job, q Question) (*maker, error) {
	m := &maker{ctx: ctx, job: j, Question: q, on: j.On(q.Date)}
	m.dli = m.on.DLI()
	m.full = m.dli.Table()
	m.choose()
	if len(j.Plan.Ports()) > 0 {
		built := j.Compiled(q.Date)
		m.built = &built
	}
	return m, m.look()
}

//go:embed page.html
var pageHTML string

//go:embed figures.html
var figuresHTML string

// Styles is the style sheet of the page and of every drawing.
//
//go:embed page.css
var Styles string

var pages *template.Template

func init() {
	pages = template.Must(template.New("page").Funcs(template.FuncMap{
		"draw":   draw,
		"styles": func() template.CSS { return template.CSS(Styles) },
	}).Parse(pageHTML + figuresHTML))
}

// draw is a part as HTML, which its own template has escaped.
func draw(p Part) (template.HTML, error) {
	var b bytes.Buffer
	err := p.Write(&b)
	return template.HTML(b.String()), err
}

// Write writes the report as one HTML file that asks for nothing else. The same page gives
// the same bytes.
func (p Page) Write(w io.Writer) error {
	return visible.Text(func(w io.Writer) error { return pages.ExecuteTemplate(w, "page", p) })(w)
}

// Notes are sentences, one below the other.
type Notes []string

// Write writes them as a list.
func (n Notes) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "notes", n) }

// count is "1 coral", "3 corals".
func count(n int, word string) string { return diag.Count(n, word) }
