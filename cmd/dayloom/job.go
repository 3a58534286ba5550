package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"dayloom/exporters/compile"
	"dayloom/exporters/files"
	"dayloom/exporters/job"
	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
)

// readFile reads a plan, its journal, or a file that one names.
func readFile(path string) ([]byte, error) {
	if filepath.Base(path) == job.JournalName {
		return files.Read(path, journal.MaxBytes)
	}
	return files.Read(path, planfile.MaxFile)
}

// source gives the text of a file for quoting it under a message, nil when it is gone.
func source(path string) []byte {
	b, _ := readFile(path)
	return b
}

// question asks for a plan as the flags have it.
func (w world) question(file string) job.Question {
	return job.Question{File: file, Read: readFile, Alter: w.moved}
}

// job opens a plan, for all dates.
func (w world) job(file string) (*job.Job, error) { return w.jobUntil(file, nil) }

// jobUntil is a job that knows of no arrivals after a date as a flag gives it, for
// commands that tell of one date alone; nil: all arrivals.
func (w world) jobUntil(file string, date *string) (*job.Job, error) {
	q := w.question(file)
	if date != nil {
		q.Until = func(p *plan.Plan) (plan.Date, error) { return w.dateOr(*date, p) }
	}
	j, err := w.opened(q)
	if err == nil {
		w.problems(only(diag.Error, j.Programme.Problems), source) // compile and acclimate show its warnings too
	}
	return j, err
}

// wired is a job whose plan has somebody to tell.
func (w world) wired(file string) (*job.Job, error) {
	j, err := w.job(file)
	if err == nil {
		err = portless(j)
	}
	return j, err
}

// opened is an open plan, told of; what its programme complains of is not shown yet.
func (w world) opened(q job.Question) (*job.Job, error) {
	if err := there(q.File); err != nil {
		return nil, err
	}
	j, err := job.Open(context.Background(), q)
	return j, w.told(q.File, j, err)
}

// light works out the light at every coral, telling what is doubtful.
func (w world) light(p *plan.Plan) (light.Field, error) {
	f, problems, err := job.Light(p)
	w.problems(problems, source)
	return f, asFailure(err)
}

// load reads and checks a plan, prints its errors, and fails when it cannot be used.
func (w world) load(file string) (*plan.Plan, error) {
	if err := there(file); err != nil {
		return nil, err
	}
	j, err := job.Read(w.question(file))
	return j.Plan, w.told(file, j, err)
}

func there(file string) error {
	if _, err := os.Stat(file); err != nil {
		return fileError(err, "a plan is made by: dayloom new DIR")
	}
	return nil
}

// told prints what the stages of opening said. The levels that were found it tells because
// they then stand nowhere in the plan.
func (w world) told(file string, j *job.Job, err error) error {
	w.problems(only(diag.Error, j.Problems.Plan), source)
	if n := j.Problems.Plan.Count(diag.Warning); n > 0 {
		w.note("%s: %s; see them with: dayloom check %s", file, diag.Count(n, "warning"), file)
	}
	for _, l := range []diag.List{j.Problems.Light, j.Problems.Journal, j.Problems.Balance} {
		w.problems(l, source)
	}
	if j.Found != nil {
		w.note(`levels found for "peak: auto": %s; on the usual day %s`, levels(*j.Found), verdict(j))
	}
	return asFailure(err)
}

// asFailure is an error of a plan or its files.
func asFailure(err error) error {
	if known := (*failure)(nil); err == nil || errors.As(err, &known) {
		return err
	}
	return fileError(err, "")
}

// journal reads the journal beside a plan, and tells what is wrong with it.
func (w world) journal(file string) ([]journal.Entry, error) {
	entries, problems, err := job.ReadJournal(readFile, file)
	w.problems(problems, source)
	return entries, asFailure(err)
}

// portless fails when no port is there to be told anything.
func portless(j *job.Job) error {
	for _, c := range j.Plan.Controllers {
		if len(c.Ports) > 0 {
			return nil
		}
	}
	return &failure{code: exitFile, message: j.Plan.File + ": the plan has no controller with a port, so there is nobody to tell; nothing was done",
		hint: "add controllers: with ports: to the plan; the starter plan shows how"}
}

// refused fails when the programme should not be run on all of some dates, and says on which it may.
func refused(j *job.Job, spans []compile.Span) error {
	dates := calendar.Span{spans[0].From, spans[len(spans)-1].To}
	if dates[1].IsZero() {
		dates[1] = dates[0] // an open-ended table is that of its first date
	}
	against, left := j.Programme.Refused(dates)
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
	return &failure{code: exitFile, message: fmt.Sprintf("%s: %v: the programme is refused for %s; nothing was written", j.Plan.File, dates, diag.Count(len(against), "reason")), hint: hint}
}

// only lists the problems of one severity.
func only(s diag.Severity, l diag.List) diag.List {
	return slices.DeleteFunc(slices.Clone(l), func(p diag.Problem) bool { return p.Severity != s })
}
