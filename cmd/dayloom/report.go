package main

import (
	"path/filepath"
	"runtime/debug"
	"strings"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"

	"dayloom/exporters/page"
)

func reportCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "report PLAN -o FILE",
		Short: "Write one page to keep: light, tank, day, ports, year, faults, colour",
		Long: `report writes one HTML file that holds everything: open it in any browser, print it, or
send it. It asks for nothing from outside and needs no scripts. It shows, for one date:
each coral's light against its target; the tank from above and in a section; each zone's
day in the light's own colours; what each port does; the year ahead; what faults would
do; how the light looks; power and circuits; doubts and cautions. Its numbers are those
of dli, compile, drill and colour.

Like dli it ends with code 3 when a target or limit is not met; the file is written all
the same.`,
		Example: `  dayloom report quay-street/plan.yaml -o report.html
  dayloom report quay-street/plan.yaml -o june.html --date 2027-06-01`,
		Args: exactly("PLAN"),
	}
	out := cmd.Flags().StringP("out", "o", "", "the file to write, .html (required)")
	date := dateFlag(cmd, "date", "the date, such as 2027-02-03; --on is the same (default: today in the plan's time zone)")
	cmd.Flags().SetNormalizeFunc(func(_ *pflag.FlagSet, name string) pflag.NormalizedName {
		if name == "on" {
			name = "date"
		}
		return pflag.NormalizedName(name)
	})
	racks := rackFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		w := w
		w.racks = *racks
		return w.page(args[0], *out, *date)
	}
	return cmd
}

func (w world) page(file, out, date string) error {
	switch ending := strings.ToLower(filepath.Ext(out)); {
	case out == "":
		return &failure{code: exitUsage, message: "missing the file to write", hint: "add: -o report.html"}
	case ending != ".html" && ending != ".htm":
		return usageError("-o %s: the name must end in .html", out)
	}
	j, err := w.job(file)
	if err != nil {
		return err
	}
	on, err := w.litOn(date, j.Plan)
	if err != nil {
		return err
	}
	ctx, stop := untilSignal()
	defer stop()
	p, err := page.New(ctx, j, page.Question{Date: on, Version: version(debug.ReadBuildInfo()), Doubts: j.Doubts(on)})
	if err != nil {
		return asFailure(err)
	}
	if err := w.writeOne(out, 0, p.Write, "choose a place that you may write to"); err != nil {
		return err
	}
	w.note("wrote %s: the light of %v", out, on)
	if p.Unmet != "" {
		return unmet()
	}
	return nil
}
