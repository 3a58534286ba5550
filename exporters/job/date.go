package job

import (
	"reflect"

	"dayloom/exporters/report"
	"dayloom/schedule/calendar"
	"dayloom/schedule/calendar/cutting"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/day/load"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// Dated is a plan on one date.
type Dated struct {
	Date   plan.Date
	Plan   *plan.Plan // with the corals where they stand
	Field  light.Field
	Change day.Change // how the date departs from the usual day
	Day    day.Day
	Age    []float64 // what is left of each channel's new flux
	Result dose.Result
	Notes  []string
	usual  bool // nothing departs from the usual day: neither a rule, a rack nor a change
}

// On is the plan on a date: where its corals stand, its day, what age has left of
// each channel, and the light of it.
func (j *Job) On(date plan.Date) Dated {
	d := j.Book.On(date)
	p, f := d.Moved(j.Plan, j.Field)
	out := Dated{Date: date, Plan: p, Field: f, Change: d.Day, Day: j.played(date, d), Age: d.Age, Notes: append(d.Rules, d.Notes...),
		usual: d.Rule == nil && len(d.Racks) == 0 && reflect.DeepEqual(d.Day, day.Change{})}
	out.Result = dose.Of(p, f, out.Day, d.Age).Toward(p, j.Programme.Targets(date))
	return out
}

// DLI is what `dayloom dli` tells of the date.
func (d Dated) DLI() report.DLI {
	r := report.NewDLI(d.Plan, d.Field, d.Day, d.Result, d.Age, load.Of(d.Plan, d.Day)).
		With(dose.Worths(d.Plan, d.Day, d.Change, d.Result))
	r.Notes = append(r.Notes, d.Notes...)
	return r
}

// Curves are the curves of every channel on a date, for lowering.
func (j *Job) Curves(date plan.Date) []curve.Curve { return j.Day(date).Curves() }

// Day is the day that is to be played on a date.
func (j *Job) Day(date plan.Date) day.Day { return j.played(date, j.Book.On(date)) }

func (j *Job) played(date plan.Date, d calendar.Dated) day.Day {
	if j.Cut != nil {
		return j.Cut.Day(date)
	}
	return day.Build(j.Plan, date, d.Day)
}

// CutInto is the job whose tables are chosen for some dates, where controllers are keyed in.
func (j *Job) CutInto(from, to plan.Date) *Job {
	if !cutting.Needed(j.Plan) || to.IsZero() {
		return j
	}
	out, c := *j, cutting.Of(j.Plan, j.Field, j.Programme, from, to)
	out.Cut = &c
	return &out
}

// Drifts are how far the colours of some dates move.
func (j *Job) Drifts(dates []plan.Date) (mix.Drifts, error) {
	var list []mix.Dated
	var at []mix.Place
	var of *plan.Plan // whose places they are
	var left []plan.Date
	for _, date := range dates {
		d := j.Book.On(date)
		p, f := d.Moved(j.Plan, j.Field)
		p, f, aside := d.Hung(p, f, -1)
		if aside {
			left = append(left, date)
		}
		if p != of {
			var err error
			if at, err = mix.At(p, f); err != nil {
				return mix.Drifts{}, err
			}
			of = p
		}
		list = append(list, mix.Dated{Date: date, Day: j.played(date, d), Age: d.Age, Places: at})
	}
	out := mix.Watch(list)
	out.Left = left
	return out, nil
}
