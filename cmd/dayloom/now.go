package main

import (
	"github.com/spf13/cobra"

	"dayloom/exporters/report"
	"dayloom/schedule/plan/clock"
)

func nowCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "now PLAN",
		Short: "Show what each port should show at this moment",
		Long: `now prints the command of every port at a moment, as the compiled timetable of that
date has it, with the light it gives and what the plan asks for then. The moment is in
the plan's time zone; the table is looked up by the controller's own clock.`,
		Example: `  dayloom now quay-street/plan.yaml
  dayloom now quay-street/plan.yaml --at 2027-07-01T12:30`,
		Args: exactly("PLAN"),
	}
	at := cmd.Flags().String("at", "", "the moment: 2027-07-01T12:30, or 12:30 today (default: now)")
	format := formatFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		j, err := w.wired(args[0])
		if err != nil {
			return err
		}
		t, err := w.momentOr(*at, j.Plan)
		if err != nil {
			return err
		}
		c := clock.Of(j.Plan.Clock)
		w.early(j.Plan, c.Day(t).Date)
		shown := c.Controller(t)
		built := j.Compiled(shown.Date)
		r, err := report.NewNow(j.Plan, built.File, j.Day(c.Day(t).Date), t, shown, c.Day(t))
		if err != nil {
			return fileError(err, "")
		}
		return w.report(*format, r)
	}
	return cmd
}
