package main

import (
	"fmt"
	"math"

	"github.com/spf13/cobra"

	"dayloom/exporters/job"
	"dayloom/exporters/playback"
	"dayloom/exporters/report"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
)

func verifyCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "verify TIMETABLE PLAN",
		Short: "Play a written timetable and compare it with what the plan asks",
		Long: `verify reads back what compile wrote, plays its points through the plan's ports as the
controllers would, through ramps, responses and cut-ins, and integrates the light in
closed form. It takes timetable.json; timetable.csv; grid.csv, as a device that keeps each
row until the next; and outlets.cron, for its outlets alone. For each coral it prints the
daily light integral planned and played, for each port how far it differs from its curve,
and wherever the file says other things of ports and clock than the plan does.
Without a date it plays every date that compile judged.

It ends with code 3 when the timetable is not faithful: a coral's DLI differs by more than 1 %, a
band's dose by 2 %, moonlight by 10 %, or a port's light further from its curve than the
file claims, by more than a step of its command and of its time; and when it is faithful,
but what the plan asks misses a target or limit. On dates that a rule, the season or a
programme makes other than usual only limits are judged. compile ends with the same code.

With --year, or --from and --to, every date is played, and besides it checks that no
coral's DLI, peak PPFD or violet dose rises by more than step_max over the most it had in
the 7 days before.`,
		Example: `  dayloom verify out/timetable.json quay-street/plan.yaml
  dayloom verify out/timetable.csv quay-street/plan.yaml --date 2027-03-28
  dayloom verify out/timetable.json quay-street/plan.yaml --year
  dayloom verify out/grid.csv quay-street/plan.yaml`,
		Args: exactly("TIMETABLE", "PLAN"),
	}
	date := dateFlag(cmd, "date", "the date to play (default: the timetable's first)")
	year := cmd.Flags().Bool("year", false, "play every date: a year from the timetable's first, or as far as it goes")
	from := dateFlag(cmd, "from", "first date of a range to play (default: the timetable's first)")
	to := dateFlag(cmd, "to", "last date of a range to play (default: the timetable's last, at most a year on)")
	format := formatFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		ranged := *year || *from != "" || *to != ""
		if ranged && *date != "" {
			return usageError("--date plays one date: leave out --year, --from and --to")
		}
		open, err := readBack(args[0])
		if err != nil {
			return err
		}
		j, err := w.job(args[1])
		if err != nil {
			return err
		}
		file, differences, err := open.timetable(j.Plan)
		if err != nil {
			return err
		}
		if file.PlanHash != "" && file.PlanHash != j.Plan.Hash {
			w.note("warning: %s was made from another state of the plan; it is held against the plan as it is now", args[0])
		}
		if _, last := file.Covers(); file.Unended && !last.IsZero() {
			w.note("nothing in %s says that it ends with %v, as timetable.json does and timetable.csv as it was written: later dates that were lost are not missed", args[0], last)
		}
		if j, err = w.uncut(file, j); err != nil {
			return err
		}
		if ranged && open.kind == crontabFile {
			return usageError("outlets.cron is played one date at a time: use --date")
		}
		if ranged {
			return w.playRange(file, differences, j, *from, *to, *format)
		}
		first, last := job.Judged(file)
		if *date != "" {
			if first, err = w.dateOr(*date, j.Plan); err != nil {
				return err
			}
			last = first
		}
		if first != last && open.kind != crontabFile {
			return w.playDates(file, differences, j, first, last, *format)
		}
		w.early(j.Plan, first)
		if open.kind == crontabFile {
			return w.playSwitched(file, j.On(first), *format)
		}
		a := j.Asked(first, file.Claimed())
		result, err := playback.Play(file, j.Plan, a)
		if err != nil {
			return fileError(err, "name a date that the timetable covers, or compile for more dates")
		}
		r := report.NewVerified(j.Plan, result, differences)
		if !r.Faithful {
			r.Advice = advice(j, differences, []plan.Date{first}, "compile the plan again")
		}
		if r.Colour, err = playedColour(j, a, result); err != nil {
			return err
		}
		if err := w.report(*format, r); err != nil {
			return err
		}
		if !r.Faithful || !r.Met {
			return unmet()
		}
		return nil
	}
	return cmd
}

