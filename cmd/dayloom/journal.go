package main

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/spf13/cobra"

	"dayloom/exporters/job"
	"dayloom/exporters/report"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
)

func journalCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "journal PLAN",
		Short: "List what was done and seen, or add to it, so that the steps to come follow",
		Long: `journal lists journal.yaml beside the plan; journal add writes one more entry at its
end and never changes what is written. Every command then works out the days from the
entry's date on again; the days before stay as they were.`,
		Example: `  dayloom journal quay-street/plan.yaml
  dayloom journal add quay-street/plan.yaml --coral staghorn-b --do "hold 7 days" \
      --note "tips are pale"`,
		Args: exactly("PLAN"),
	}
	format := formatFlag(cmd)
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		p, err := w.load(args[0])
		if err != nil {
			return err
		}
		entries, err := w.journal(args[0])
		if err != nil {
			return err
		}
		return w.report(*format, report.NewJournal(p, job.JournalPath(args[0]), entries))
	}
	cmd.AddCommand(journalAddCommand(w), journalUndoCommand(w))
	return cmd
}

// entryFlags are the flags of journal add as written.
type entryFlags struct {
	coral, do, date, note, x, y, depth, zone, from, to string
	racks                                              []string
}

func journalAddCommand(w world) *cobra.Command {
	var f entryFlags
	cmd := &cobra.Command{
		Use:   "add PLAN",
		Short: "Add an entry to the journal",
		Long: `add writes one entry at the end of journal.yaml beside the plan, after checking it.
What can be done:

  hold 7 days     the coral's light stays as it is; its steps come that much later
  back one step   one step down on the date, then up again at the usual interval
  moved           it is now at --x, --y, --depth, in another zone with --zone
  reading 180     what the meter showed at its brightest moment, µmol/m²/s
  outage 3 days   the tank was dark; light is back on the date (leave out --coral)
  note            only --note is written

With --rack main=x+60cm --from 14:00 --to 15:30 in place of --do, a rack hung elsewhere
for a while: that day's light counts both places, the timetables stay as they are.`,
		Example: `  dayloom journal add quay-street/plan.yaml --coral staghorn-b --do "back one step"
  dayloom journal add quay-street/plan.yaml --coral staghorn-b --do moved --x 40cm --y 30cm \
      --depth 20cm
  dayloom journal add quay-street/plan.yaml --rack main=x+60cm --from 14:00 --to 15:30`,
		Args: exactly("PLAN"),
	}
	flags := cmd.Flags()
	flags.StringVar(&f.coral, "coral", "", "the coral concerned")
	flags.StringVar(&f.do, "do", "note", `what was done, such as "hold 7 days"`)
	flags.StringVar(&f.date, "date", "", "the date it acts from (default: today in the plan's time zone)")
	flags.StringVar(&f.note, "note", "", "remarks")
	flags.StringVar(&f.x, "x", "", "with moved: from the left end, such as 40cm")
	flags.StringVar(&f.y, "y", "", "with moved: from the front glass")
	flags.StringVar(&f.depth, "depth", "", "with moved: below the surface")
	flags.StringVar(&f.zone, "zone", "", "with moved: its zone from then on (default: as before)")
	flags.StringSliceVar(&f.racks, "rack", nil, "a rack that hung elsewhere, such as main=x+60cm or main=height+5cm")
	flags.StringVar(&f.from, "from", "", "with --rack: the time from which on it did, such as 14:00")
	flags.StringVar(&f.to, "to", "", "with --rack: the time until which it did")
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if f.racks != nil && flags.Changed("do") {
			return usageError("--do does not go with --rack; give one of them")
		}
		return w.addEntry(args[0], f)
	}
	return cmd
}

func (w world) addEntry(file string, f entryFlags) error {
	j, err := w.opened(w.question(file))
	if err != nil {
		return err
	}
	e, err := w.entry(j.Plan, f)
	if err != nil {
		return err
	}
	path := job.JournalPath(file)
	var added []byte
	err = w.add(path, journal.MaxBytes, func(old []byte) ([]byte, error) {
		if added, err = journal.Append(old, e); err != nil {
			return nil, &failure{code: exitFile, message: path + ": " + err.Error() + "; nothing was written"}
		}
		return added[len(old):], nil
	}, "choose a folder that you may write to")
	if err != nil {
		return err
	}
	// What was done is kept even where the programme cannot follow it; then it says so.
	entries, _ := journal.Read(path, added)
	g := j.After(entries, plan.Date{})
	w.problems(slices.DeleteFunc(slices.Clone(g.Problems), func(p diag.Problem) bool {
		return p.Place.File != path || p.Place.Line != entries[len(entries)-1].At.Line
	}), func(string) []byte { return added })
	fmt.Fprintf(w.stdout, "added to %s: %s\n", path, report.Entry(e))
	if today := w.today(j.Plan); e.Date.Before(today) && e.Do != journal.Note {
		w.note("warning: it is dated before today, %v: the days since then are worked out again too", today)
	}
	if n := g.Problems.Count(diag.Error); n > j.Programme.Problems.Count(diag.Error) {
		w.note("warning: the programme is now refused for %s; see: dayloom acclimate %s", diag.Count(n, "reason"), file)
	} else if e.Do != journal.Note {
		w.note("next: dayloom acclimate %s, then compile again from %v", file, e.Date)
	}
	return nil
}

