package main

import (
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/picture"
	"dayloom/exporters/report"
	"dayloom/schedule/light"
	"dayloom/schedule/light/readings"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/planedit"
)

func fitCommand(w world) *cobra.Command {
	var file, port, tank string
	var inPlace bool
	cmd := &cobra.Command{
		Use:   "fit PLAN",
		Short: "Say what the readings tell of the lamps and the meter, and which to doubt",
		Long: `fit holds the readings against the light model and against each other: the gain of
each channel and what that says, the bias of the meter, how far and wide the light
departs smoothly from the model, and for every reading what all others and the model
expect the meter to show. A reading over three standard deviations off is doubtful, and
the slip that explains it best is named; one that nothing agrees with is set aside.

--picture draws predicted against measured. --response takes the light of one port at
several commands, its channel measured alone at one place, and writes the line that says
so in the plan; with --in-place into the plan itself, in place of the port's response.`,
		Example: `  dayloom fit quay-street/plan.yaml
  dayloom fit quay-street/plan.yaml --response dimmers/1
  dayloom fit quay-street/plan.yaml --picture fit.png`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.Flags().StringVar(&file, "picture", "", "draw predicted against measured to this file, .png or .svg")
	cmd.Flags().StringVar(&port, "response", "", "write the response of this port, as controller/port, from its readings at several commands")
	tankFlag(cmd, &tank)
	cmd.Flags().BoolVar(&inPlace, "in-place", false, "with --response: write it into the plan itself, keeping the old one beside it as .bak")
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(file), "."))
		if file != "" && !slices.Contains(picture.Formats, ending) {
			return usageError("--picture %s: the name must end in .%s", file, strings.Join(picture.Formats, " or ."))
		}
		if inPlace && port == "" {
			return usageError("--in-place goes with --response")
		}
		p, err := w.load(args[0])
		if err != nil {
			return err
		}
		if p.Readings == nil {
			return &failure{code: exitFile, message: p.File + ": the plan has no readings, so there is nothing to fit", hint: "dayloom survey says where to measure; then add readings: readings.csv to the plan"}
		}
		if port != "" {
			return w.response(p, port, inPlace)
		}
		field, err := w.light(p)
		if err != nil {
			return err
		}
		if tank != "" || file != "" && p.Several() {
			if p, field, _, err = tanked(p, field, tank); err != nil {
				return err
			}
		}
		judged := readings.Judge(p, field)
		if err := w.report(*format, fitted(p, field, judged, tank)); err != nil || file == "" {
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

// fitted is the report of a tank's fit, or of those of all that were measured.
func fitted(p *plan.Plan, f light.Field, judged []readings.Judged, tank string) report.Report {
	if !p.Several() {
		r := report.NewFit(p, f, judged)
		r.Tank = tank
		return r
	}
	all := report.FitTanks{Plan: p.Name, Tanks: []report.Fit{}}
	for i, t := range p.Tanks {
		q := p.Part(i)
		if own := f.Of(q); q.Readings != nil {
			r := report.NewFit(q.Plan, own, readings.Judge(q.Plan, own))
			r.Tank = t.Name
			all.Tanks = append(all.Tanks, r)
		}
	}
	return all
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

// response prints or writes what the readings say of a port.
func (w world) response(p *plan.Plan, name string, inPlace bool) error {
	controller, port, _ := strings.Cut(name, "/")
	list, err := planfile.Measured(p, controller, port)
	if err != nil {
		return &failure{code: exitFile, message: p.File + ": " + err.Error()}
	}
	path := "controllers." + controller + ".ports." + port + ".response"
	if !inPlace {
		fmt.Fprintf(w.stdout, "# %s\nresponse: %s\n", path, list)
		return nil
	}
	old, err := readFile(p.File)
	if err != nil {
		return fileError(err, "")
	}
	text, err := planedit.List(old, path, list)
	if err != nil {
		return &failure{code: exitFile, message: fmt.Sprintf("%s: %v; nothing was written", p.File, err), hint: "write response: linear at that port first, or paste the line that --response prints"}
	}
	info, err := os.Stat(p.File)
	if err != nil {
		return fileError(err, "")
	}
	_, problems := planfile.Load(func(path string) ([]byte, error) {
		if path == p.File {
			return text, nil
		}
		return readFile(path)
	}, p.File)
	if problems.HasErrors() {
		return &failure{code: exitFile, message: fmt.Sprintf("%s: with that response it could not be read: %v; nothing was written", p.File, only(diag.Error, problems)[0])}
	}
	if err := w.write(filepath.Dir(p.File), withBackup(p.File, old, text, info.Mode()), "nothing was written"); err != nil {
		return err
	}
	w.note("wrote %s: %s %s", p.File, path, list)
	return nil
}