// advice is what to do about a timetable that differs from its plan, or is not faithful on some dates: what is said in
// general, but where compiling again does not help on one of the first, what would.
func advice(j *job.Job, differences []string, unfaithful []plan.Date, general string) string {
	if len(differences) == 0 {
		for _, date := range unfaithful[:min(len(unfaithful), 3)] { // each is compiled again
			if short := j.Short(date); short != "" {
				return short
			}
		}
	}
	return general
}

// uncut chooses the tables of the file's dates again, for controllers that are keyed in, and holds what they
// cost against what the file says.
func (w world) uncut(file timetable.File, j *job.Job) (*job.Job, error) {
	j = j.CutInto(file.Covers())
	switch {
	case j.Cut == nil && file.Cost != nil:
		return j, &failure{code: exitUnmet, message: "the timetable has few tables a year, and no controller of the plan asks for that", hint: "compile the plan again, or give tables_per_year"}
	case j.Cut == nil:
		return j, nil
	case file.Cost != nil && math.Abs(j.Cut.Greatest) > *file.Cost+1e-6:
		return j, &failure{code: exitUnmet, message: fmt.Sprintf("its tables are off their dates' own light by %.2f %%, which is more than the timetable says", 100*math.Abs(j.Cut.Greatest)), hint: "compile the plan again"}
	}
	w.note("held against the day that each table is made for; a coral's DLI differs from its own date's by at most %.1f %%, as the timetable says", 100*math.Abs(j.Cut.Greatest))
	return j, nil
}

// playSwitched plays the outlets of a crontab, which has nothing else.
func (w world) playSwitched(file timetable.File, d job.Dated, format string) error {
	result, err := playback.PlaySwitched(file, d.Plan, d.Day)
	if err != nil {
		return fileError(err, "name a date that the crontab is for")
	}
	if len(result.Ports)+len(result.Missing) == 0 {
		return &failure{code: exitFile, message: "its outlets only feed dimmed lamps, of which a crontab says nothing", hint: "verify the timetable.json beside it, which has both"}
	}
	r := report.NewSwitched(d.Plan, result)
	if err := w.report(format, r); err != nil {
		return err
	}
	if !r.Kept {
		return unmet()
	}
	return nil
}

// playRange plays every date of a range and watches the rises.
func (w world) playRange(file timetable.File, differences []string, j *job.Job, from, to, format string) error {
	first, last, err := w.window(j, from, to)
	if err != nil {
		return err
	}
	if first.IsZero() {
		first, _ = file.Covers()
	}
	if last.IsZero() {
		last = first.AddDays(364)
		if _, end := file.Covers(); !end.IsZero() && end.Before(last) {
			last = end
		}
	}
	if last.Before(first) {
		return usageError("the range is empty: the timetable covers %s", playback.Covers(file))
	}
	return w.playDates(file, differences, j, first, last, format)
}

// play plays every date of a range, and tells how that goes.
func (w world) play(j *job.Job, file timetable.File, first, last plan.Date) (playback.RangeResult, error) {
	heard := *j
	heard.Hears = w.busy.dates("playing", first, last)
	return heard.Play(file, first, last)
}

func (w world) playDates(file timetable.File, differences []string, j *job.Job, first, last plan.Date, format string) error {
	w.early(j.Plan, first)
	result, err := w.play(j, file, first, last)
	if err != nil {
		return fileError(err, "name dates that the timetable covers, or compile for more dates")
	}
	r := report.NewPlayed(j.Plan, result, differences)
	if !r.Faithful {
		r.Advice = advice(j, differences, result.Unfaithful, "compile the plan again")
	}
	drifts, err := j.Drifts(sparse(first, last))
	if err != nil {
		return err
	}
	r.Colour = report.NewColourDrift(drifts)
	if err := w.report(format, r); err != nil {
		return err
	}
	if !r.Faithful || !r.Met || !r.Gentle {
		return unmet()
	}
	return nil
}
