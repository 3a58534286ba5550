package main

import (
	"fmt"
	"math"
	"path/filepath"

	"github.com/spf13/cobra"

	"dayloom/exporters/compile"
	"dayloom/exporters/files"
	"dayloom/exporters/fileset"
	"dayloom/exporters/job"
	"dayloom/exporters/report"
	"dayloom/exporters/sheet"
	"dayloom/schedule/day/load"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/text/diag"
)

func compileCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "compile PLAN -o DIR",
		Short: "Write the timetables that make a plan's light",
		Long: `compile lowers the day of every channel to what its controller can hold and writes
timetables for machines (json, csv, a grid of every minute, crontab lines for switched
outlets), sheets for people and a calendar of reminders into a folder, whole or not at
all. Without --to the day of --from (today) is written, open-ended. With --from and --to
every date is written, across changes of summer time and steps of an acclimation.
With --exact, ports with at most 3,000 times × commands a day get the best points that
there are, proven; without it those with at most 400 do, and for others the nearest is
found in a moment.`,
		Example: `  dayloom compile quay-street/plan.yaml -o out
  dayloom compile quay-street/plan.yaml -o out --from 2027-01-01 --to 2027-12-31`,
		Args: exactly("PLAN"),
	}
	dir := cmd.Flags().StringP("out", "o", "", "the folder to write into (required)")
	from := dateFlag(cmd, "from", "first date of dated timetables, such as 2027-01-01")
	to := dateFlag(cmd, "to", "last date of dated timetables")
	exact := cmd.Flags().Bool("exact", false, "try all points of small controllers, however long it takes")
	format := formatFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if *dir == "" {
			return &failure{code: exitUsage, message: "missing the folder to write into", hint: "add: -o out"}
		}
		j, err := w.job(args[0])
		if err != nil {
			return err
		}
		spans, err := w.spans(j.Plan, *from, *to)
		if err != nil {
			return err
		}
		if *to != "" { // an open-ended day has no later dates to be warned of
			w.problems(only(diag.Warning, j.Programme.Problems), source)
		}
		if err := portless(j); err != nil {
			return err
		}
		if err := refused(j, spans); err != nil {
			return err
		}
		if j.Programme.Problems.HasErrors() {
			w.note("warning: what is refused concerns other dates than those compiled")
		}
		build := compile.Build
		if *exact {
			build = compile.BuildExact
		}
		return w.compile(j, spans, build, *dir, *format)
	}
	return cmd
}

// spans are the dates to compile: open from today, or those between two flags.
func (w world) spans(p *plan.Plan, from, to string) ([]compile.Span, error) {
	c := clock.Of(p.Clock)
	first, err := w.litOn(from, p)
	if err != nil {
		return nil, err
	}
	if to == "" {
		return []compile.Span{{From: first, ShiftS: c.ShiftOn(first)}}, nil
	}
	last, err := w.dateOr(to, p)
	if err != nil {
		return nil, err
	}
	if last.Before(first) {
		return nil, usageError("--to %v comes before --from %v", last, first)
	}
	if n := first.DaysUntil(last) + 1; n > compile.MostDates {
		return nil, &failure{code: exitUsage, message: fmt.Sprintf("--from %v --to %v: that is %d dates, and a timetable is for at most %d dates", first, last, n, compile.MostDates),
			hint: fmt.Sprintf("compile it in parts, the first up to --to %v", first.AddDays(compile.MostDates-1))}
	}
	var out []compile.Span
	for _, s := range c.Spans(first, last) {
		out = append(out, compile.Span{From: s.From, To: s.To, ShiftS: s.ShiftS})
	}
	return out, nil
}

// compile builds the timetable, writes the files and reports.
func (w world) compile(j *job.Job, spans []compile.Span, build func(*plan.Plan, []compile.Span, compile.Curves) compile.Result, dir, format string) error {
	j = j.CutInto(spans[0].From, spans[len(spans)-1].To)
	for i := range spans {
		spans[i].Alone = j.Cut != nil
	}
	w.busy.is("working out the points")
	built := build(j.Plan, spans, j.Curves)
	if j.Cut != nil {
		cost := math.Abs(j.Cut.Greatest)
		built.File.Cost = &cost
	}
	end := sheet.Ending{Corals: func(date plan.Date) []sheet.Coral { return atCorals(j, date) }}
	if spans[0].To.IsZero() {
		end.Notes = fileset.Open(j.Plan, spans[0].From)
	}
	end.Clocks, _, _ = compile.Outdated(j.Plan, spans)
	set, notes := fileset.Set(built.File, j.Reminders(spans), fileset.GridStep(j.Plan), end)
	notes = append(end.Notes, notes...)
	if err := w.write(dir, set, "nothing was changed"); err != nil {
		return err
	}
	played, err := w.played(j, filepath.Join(dir, "timetable.json"))
	if err != nil {
		return err
	}
	r, err := report.NewCompiled(j.Plan, built, dir, names(set), played)
	if err != nil {
		return fileError(err, "")
	}
	r.Notes = append(r.Notes, notes...)
	if j.Cut != nil {
		r.Cut = report.NewCut(*j.Cut)
	}
	if last := spans[len(spans)-1].To; j.Plan.Tariff.PerKWh > 0 && !last.IsZero() {
		r.Energy = report.NewEnergy(j.Plan, load.Months(j.Plan, spans[0].From, last, j.Day))
	}
	if err := w.report(format, r); err != nil {
		return err
	}
	if format == "text" {
		w.note("check it: dayloom verify %s %s", filepath.Join(dir, "timetable.json"), j.Plan.File)
	}
	if !r.Faithful || !r.Met || !played.Gentle || r.Cut != nil && len(r.Cut.Unfit) > 0 {
		return unmet()
	}
	return nil
}

// atCorals is the DLI of each coral on a date, for sheets.
func atCorals(j *job.Job, date plan.Date) (out []sheet.Coral) {
	d := j.On(date)
	for i, c := range d.Result.Corals {
		dli := fmt.Sprintf("%.2f", c.DLI)
		if j.Programme.CameFrom(i, date) > 0 {
			dli = "not here yet"
		}
		out = append(out, sheet.Coral{Name: c.Name, Zone: d.Plan.Zones[c.Zone].Name, DLI: dli})
	}
	return out
}

// played reads back what was written and plays it on every date that it is judged on.
func (w world) played(j *job.Job, path string) (report.Played, error) {
	o, err := readBack(path)
	if err != nil {
		return report.Played{}, err
	}
	file, differences, err := o.timetable(j.Plan)
	if err != nil {
		return report.Played{}, err
	}
	from, to := job.Judged(file)
	r, err := w.play(j, file, from, to)
	if err != nil {
		return report.Played{}, fileError(err, "")
	}
	out := report.NewPlayed(j.Plan, r, differences)
	if len(differences)+len(r.Unfaithful) > 0 {
		out.Advice = advice(j, differences, r.Unfaithful, "")
	}
	return out, nil
}

func names(set []files.File) []string {
	var out []string
	for _, f := range set {
		out = append(out, f.Name)
	}
	return out
}
