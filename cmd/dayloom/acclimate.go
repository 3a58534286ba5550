package main

import (
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/job"
	"dayloom/exporters/picture"
	"dayloom/exporters/report"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
)

// ways are the words of --by.
var ways = acclimate.Ways

// acclimateFlags are the flags of acclimate as written.
type acclimateFlags struct{ from, to, by, picture, format string }

func acclimateCommand(w world) *cobra.Command {
	var f acclimateFlags
	cmd := &cobra.Command{
		Use:   "acclimate PLAN",
		Short: "Show the steps that bring new corals up to their light",
		Long: `acclimate lists, by date, each step of the plan's acclimations as the journal beside
the plan has it: what happens, the levels, and for every coral its daily light
integral, its greatest PPFD, its violet dose (380-430 nm) and how much each changed on
the day before; then who stays under target and how long, and how far the colour of the
light moves over these days and over a day's ramps.

The programme is refused, with code 1, when a step rises by more than step_max or a
coral falls below its dli_min: the errors name it. Code 3 says that it can be run, but
somebody misses a target or limit on the way.

--by tries another way than the plan names, without changing the file.`,
		Example: `  dayloom acclimate quay-street/plan.yaml
  dayloom acclimate quay-street/plan.yaml --by dimming --picture steps.png`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.Flags().StringVar(&f.from, "from", "", "first date to show (default: the first step)")
	cmd.Flags().StringVar(&f.to, "to", "", "last date to show (default: the last step)")
	cmd.Flags().StringVar(&f.by, "by", "", "try all acclimations another way: "+strings.Join(ways, "|"))
	cmd.Flags().StringVar(&f.picture, "picture", "", "draw the daily light of every coral to this file, .png or .svg")
	_ = cmd.RegisterFlagCompletionFunc("by", cobra.FixedCompletions(ways, cobra.ShellCompDirectiveNoFileComp))
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		f.format = *format
		return w.acclimate(args[0], f)
	}
	return cmd
}

func (w world) acclimate(file string, f acclimateFlags) error {
	if f.by != "" && !slices.Contains(ways, f.by) {
		hint := ""
		if near := diag.Nearest(f.by, ways); near != "" {
			hint = "did you mean " + near + "?"
		}
		return &failure{code: exitUsage, message: "unknown --by " + f.by + ": allowed are " + strings.Join(ways, ", "), hint: hint}
	}
	ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(f.picture), "."))
	if f.picture != "" && !slices.Contains(picture.Formats, ending) {
		return usageError("--picture %s: the name must end in .%s", f.picture, strings.Join(picture.Formats, " or ."))
	}
	q := w.question(file)
	q.Alter = func(p *plan.Plan) (*plan.Plan, error) { return byWay(p, f.by), nil }
	j, err := w.opened(q)
	if err != nil {
		return err
	}
	w.problems(j.Programme.Problems, source)
	from, to, err := w.window(j, f.from, f.to)
	if err != nil {
		return err
	}
	r := report.NewAcclimated(j.Plan, j.Programme, from, to)
	var dates []plan.Date
	for _, s := range j.Programme.Steps {
		if !s.Date.Before(from) && (to.IsZero() || !to.Before(s.Date)) {
			dates = append(dates, s.Date)
		}
	}
	if len(dates) > 0 {
		w.early(j.Plan, dates[0])
	}
	drifts, err := j.Drifts(dates)
	if err != nil {
		return fileError(err, "")
	}
	r.Colour = report.NewColourDrift(drifts)
	if err := w.report(f.format, r); err != nil {
		return err
	}
	if f.picture != "" {
		if err := w.drawCourse(j, from, to, f.picture, ending); err != nil {
			return err
		}
	}
	switch {
	case !r.Accepted:
		return &failure{code: exitFile, message: file + ": the programme is refused; the errors above say why and what would fit"}
	case !r.AllMet:
		return unmet()
	}
	return nil
}

// byWay is the plan with all acclimations another way; "" leaves it as it is.
func byWay(p *plan.Plan, way string) *plan.Plan {
	if way == "" {
		return p
	}
	q := *p
	q.Acclimation = slices.Clone(p.Acclimation)
	for i := range q.Acclimation {
		q.Acclimation[i].By = plan.How(slices.Index(ways, way))
	}
	return &q
}

// window reads the dates to show; zero dates where nothing is said.
func (w world) window(j *job.Job, from, to string) (first, last plan.Date, err error) {
	if from != "" {
		if first, err = w.dateOr(from, j.Plan); err != nil {
			return first, last, err
		}
	}
	if to != "" {
		if last, err = w.dateOr(to, j.Plan); err != nil {
			return first, last, err
		}
	}
	if from != "" && to != "" && last.Before(first) {
		return first, last, usageError("--to %v comes before --from %v", last, first)
	}
	return first, last, nil
}

func (w world) drawCourse(j *job.Job, from, to plan.Date, path, ending string) error {
	c, ok := picture.NewCourse(j.Plan, j.Field, j.Programme, from, to)
	if !ok {
		return usageError("there are no steps to tell the dates of a picture: add --from and --to, at most %d days apart", picture.MostDays)
	}
	err := w.writeOne(path, 0, func(out io.Writer) error { return picture.WriteCourse(out, ending, c) }, "choose a place that you may write to")
	if err != nil {
		return err
	}
	w.note("wrote %s", path)
	return nil
}
