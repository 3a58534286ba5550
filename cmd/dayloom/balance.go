package main

import (
	"context"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"time"

	"github.com/spf13/cobra"

	"dayloom/exporters/files"
	"dayloom/exporters/job"
	"dayloom/exporters/report"
	"dayloom/schedule/balance"
	"dayloom/schedule/balance/cure"
	"dayloom/schedule/balance/writeback"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/day/load"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

type balanceFlags struct {
	all, inPlace         bool
	cures                time.Duration
	sure, write, on, fmt string
}

func balanceCommand(w world) *cobra.Command {
	var f balanceFlags
	cmd := &cobra.Command{
		Use:   "balance PLAN",
		Short: "Find the peaks that meet the targets, or say why none can and what would",
		Long: `balance finds the peak level of every channel that is peak: auto, and the hours of
switched channels with on: auto or off: auto, so that each zone gets its daily light.
Limits of PPFD, power and circuits are never broken. Then every target is to be met
within its tolerance; then come the shares of the spectrum, then the plan's wish
(even levels, unless prefer: says otherwise). When a target cannot be met it proves
how near it can be, names what prevents more, and lists changes that it tried and
that work.`,
		Example: `  dayloom balance quay-street/plan.yaml --all
  dayloom balance quay-street/plan.yaml --sure 90% --write quay-street/balanced.yaml`,
		Args: exactly("PLAN"),
	}
	cmd.Flags().BoolVar(&f.all, "all", false, "take every dimmable channel as auto, whatever peak the plan gives it")
	cmd.Flags().StringVar(&f.sure, "sure", "", "meet the limits on light with this probability, such as 90%")
	cmd.Flags().DurationVar(&f.cures, "cures", 10*time.Second, "how long to look for changes that would meet the targets; 0s: not at all")
	cmd.Flags().StringVar(&f.write, "write", "", "write the found values into a copy of the plan under this name")
	cmd.Flags().BoolVar(&f.inPlace, "in-place", false, "write the found values into the plan itself, keeping the old one beside it as .bak")
	cmd.Flags().StringVar(&f.on, "date", "", "for lamps as old as on this date (default: as old as the plan says they are now)")
	format := formatFlag(cmd)
	racks := rackFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		w := w
		w.racks = *racks
		f.fmt = *format
		return w.balance(args[0], f)
	}
	return cmd
}

func (w world) balance(file string, flags balanceFlags) error {
	if flags.inPlace && flags.write != "" {
		return usageError("--in-place writes into the plan itself and --write %s into a copy: leave one out", flags.write)
	}
	p, opts, err := w.balanceTask(file, flags)
	if err != nil {
		return err
	}
	field, err := w.light(p)
	if err != nil {
		return err
	}
	answer, problems := job.Balanced(context.Background(), p, field, opts)
	w.problems(problems, source)
	if problems.HasErrors() {
		return &failure{code: exitFile, message: file + ": no balance; nothing was written"}
	}
	if !answer.Met && flags.cures > 0 {
		answer.Remedies = w.cures(p, field, opts, answer, flags.cures)
	}
	r := report.NewBalanced(p, answer).With(w.worth(balance.Found(p, answer), field))
	if err := w.report(flags.fmt, r); err != nil {
		return err
	}
	if flags.on == "" {
		w.moonLeftOut(p, field, opts.Age)
	}
	if err := w.writeBalanced(file, p, answer, flags); err != nil {
		return err
	}
	if !answer.Met {
		return unmet()
	}
	return nil
}

// moonLeftOut says what moonlight may add to what was balanced without a date, where that can be seen in a verdict.
func (w world) moonLeftOut(p *plan.Plan, f light.Field, age []float64) {
	const small = 1e-3 // of the target
	dose, most, at := day.FullMoon(p), small, ""
	for i, c := range p.Corals {
		if more := light.DLI(light.Full(f.Corals[i], age), dose) / p.Zones[c.Zone].DLI; more >= most {
			most, at = more, c.Name
		}
	}
	if at != "" {
		w.note("moonlight that follows the moon is left out: a full moon all night adds %.1f %% of the target at %s, where it adds most of all corals; --date counts that of a date", 100*most, at)
	}
}

// worth is what the usual day of a plan with found levels is worth to corals with an Ek.
func (w world) worth(p *plan.Plan, f light.Field) report.DLI {
	if !slices.ContainsFunc(p.Corals, func(c plan.Coral) bool { return c.Ek > 0 }) && !slices.ContainsFunc(p.Zones, func(z plan.Zone) bool { return z.Ek > 0 }) {
		return report.DLI{}
	}
	d := day.Build(p, w.today(p), day.Change{})
	got := dose.Of(p, f, d, nil)
	return report.NewDLI(p, f, d, got, nil, load.Of(p, d)).With(dose.Worths(p, d, day.Change{}, got))
}

