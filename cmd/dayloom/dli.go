package main

import (
	"github.com/spf13/cobra"
)

func dliCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "dli PLAN",
		Short: "Show the daily light integral of every coral against its target",
		Long: `dli calculates the light of one day at every coral: its daily light integral (DLI) with
one standard deviation, its peak PPFD (what keepers call PAR), the photoperiod (time
above 1 % of that peak), UV and moonlight, each against target and limits; the power of
all lamps and the current of each circuit at their highest; and whether each number
rests on readings or on the model. Where the plan states an ek
it tells what the light is worth: hours above it, and the day's production.`,
		Example: `  dayloom dli quay-street/plan.yaml
  dayloom dli quay-street/plan.yaml --date 2027-06-01 --format json`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	date := dateFlag(cmd, "date", "the date, such as 2027-02-03 (default: today in the plan's time zone)")
	racks := rackFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		w := w
		w.racks = *racks
		j, err := w.jobUntil(args[0], date)
		if err != nil {
			return err
		}
		on, err := w.litOn(*date, j.Plan)
		if err != nil {
			return err
		}
		r := j.On(on).DLI()
		if err := w.report(*format, r); err != nil {
			return err
		}
		if !r.AllMet || j.OffColour() {
			return unmet()
		}
		return nil
	}
	return cmd
}
