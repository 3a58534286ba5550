package main

import (
	"github.com/spf13/cobra"

	"dayloom/exporters/drill"
	"dayloom/exporters/report"
	"dayloom/schedule/plan/clock"
)

func drillCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "drill PLAN",
		Short: "Show what faults would do to the corals",
		Long: `drill asks "what if" for faults that happen: a control wire breaks, a channel dies, the
controller restarts at full or at dark, its clock is an hour off or stops, its last
point is lost, two ports are swapped. For each it shows every coral's daily light
integral and peak against a normal day, how many hours it takes to have had a whole
day's light, and what guards against it. Text shows faults against corals, the worst
first; --wide, json and csv show all.`,
		Example: `  dayloom drill quay-street/plan.yaml
  dayloom drill quay-street/plan.yaml --date 2027-06-01 --format csv`,
		Args: exactly("PLAN"),
	}
	date := dateFlag(cmd, "date", "the date, such as 2027-02-03 (default: today in the plan's time zone)")
	format := formatFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		j, err := w.wired(args[0])
		if err != nil {
			return err
		}
		on, err := w.litOn(*date, j.Plan)
		if err != nil {
			return err
		}
		built := j.Compiled(on)
		d := j.On(on)
		outcomes, err := drill.Run(d.Plan, d.Field, built.File.Tables[0], d.Age, clock.Of(j.Plan.Clock).ShiftOn(on))
		if err != nil {
			return fileError(err, "")
		}
		return w.report(*format, report.NewDrill(d.Plan, on, outcomes))
	}
	return cmd
}