// cures looks for changes that meet the targets, and tells how that goes.
func (w world) cures(p *plan.Plan, f light.Field, o balance.Options, a balance.Answer, limit time.Duration) []balance.Remedy {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	list, whole := cure.Find(ctx, p, f, o, a, func(tried int) {
		w.busy.is("looking for changes that work, up to %.0f s, %d tried", limit.Seconds(), tried)
	})
	switch {
	case len(list) == 0 && whole:
		w.note("no cure found: of the changes that balance knows to try, none meets every target")
	case len(list) == 0:
		w.note("no cure found in %v; --cures gives more time", limit)
	case !whole:
		w.note("after %v not all changes were tried; --cures gives more time", limit)
	}
	return list
}

// balanceTask is the plan to balance, and how.
func (w world) balanceTask(file string, flags balanceFlags) (*plan.Plan, balance.Options, error) {
	opts := balance.Options{Cost: true}
	if flags.sure != "" {
		sure, err := quantity.Share.Parse(flags.sure)
		if err != nil {
			return nil, opts, usageError("--sure %s: %s", flags.sure, err)
		}
		opts.Sure = sure
	}
	p, err := w.load(file)
	if err != nil {
		return nil, opts, err
	}
	opts.From = writeback.Peaks(p)
	if flags.all {
		p = writeback.AllAuto(p)
	}
	if !writeback.Open(p) {
		return nil, opts, &failure{code: exitFile, message: file + ": nothing is auto, so there is nothing to find",
			hint: "write peak: auto in the day, or try: dayloom balance " + file + " --all"}
	}
	opts.Age = job.AgeAtStart(p)
	if flags.on != "" {
		date, err := w.litOn(flags.on, p)
		if err != nil {
			return nil, opts, err
		}
		opts.Date, opts.Age = date, job.Ages(p)(date)
	}
	return p, opts, nil
}

// writeBalanced puts what was found into a copy of the plan, or into the plan itself.
func (w world) writeBalanced(file string, p *plan.Plan, a balance.Answer, flags balanceFlags) error {
	if flags.write == "" && !flags.inPlace {
		return nil
	}
	old, err := readFile(file)
	if err != nil {
		return fileError(err, "")
	}
	text, err := writeback.Write(old, p, a)
	if err != nil {
		return fileError(fmt.Errorf("%s: %w; nothing was written", file, err), "")
	}
	info, err := os.Stat(file)
	if err != nil {
		return fileError(err, "")
	}
	to, set := file, withBackup(file, old, text, info.Mode())
	if !flags.inPlace {
		to, set = flags.write, []files.File{{Name: filepath.Base(flags.write), Render: plain(text)}}
		switch there, err := os.Stat(to); {
		case err != nil: // a new copy is no more readable than the plan
			set[0].Mode = info.Mode().Perm()
		case os.SameFile(info, there):
			return usageError("--write would overwrite the plan itself; use --in-place, which keeps a backup")
		}
	}
	if err := w.wouldRead(file, to, text); err != nil {
		return err
	}
	if err := w.write(filepath.Dir(to), set, "nothing was written"); err != nil {
		return err
	}
	w.note("wrote %s", to)
	return nil
}

// withBackup is a plan's new text, and its old one beside it.
func withBackup(file string, old, text []byte, mode fs.FileMode) []files.File {
	return []files.File{{Name: filepath.Base(file) + ".bak", Render: plain(old), Mode: mode.Perm()}, {Name: filepath.Base(file), Render: plain(text)}}
}

// wouldRead fails when a plan written under a name could not be read there, as when the
// files that it names are beside the old one only.
func (w world) wouldRead(file, to string, text []byte) error {
	content := func(path string) ([]byte, error) {
		if path == to {
			return text, nil
		}
		return readFile(path)
	}
	moved := filepath.Dir(absolute(to)) != filepath.Dir(absolute(file))
	q, problems := planfile.Load(content, to)
	if !problems.HasErrors() && writeback.Open(q) {
		return &failure{code: exitFile, message: to + ": something would still be auto; nothing was written"}
	}
	if problems.HasErrors() {
		w.problems(only(diag.Error, problems), func(path string) []byte { b, _ := content(path); return b })
		f := &failure{code: exitFile, message: to + ": the plan could not be read under this name; nothing was written"}
		if moved {
			f.hint = "write it into the folder of " + file + ", where the files are that it names"
		}
		return f
	}
	if _, err := os.Stat(job.JournalPath(file)); moved && err == nil {
		w.note("warning: the journal stays beside %s; %s is read without it", file, to)
	}
	if moved {
		w.note("warning: %s is in another folder than the plan; the files that it names are those beside it", to)
	}
	return nil
}

func absolute(path string) string {
	abs, err := filepath.Abs(path)
	if err != nil {
		return path
	}
	return abs
}

// plain renders bytes as they are.
func plain(b []byte) func(io.Writer) error {
	return func(out io.Writer) error { _, err := out.Write(b); return err }
}
