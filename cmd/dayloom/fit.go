package main

import (
	"fmt"
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/picture"
	"dayloom/exporters/report"
	"dayloom/schedule/plan"
	"dayloom/schedule/readings"
)

func fitCommand(w world) *cobra.Command {
	var file string
	cmd := &cobra.Command{
		Use:   "fit PLAN",
		Short: "Say what the readings tell of the lamps and the meter, and which to doubt",
		Long: `fit holds the readings against the light model and against each other: the gain of
each channel and what that says, the bias of the meter, how far and wide the light
departs smoothly from the model, and for every reading what all others and the model
expect the meter to show. A reading over three standard deviations off is doubtful, and
the slip that explains it best is named; one that nothing agrees with is set aside.

--picture draws predicted against measured.`,
		Example: `  dayloom fit quay-street/plan.yaml
  dayloom fit quay-street/plan.yaml --picture fit.png`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.Flags().StringVar(&file, "picture", "", "draw predicted against measured to this file, .png or .svg")
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(file), "."))
		if file != "" && !slices.Contains(picture.Formats, ending) {
			return usageError("--picture %s: the name must end in .%s", file, strings.Join(picture.Formats, " or ."))
		}
		p, err := w.load(args[0])
		if err != nil {
			return err
		}
		if p.Readings == nil {
			return &failure{code: exitFile, message: p.File + ": the plan has no readings, so there is nothing to fit", hint: "dayloom survey says where to measure; then add readings: readings.csv to the plan"}
		}
		field, err := w.survey(p)
		if err != nil {
			return err
		}
		judged := readings.Judge(p, field)
		if err := report.Write(w.stdout, *format, report.NewFit(p, field, judged)); err != nil || file == "" {
			return err
		}
		err = w.writeOne(file, 0, func(out io.Writer) error { return picture.WriteAgreement(out, ending, agreement(p, judged)) }, "choose a place that you may write to")
		if err == nil {
			w.note("wrote %s", file)
		}
		return err
	}
	return cmd
}

// agreement sorts the readings by channel; those with several lit are one more.
func agreement(p *plan.Plan, judged []readings.Judged) picture.Agreement {
	series := make([]picture.Series, len(p.Channels)+1)
	for i, c := range p.Channels {
		series[i].Name = c.Name
	}
	series[len(p.Channels)].Name = "several lit, or none"
	for _, j := range judged {
		if j.Unused != "" {
			continue
		}
		at := len(p.Channels)
		if len(j.Lit) == 1 {
			at = j.Lit[0].Channel
		}
		series[at].Points = append(series[at].Points, picture.Agreed{Read: j.PPFD, Expected: j.Expected.Value, SD: j.Expected.SD,
			Marked: j.Outlier, Label: fmt.Sprintf("line %d", j.Line)})
	}
	series = slices.DeleteFunc(series, func(s picture.Series) bool { return len(s.Points) == 0 })
	return picture.Agreement{Title: p.Name, Subtitle: "what was measured against what all other readings and the model predict; bars: two standard deviations either way", Series: series}
}
