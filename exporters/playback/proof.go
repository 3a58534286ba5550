package playback

import (
	"dayloom/exporters/timetable"
	"dayloom/schedule/day"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

// Asked is what a plan asks on one date.
type Asked struct {
	Day    day.Day
	Field  light.Field // with the corals where they stand
	Age    []float64   // nil: all new
	Claims Claims      // nil: those of the timetable, or none
	Met    bool        // the day asked for meets targets and limits
}

// Result is a timetable held against a day.
type Result struct {
	Date    plan.Date
	Corals  []Coral
	Ports   []Port
	Missing []string // channels that should give light but have no port
	Met     bool     // what is asked meets targets and limits
	// Levels are those of every channel as played, wherever light may be greatest: at the breaks of the day and at
	// some moments between. Of Play alone.
	Levels [][]float64
}

// Kept reports whether every coral gets what was asked.
func (r Result) Kept() bool { return !anyCoral(r.Corals, func(c Coral) bool { return !c.Kept() }) }

// Faithful reports whether the timetable gives what was asked: to every coral, in every
// band, by night, and at every moment of the day as nearly as it claims.
func (r Result) Faithful() bool {
	for _, p := range r.Ports {
		if !p.Follows() {
			return false
		}
	}
	return r.Kept() && len(r.Missing) == 0
}

// PlaySwitched compares the switched ports of a timetable, which may have no others,
// with the channels of a plan that cannot be dimmed. The result has no corals.
func PlaySwitched(file timetable.File, p *plan.Plan, d day.Day) (Result, error) {
	pl, err := newFilm(file).on(clock.Of(p.Clock), d.Date)
	if err != nil {
		return Result{}, err
	}
	res := Result{Date: d.Date}
	for i, c := range p.Channels {
		got := pl.channel(c.Name)
		if len(got.outputs) == 0 && !c.Dimmable && !d.Channels[i].Curve.Dark() {
			res.Missing = append(res.Missing, c.Name)
		}
		for _, k := range got.outputs {
			if !c.Dimmable {
				res.Ports = append(res.Ports, pl.port(k, Asked{Day: d}, i))
			}
		}
	}
	return res, nil
}

// Play compares a timetable with a day of a plan.
func Play(file timetable.File, p *plan.Plan, a Asked) (Result, error) {
	pl, err := newFilm(file).on(clock.Of(p.Clock), a.Day.Date)
	if err != nil {
		return Result{}, err
	}
	res := pl.judge(p, a)
	res.Levels = pl.moments(pl.channels(p), nil)
	return res, nil
}

func (pl player) judge(p *plan.Plan, a Asked) Result {
	res := Result{Date: a.Day.Date, Met: a.Met}
	got := pl.channels(p)
	for i, c := range p.Channels {
		if len(got[i].outputs) == 0 && !a.Day.Channels[i].Curve.Dark() {
			res.Missing = append(res.Missing, c.Name)
		}
		for _, k := range got[i].outputs {
			res.Ports = append(res.Ports, pl.port(k, a, i))
		}
	}
	spans := a.Field.Spans()
	moments := pl.moments(got, spans)
	a.Day = a.Day.Split(spans)
	a.Field, a.Age = a.Field.Spread(a.Age)
	for i, c := range p.Corals {
		res.Corals = append(res.Corals, pl.coral(p, c, a, i, got, spans, moments))
	}
	return res
}
