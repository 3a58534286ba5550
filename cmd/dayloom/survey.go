package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/files"
	"dayloom/exporters/measure"
	"dayloom/exporters/report"
	"dayloom/schedule/day"
	"dayloom/schedule/light/survey"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

// mostReadings bounds a survey: nobody takes more in a day.
const mostReadings = 400

// surveyFlags are the flags of survey as written.
type surveyFlags struct {
	readings    int
	sheet, date string
	tank        string
	reachable   []string
}

func surveyCommand(w world) *cobra.Command {
	var f surveyFlags
	cmd := &cobra.Command{
		Use:   "survey PLAN",
		Short: "Say where to hold the meter, and with which channels lit, to learn most",
		Long: `survey chooses so many readings that the daily light integrals of all corals and areas
are known best after them: each is a spot, what to light there and what the meter should
show. Readings that the plan has are taken into account. The order is a short way.

--sheet writes them as a table to fill in, which is then a readings file, and a page to
print beside it (.html). --reachable limits the spots: depth=..40cm, x=20cm..200cm, y=…,
or names of corals, with which only those are used.`,
		Example: `  dayloom survey quay-street/plan.yaml --readings 12
  dayloom survey quay-street/plan.yaml --readings 24 --sheet sheet.csv --reachable depth=..25cm`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.Flags().IntVar(&f.readings, "readings", 0, "how many readings to plan")
	cmd.Flags().StringVar(&f.sheet, "sheet", "", "write the table to fill in to this .csv file, and a page to print beside it")
	cmd.Flags().StringSliceVar(&f.reachable, "reachable", nil, "limit the spots: depth=..40cm, x=20cm..200cm, y=..30cm, or coral names")
	tankFlag(cmd, &f.tank)
	cmd.Flags().StringVar(&f.date, "date", "", "when it will be measured, such as 2027-02-03 (default: today in the plan's time zone)")
	cmd.RunE = func(_ *cobra.Command, args []string) error { return w.plannedSurvey(args[0], f, *format) }
	return cmd
}

func (w world) plannedSurvey(file string, f surveyFlags, format string) error {
	if f.readings < 1 || f.readings > mostReadings {
		return usageError("--readings: write how many, from 1 to %d", mostReadings)
	}
	if f.sheet != "" && !strings.EqualFold(filepath.Ext(f.sheet), ".csv") {
		return usageError("--sheet %s: the name must end in .csv", f.sheet)
	}
	j, err := w.job(file)
	if err != nil {
		return err
	}
	date, err := w.litOn(f.date, j.Plan)
	if err != nil {
		return err
	}
	on := j.Book.On(date)
	p, field, kept, err := tanked(j.Plan, j.Field, f.tank)
	if err != nil {
		return err
	}
	doses := day.Build(j.Plan, date, on.Day).Doses()
	o := survey.Options{Readings: f.readings, Dose: own(doses, kept), Age: own(on.Age, kept), Date: date}
	if err := reachable(p, f.reachable, &o); err != nil {
		return err
	}
	s, err := survey.Plan(p, field, o)
	if j.Plan.Several() {
		s.Tank = f.tank
	}
	if err != nil {
		return &failure{code: exitFile, message: file + ": " + err.Error()}
	}
	if err := w.report(format, report.NewSurvey(p, s, date)); err != nil || f.sheet == "" {
		return err
	}
	return w.surveySheet(f.sheet, p, s, date)
}

func (w world) surveySheet(path string, p *plan.Plan, s survey.Survey, date plan.Date) error {
	rows := measure.Rows(p, s)
	name := filepath.Base(path)
	page := strings.TrimSuffix(name, filepath.Ext(name)) + ".html"
	err := w.write(filepath.Dir(path), []files.File{
		{Name: name, Render: func(out io.Writer) error { return measure.WriteCSV(out, date, rows) }},
		{Name: page, Render: func(out io.Writer) error { return measure.WritePage(out, p.Name, date, rows) }},
	}, "choose a place that you may write to")
	if err == nil {
		w.note("wrote %s, to fill in, and %s, to print; then: readings: %s in the plan", path, filepath.Join(filepath.Dir(path), page), name)
	}
	return err
}

// reachable reads where a sensor can be held.
func reachable(p *plan.Plan, words []string, o *survey.Options) error {
	box := p.Tank.Box
	o.Reach = plan.Volume{X: [2]float64{0, box.Length}, Y: [2]float64{0, box.Width}, Depth: [2]float64{0, box.Depth}}
	sides := map[string]*[2]float64{"x": &o.Reach.X, "y": &o.Reach.Y, "depth": &o.Reach.Depth}
	var names []string
	for _, c := range p.Corals {
		names = append(names, c.Name)
	}
	for _, word := range words {
		axis, values, isRange := strings.Cut(word, "=")
		if !isRange {
			i := slices.Index(names, word)
			if i < 0 {
				return usageError("--reachable: no coral is called %q; %s", word, strings.TrimSpace("the plan has "+diag.Words(names)+"; "+diag.DidYouMean(word, names)))
			}
			o.Corals = append(o.Corals, i)
			continue
		}
		side := sides[strings.TrimSpace(axis)]
		from, to, ok := strings.Cut(values, "..")
		if side == nil || !ok {
			return usageError("--reachable %s: write depth=..40cm, x=20cm..200cm, y=..30cm or the name of a coral", word)
		}
		for k, text := range []string{from, to} {
			if strings.TrimSpace(text) == "" {
				continue
			}
			v, err := quantity.Length.Parse(text)
			if err != nil {
				return usageError("--reachable %s: %s", word, err)
			}
			side[k] = v
		}
		if side[0] > side[1] {
			return usageError("--reachable %s: %s", word, fmt.Sprintf("from %g m to %g m is no range", side[0], side[1]))
		}
	}
	o.Grid = o.Corals == nil
	return nil
}
