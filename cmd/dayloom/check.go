package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"dayloom/exporters/job"
	"dayloom/exporters/report"
	"dayloom/schedule/day/reach"
	"dayloom/schedule/light"
	"dayloom/schedule/light/readings"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
)

func checkCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "check PLAN",
		Short: "Read a plan and everything it names, and list errors and warnings",
		Long: `check reads the plan and every file it names, and lists all errors and warnings
at once, each with its place, what is wrong, what is allowed and what was probably
meant. It changes nothing.`,
		Example: "  dayloom check quay-street/plan.yaml",
		Args:    exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if _, err := readFile(args[0]); err != nil {
			return fileError(err, "a plan is made by: dayloom new DIR")
		}
		p, problems := planfile.Load(readFile, args[0])
		var notes diag.List
		if p != nil { // what reads well may still ask for what no port can show
			shown := reach.Problems(p)
			notes = only(diag.Warning, shown)
			problems = append(problems, job.Dates(p, w.today(p))...)
			field, dark := lightProblems(p)
			problems = append(append(problems, dark...), only(diag.Error, shown)...)
			if !problems.HasErrors() {
				steps, err := w.stepProblems(args[0], p, field)
				if err != nil {
					return err
				}
				problems = append(problems, only(diag.Error, steps)...) // warnings are for those who ask for the steps
			}
			if problems = problems.Sort(args[0]); problems.HasErrors() {
				p = nil
			}
		}
		if *format == "text" {
			w.problems(problems, source)
			if p != nil {
				fmt.Fprint(w.stdout, w.fold(fmt.Sprintf("%s: %s%s, %s, %s, %s; no errors, %s\n", args[0], tanks(p),
					diag.Count(len(p.Channels), "channel"), diag.Count(len(p.Zones), "zone"), diag.Count(len(p.Corals), "coral"),
					diag.Count(len(p.Controllers), "controller"), diag.Count(problems.Count(diag.Warning), "warning"))))
				for _, n := range notes {
					fmt.Fprint(w.stdout, w.fold(n.What+"; "+n.Allowed+"\n"))
				}
			}
		} else if err := w.report(*format, report.NewProblems(append(problems, notes...))); err != nil {
			return err
		}
		if p == nil {
			return &failure{code: exitFile, message: args[0] + ": " + diag.Count(problems.Count(diag.Error), "error")}
		}
		return nil
	}
	return cmd
}

// stepProblems is what acclimation, new lamps and the journal beside the plan would be
// refused for, or warned of, by later commands.
func (w world) stepProblems(file string, p *plan.Plan, f light.Field) (diag.List, error) {
	entries, err := w.journal(file)
	if err != nil {
		return nil, err
	}
	j := &job.Job{Read: p, Plan: p, Field: f}
	if err := j.Find(context.Background()); err != nil {
		return j.Problems.Balance, nil
	}
	return j.After(entries, plan.Date{}).Problems, nil
}

// lightProblems is the light, with what later commands would say of it and doubts of
// readings.
func lightProblems(p *plan.Plan) (light.Field, diag.List) {
	f, problems, _ := job.Light(p)
	if !problems.HasErrors() {
		problems = append(problems, readings.Doubts(p, readings.Judge(p, f))...)
	}
	return f, problems
}