// entry reads the flags.
func (w world) entry(p *plan.Plan, f entryFlags) (journal.Entry, error) {
	date, err := w.dateOr(f.date, p)
	if err != nil {
		return journal.Entry{}, err
	}
	if f.racks != nil || f.from != "" || f.to != "" {
		return aside(p, date, f)
	}
	e, err := journal.Today(date, f.coral, f.do, f.note)
	if err != nil {
		return e, usageError("--do %v", err)
	}
	if e.Zone = f.zone; e.Zone != "" {
		if e.Do != journal.Moved {
			return e, usageError("--zone goes with --do moved")
		}
		if !slices.ContainsFunc(p.Zones, func(z plan.Zone) bool { return z.Name == e.Zone }) {
			return e, usageError("the plan has no zone %s", e.Zone)
		}
	}
	var names []string
	for _, c := range p.Corals {
		names = append(names, c.Name)
	}
	if f.coral != "" && !slices.Contains(names, f.coral) {
		return e, &failure{code: exitUsage, message: "the plan has no coral " + f.coral,
			hint: strings.TrimSpace(diag.DidYouMean(f.coral, names) + " corals of the plan: " + diag.Words(names))}
	}
	zone := slices.IndexFunc(p.Zones, func(z plan.Zone) bool { return z.Name == f.zone })
	if i := slices.Index(names, f.coral); zone < 0 && i >= 0 {
		zone = p.Corals[i].Zone
	}
	zone = max(zone, 0)
	for i, side := range []struct{ name, text string }{{"x", f.x}, {"y", f.y}, {"depth", f.depth}} {
		switch {
		case e.Do != journal.Moved && side.text != "":
			return e, usageError("--%s goes with --do moved", side.name)
		case e.Do != journal.Moved:
		case side.text == "":
			return e, usageError("--do moved needs --x, --y and --depth; --%s is missing", side.name)
		default:
			box := p.TankAt(p.Zones[zone].Tank).Box
			most := []float64{box.Length, box.Width, box.Depth}[i]
			if e.To[i], err = quantity.Length.Parse(side.text); err != nil {
				return e, usageError("--%s: %s", side.name, err)
			}
			if e.To[i] < 0 || e.To[i] > most {
				return e, usageError("--%s %s is outside the tank: from 0 to %s", side.name, side.text, quantity.Length.Format(most))
			}
		}
	}
	return e, nil
}

// aside reads the flags of a rack that hung elsewhere for a while.
func aside(p *plan.Plan, date plan.Date, f entryFlags) (journal.Entry, error) {
	e := journal.Entry{Date: date, Do: journal.Aside, Remarks: f.note, Hung: [3]float64{math.NaN(), math.NaN(), math.NaN()}}
	switch {
	case f.racks == nil:
		return e, usageError("--from and --to go with --rack; dates are given by --date")
	case f.coral+f.x+f.y+f.depth+f.zone != "":
		return e, usageError("a rack is not one coral's: leave --coral, --x, --y, --depth and --zone out; --rack says where it hung")
	}
	for i, t := range []struct{ name, text string }{{"from", f.from}, {"to", f.to}} {
		var err error
		if e.Times[i], err = quantity.TimeOfDay(t.text); err != nil {
			return e, usageError("--rack needs --from and --to, such as --from 14:00 --to 15:30; --%s: %v", t.name, err)
		}
	}
	if !(e.Times[0] < e.Times[1]) {
		return e, usageError("the rack is back before it is moved: --to must be later than --from, on the same day")
	}
	was := p
	for k, text := range f.racks {
		q, rack, err := pushed(p, text)
		if err != nil {
			return e, err
		}
		if k > 0 && p.Racks[rack].Name != e.Rack {
			return e, usageError("one entry is about one rack: add %s by a command of its own", p.Racks[rack].Name)
		}
		e.Rack, p = p.Racks[rack].Name, q
		before, now := was.Racks[rack], q.Racks[rack]
		for i, at := range [][2]float64{{before.At[0], now.At[0]}, {before.At[1], now.At[1]}, {before.Height, now.Height}} {
			if at[0] != at[1] {
				e.Hung[i] = math.Round(at[1]*1e6) / 1e6
			}
		}
	}
	if slices.IndexFunc(e.Hung[:], func(x float64) bool { return !math.IsNaN(x) }) < 0 {
		return e, usageError("--rack: the rack is not moved; give by how much, such as main=x+60cm")
	}
	return e, nil
}
