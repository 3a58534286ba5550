package job

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"path/filepath"
	"sync"
	"time"

	"dayloom/schedule/balance"
	"dayloom/schedule/balance/writeback"
	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/calendar/acclimate/balanced"
	"dayloom/schedule/calendar/cutting"
	"dayloom/schedule/calendar/journal"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/planfile"
	"dayloom/schedule/text/diag"
)

// JournalName is the file beside the plan that keeps what happened.
const JournalName = "journal.yaml"

// solveTime bounds balance; levels that must be zero or at least the least light are a search.
const solveTime = 10 * time.Second

// Question is which plan to open, and how.
type Question struct {
	File string
	// Read opens the plan, its journal and every file that it names, with a limit of its own;
	// the error of a file that is not there is fs.ErrNotExist.
	Read func(path string) ([]byte, error)
	// Alter gives the plan altered after reading; nil: as it was read.
	Alter func(*plan.Plan) (*plan.Plan, error)
	// Until is the last date of which arrivals are known, for one who asks of that date
	// alone; nil or a zero date: all.
	Until func(*plan.Plan) (plan.Date, error)
	// Light works out the light of the plan, for one who has it already; nil: Light.
	Light func(*plan.Plan) (light.Field, diag.List, error)
}

// Problems are what the stages say of a plan, warnings too.
type Problems struct{ Plan, Light, Journal, Balance diag.List }

// Job is an open plan.
type Job struct {
	Read      *plan.Plan      // as it was read and altered
	Plan      *plan.Plan      // the same with what was auto found
	Found     *balance.Answer // what balance made of it; nil: nothing is auto
	Field     light.Field     // the light of all channels, at its corals and anywhere
	Journal   []journal.Entry // as in the file beside the plan
	Programme *acclimate.Programme
	Book      *calendar.Book
	Cut       *cutting.Cutting // what the tables play, where controllers are keyed in; nil: every date its own day
	Problems  Problems
	Hears     func(plan.Date) // of each date that is played, in any order and from several goroutines; nil: nobody
}

// Read reads and checks a plan. The Job is never nil, here and below, and holds as much as
// was got, with its problems.
func Read(q Question) (*Job, error) {
	j := &Job{}
	p, problems := planfile.Load(q.Read, q.File)
	j.Problems.Plan = problems
	if p == nil {
		return j, fmt.Errorf("%s: %s; nothing was done", q.File, diag.Count(problems.Count(diag.Error), "error"))
	}
	if q.Alter != nil {
		var err error
		if p, err = q.Alter(p); err != nil {
			return j, err
		}
	}
	j.Read, j.Plan = p, p
	return j, nil
}

// Light works out the light at every coral and area; of a plan whose racks were moved after reading,
// with what the readings taught of it as it was.
func Light(p *plan.Plan) (light.Field, diag.List, error) {
	read := p
	if p.AsRead != nil {
		read = p.AsRead
	}
	f, problems := light.Dated(read, Ages(read))
	if p.AsRead != nil && !problems.HasErrors() {
		f, problems = f.Carried(p)
	}
	if problems.HasErrors() {
		return f, problems, fmt.Errorf("%s: the light at the corals is not known; nothing was done", p.File)
	}
	return f, problems, nil
}

// Open reads a plan and its journal, works out the light, finds what is auto and opens
// the calendar with the acclimation over it.
func Open(ctx context.Context, q Question) (*Job, error) {
	var until plan.Date
	dated := q
	dated.Alter = func(p *plan.Plan) (*plan.Plan, error) {
		var err error
		if q.Alter != nil {
			if p, err = q.Alter(p); err != nil {
				return nil, err
			}
		}
		if q.Until != nil {
			until, err = q.Until(p)
		}
		return p, err
	}
	j, err := Read(dated)
	if err != nil {
		return j, err
	}
	survey := q.Light
	if survey == nil {
		survey = Light
	}
	if j.Field, j.Problems.Light, err = survey(j.Read); err != nil {
		return j, err
	}
	if j.Journal, j.Problems.Journal, err = ReadJournal(q.Read, q.File); err != nil {
		return j, err
	}
	if err := j.Find(ctx); err != nil {
		return j, err
	}
	j.Programme = j.After(j.Journal, until)
	j.Book = j.Programme.Book()
	return j, nil
}

// JournalPath is where the journal of a plan file stands.
func JournalPath(planFile string) string { return filepath.Join(filepath.Dir(planFile), JournalName) }

// ReadJournal reads the journal beside a plan; none is fine.
func ReadJournal(read func(string) ([]byte, error), planFile string) ([]journal.Entry, diag.List, error) {
	path := JournalPath(planFile)
	b, err := read(path)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, nil, nil
	case err != nil:
		return nil, nil, err
	}
	entries, problems := journal.Read(path, b)
	if problems.HasErrors() {
		return nil, problems, fmt.Errorf("%s: %s; nothing was done", path, diag.Count(problems.Count(diag.Error), "error"))
	}
	return entries, problems, nil
}

// Find works out the auto peaks and hours of the plan's usual day, for lamps as new as
// the plan says. The day of a date may differ by season, age or a rule, and has its own verdict.
func (j *Job) Find(ctx context.Context) error {
	if !writeback.Open(j.Read) {
		return nil
	}
	a, problems := Balanced(ctx, j.Read, j.Field, balance.Options{Age: AgeAtStart(j.Read), From: writeback.Peaks(j.Read)})
	j.Problems.Balance = problems
	if problems.HasErrors() {
		return fmt.Errorf("%s: %s in balancing what is auto", j.Read.File, diag.Count(problems.Count(diag.Error), "error"))
	}
	j.Found, j.Plan = &a, balance.Found(j.Read, a)
	return nil
}

// Balanced is balance's answer with the time that every command gives it.
func Balanced(ctx context.Context, p *plan.Plan, f light.Field, o balance.Options) (balance.Answer, diag.List) {
	ctx, cancel := context.WithTimeout(ctx, solveTime)
	defer cancel()
	return balance.Solve(ctx, p, f, o)
}

// After is the programme with a journal, of arrivals up to a date; zero: all.
func (j *Job) After(entries []journal.Entry, until plan.Date) *acclimate.Programme {
	return acclimate.New(j.Plan, j.Field, acclimate.Options{Journal: entries, Until: until, Solver: balanced.Solver(context.Background())})
}

// AgeAtStart is what the hours already run have left of each channel.
func AgeAtStart(p *plan.Plan) []float64 {
	age := make([]float64, len(p.Channels))
	for i, c := range p.Channels {
		age[i] = 1
		if len(c.Ageing) > 0 && c.Installed.IsZero() {
			age[i] = calendar.Share(c.Ageing, c.HoursRun)
		}
	}
	return age
}

// Ages tells what the hours run by a date have left of each channel; the calendar is opened
// once, when a date is first asked for.
func Ages(p *plan.Plan) func(plan.Date) []float64 {
	book := sync.OnceValue(func() *calendar.Book {
		book, _ := calendar.New(p)
		return book
	})
	return func(d plan.Date) []float64 { return book().On(d).Age }
}
