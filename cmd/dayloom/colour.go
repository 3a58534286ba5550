package main

import (
	"io"
	"path/filepath"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/job"
	"dayloom/exporters/picture"
	"dayloom/exporters/playback"
	"dayloom/exporters/report"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

// colourFlags are the flags of colour as written.
type colourFlags struct{ date, at, coral, picture, format string }

func colourCommand(w world) *cobra.Command {
	var f colourFlags
	cmd := &cobra.Command{
		Use:   "colour PLAN",
		Short: "Tell how the light looks at each coral: colour, rendering, what glows",
		Long: `colour adds up the spectra of all channels at each coral, after the water on their
own way there, as strong as dli says, and tells how the mix looks: chromaticity x, y and
u′, v′ (CIE 1931, 2°); colour temperature and its distance Duv from the black body, where
there is one (CIE 15); colour rendering Ra and R1-R14 (CIE 13.3) and fidelity Rf
(CIE 224), where they hold; the shares of the photons by band, and of those that excite
published coral pigments; a swatch for the screen (sRGB); and how far the colour moves
over the day and as the lamps age.

--picture draws the day at each coral in the light's own colours.`,
		Example: `  dayloom colour quay-street/plan.yaml
  dayloom colour quay-street/plan.yaml --at 19:30 --coral staghorn-a
  dayloom colour quay-street/plan.yaml --picture day.png`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.Flags().StringVar(&f.date, "date", "", "the date, such as 2027-02-03 (default: today in the plan's time zone)")
	cmd.Flags().StringVar(&f.at, "at", "peaks", "the moment: a time of day such as 19:30, or peaks: all channels at their peak levels")
	cmd.Flags().StringVar(&f.coral, "coral", "", "this coral alone")
	cmd.Flags().StringVar(&f.picture, "picture", "", "draw the colours of the day to this file, .png or .svg")
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		f.format = *format
		return w.colour(args[0], f)
	}
	return cmd
}

func (w world) colour(file string, f colourFlags) error {
	ending := strings.ToLower(strings.TrimPrefix(filepath.Ext(f.picture), "."))
	if f.picture != "" && !slices.Contains(picture.Formats, ending) {
		return usageError("--picture %s: the name must end in .%s", f.picture, strings.Join(picture.Formats, " or ."))
	}
	moment := 0.0
	if f.at != "peaks" {
		var err error
		if moment, err = quantity.TimeOfDay(f.at); err != nil {
			return usageError("--at: %s; or write peaks", err)
		}
	}
	j, err := w.jobUntil(file, &f.date)
	if err != nil {
		return err
	}
	date, err := w.litOn(f.date, j.Plan)
	if err != nil {
		return err
	}
	d := j.On(date)
	second := -1.0 // of peaks: where racks hang all day
	if f.at != "peaks" {
		second = moment
	}
	hung, field, aside := j.Book.On(date).Hung(d.Plan, d.Field, second)
	places, err := mix.At(hung, field)
	if err != nil {
		return fileError(err, "")
	}
	if places, err = chosen(places, f.coral); err != nil {
		return err
	}
	levels := mix.Peaks(d.Day, d.Age)
	if f.at != "peaks" {
		levels = mix.Levels(d.Day, d.Age, moment)
	}
	r := report.NewColour(d.Plan, date, f.at, levels)
	later := j.Book.On(date.AddDays(365)).Age
	for _, pl := range places {
		r = r.Add(d.Plan, pl, pl.Under(levels), report.NewDrift(pl, d.Day, d.Age, later))
	}
	r.Notes = append(r.Notes, d.Notes...)
	if aside {
		r.Notes = append(r.Notes, "a rack is parked aside at other times of this day, which colours and drift leave out: --at with such a time shows them")
	} else if len(d.Field.Asides) > 0 && hung != d.Plan && second >= 0 {
		r.Notes = append(r.Notes, "racks are where they hang at that time, for the whole of the drift over the day")
	}
	if err := w.report(f.format, r); err != nil || f.picture == "" {
		return err
	}
	pic := picture.NewDaylight(d.Plan, d.Day, d.Age, places)
	err = w.writeOne(f.picture, 0, func(out io.Writer) error { return picture.WriteDaylight(out, ending, pic) }, "choose a place that you may write to")
	if err != nil {
		return err
	}
	w.note("wrote %s: the colours of %v", f.picture, date)
	return nil
}

// chosen is one coral of the places, or all.
func chosen(places []mix.Place, name string) ([]mix.Place, error) {
	if name == "" {
		return places, nil
	}
	var names []string
	for _, pl := range places {
		if names = append(names, pl.Name); pl.Name == name {
			return []mix.Place{pl}, nil
		}
	}
	hint := "corals: " + strings.Join(names, ", ")
	if near := diag.Nearest(name, names); near != "" {
		hint = "did you mean " + near + "? " + hint
	}
	return nil, &failure{code: exitUsage, message: "the plan has no coral " + name, hint: hint}
}

// playedColour is how far the colour of a played day moves.
func playedColour(j *job.Job, a playback.Asked, r playback.Result) (*report.PlayedColour, error) {
	d := j.Book.On(r.Date)
	p, f := d.Moved(j.Plan, j.Field)
	p, f, aside := d.Hung(p, f, -1)
	places, err := mix.At(p, f)
	if err != nil {
		return nil, fileError(err, "")
	}
	return report.NewPlayedColour(places, a.Day, a.Age, r.Levels).Without(aside), nil
}

// sparse are every 30th date of a range, and its last: lamps age slowly.
func sparse(first, last plan.Date) (out []plan.Date) {
	for d := first; d.Before(last); d = d.AddDays(30) {
		out = append(out, d)
	}
	return append(out, last)
}
