package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"dayloom/exporters/compile"
	"dayloom/exporters/files"
	"dayloom/schedule/balance"
	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/acclimate/balanced"
	"dayloom/schedule/calendar/cutting"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/text/diag"
)

// journalName is the file beside the plan that keeps what happened.
const journalName = "journal.yaml"

// job is a plan with all that every command after reading needs of it.
type job struct {
	plan      *plan.Plan // with what was auto found
	offColour bool       // what was found breaks a share of the spectrum
	field     light.Field
	programme *acclimate.Programme
	book      *calendar.Book
	cut       *cutting.Cutting // what the tables play, where controllers are keyed in; nil: every date its own day
}

// job loads a plan and its journal, works out the light at its corals, and opens
// its calendar with the acclimation over it.
func (w world) job(file string) (*job, error) { return w.jobUntil(file, nil) }

// jobUntil is a job that knows of no arrivals after a date as a flag gives it, for
// commands that tell of one date alone; nil: all arrivals.
func (w world) jobUntil(file string, date *string) (*job, error) {
	j, err := w.opened(file, date, func(p *plan.Plan) *plan.Plan { return p })
	if err == nil {
		w.problems(only(diag.Error, j.programme.Problems), source) // compile and acclimate show its warnings too
	}
	return j, err
}

// wired is a job whose plan has somebody to tell.
func (w world) wired(file string) (*job, error) {
	j, err := w.job(file)
	if err == nil {
		err = j.portless()
	}
	return j, err
}

// opened is a job on a plan altered after reading; what its programme complains of is
// not shown yet.
func (w world) opened(file string, until *string, alter func(*plan.Plan) *plan.Plan) (*job, error) {
	p, err := w.load(file)
	if err != nil {
		return nil, err
	}
	p = alter(p)
	var last plan.Date
	if until != nil {
		if last, err = w.dateOr(*until, p); err != nil {
			return nil, err
		}
	}
	f, err := w.survey(p)
	if err != nil {
		return nil, err
	}
	entries, err := w.journal(file)
	if err != nil {
		return nil, err
	}
	a, err := w.found(p, f)
	if err != nil {
		return nil, err
	}
	j := &job{plan: balance.Found(p, a), field: f, offColour: offColour(a)}
	j.programme = j.after(entries, last)
	j.book = j.programme.Book()
	return j, nil
}

// after is the programme with a journal, of arrivals up to a date; zero: all.
func (j *job) after(entries []journal.Entry, until plan.Date) *acclimate.Programme {
	return acclimate.New(j.plan, j.field, acclimate.Options{Journal: entries, Until: until, Solver: balanced.Solver(context.Background())})
}

// journal reads the journal beside a plan; none is fine.
func (w world) journal(file string) ([]journal.Entry, error) {
	path := filepath.Join(filepath.Dir(file), journalName)
	b, err := files.Read(path, journal.MaxBytes)
	if os.IsNotExist(err) {
		return nil, nil
	}
	if err != nil {
		return nil, fileError(err, "")
	}
	entries, problems := journal.Read(path, b)
	w.problems(problems, source)
	if problems.HasErrors() {
		return nil, &failure{code: exitFile, message: path + ": " + count(problems.Count(diag.Error), "error") + "; nothing was done"}
	}
	return entries, nil
}

// reminders are what a person has to do in the dates compiled; a year ahead when
// they are open-ended.
func (j *job) reminders(spans []compile.Span) []calendar.Reminder {
	from, to := spans[0].From, spans[len(spans)-1].To
	open := to.IsZero()
	if open {
		to = from.AddDays(365)
	}
	out := append(j.programme.Reminders(from, to), j.book.Reminders(from, to)...)
	if d, by, ok := compile.Outdated(j.plan, spans); ok {
		out = append(out, calendar.Reminder{Date: d, Title: "The clocks change: compile the timetables again",
			Detail: compile.Moved(d, by) + " Compile the plan again and load the new timetables."})
	}
	if !open {
		out = append(out, calendar.Reminder{Date: to, Title: "Last day of the timetables: compile again",
			Detail: "The timetables end today. Compile the plan for the dates after, and load the new timetables."})
	}
	return out
}

// portless fails when no port is there to be told anything.
func (j *job) portless() error {
	for _, c := range j.plan.Controllers {
		if len(c.Ports) > 0 {
			return nil
		}
	}
	return &failure{code: exitFile, message: j.plan.File + ": the plan has no controller with a port, so there is nobody to tell; nothing was done",
		hint: "add controllers: with ports: to the plan; the starter plan shows how"}
}

// refused fails when the programme should not be run on all of some dates, and says on which it may.
func (j *job) refused(spans []compile.Span) error {
	dates := calendar.Span{spans[0].From, spans[len(spans)-1].To}
	if dates[1].IsZero() {
		dates[1] = dates[0] // an open-ended table is that of its first date
	}
	against, left := j.programme.Refused(dates)
	if len(against) == 0 {
		return nil
	}
	var free []string
	for _, s := range left {
		free = append(free, fmt.Sprintf("--from %v --to %v", s[0], s[1]))
	}
	hint := "none of these dates may be compiled"
	if free != nil {
		hint = "what may be compiled: " + strings.Join(free, ", or ")
	}
	return &failure{code: exitFile, message: fmt.Sprintf("%s: %v: the programme is refused for %s; nothing was written", j.plan.File, dates, count(len(against), "reason")), hint: hint}
}

// dated is a plan on one date.
type dated struct {
	plan   *plan.Plan // with the corals where they stand
	field  light.Field
	change day.Change // how the date departs from the usual day
	day    day.Day
	age    []float64
	result dose.Result
	notes  []string
}

// on is the plan on a date: where its corals stand, its day, what age has left of
// each channel, and the light of it.
func (j *job) on(date plan.Date) dated {
	d := j.book.On(date)
	p, f := d.Moved(j.plan, j.field)
	out := dated{plan: p, field: f, change: d.Day, day: j.played(date, d), age: d.Age, notes: append(d.Rules, d.Notes...)}
	out.result = dose.Of(p, f, out.day, d.Age).Toward(p, j.programme.Targets(date))
	return out
}

// curves are the curves of every channel on a date, for lowering.
func (j *job) curves(date plan.Date) []curve.Curve {
	return j.played(date, j.book.On(date)).Curves()
}

// played is the day that is to be played on a date.
func (j *job) played(date plan.Date, d calendar.Dated) day.Day {
	if j.cut != nil {
		return j.cut.Day(date)
	}
	return day.Build(j.plan, date, d.Day)
}

// cutInto chooses the tables of some dates for controllers that are keyed in.
func (j *job) cutInto(from, to plan.Date) {
	if cutting.Needed(j.plan) && !to.IsZero() {
		c := cutting.Of(j.plan, j.field, j.programme, from, to)
		j.cut = &c
	}
}

// only lists the problems of one severity.
func only(s diag.Severity, l diag.List) diag.List {
	return slices.DeleteFunc(slices.Clone(l), func(p diag.Problem) bool { return p.Severity != s })
}
