package playback

import (
	"errors"
	"math"
	"runtime"
	"sync"

	"dayloom/exporters/timetable"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

// slack is what a rise may exceed its limit by: so much of a day's dose, of its brightest moment and of
// its violet may lowering miss.
var slack = acclimate.Measure{DLI: 0.005, Peak: Allowed, Violet: AllowedBand}

// Question is a range of dates to play.
type Question struct {
	From, To plan.Date                                         // both inclusive
	On       func(date plan.Date) Asked                        // may be called from several goroutines
	Limit    func(coral int, date plan.Date) float64           // largest relative rise
	Before   func(coral int, date plan.Date) float64           // DLI where it stood, while it is not in the tank; 0: it is in the tank
	Usual    func(coral int, date plan.Date) acclimate.Measure // of the usual day; nil: not known
}

// Extreme is a value with its date; the zero Date: there was none.
type Extreme struct {
	Date  plan.Date
	Value float64
}

// CoralRange is one coral over a range of dates.
type CoralRange struct {
	Name        string
	Zone        int
	Least, Most Extreme // delivered DLI, mol m⁻² d⁻¹
	Off         Extreme // greatest departure from the asked DLI, relative, signed
	DaysOff     int     // on which it does not get what was asked
	Rise        Extreme // over the most of the Accustomed days before, relative to it: the greatest for its limit
	RiseOf      string  // "DLI", "peak PPFD" or "violet dose (380-430 nm)"
	Overnight   Extreme // greatest rise of any of the three over the day before
	Limit       float64 // on the date of that rise
	DaysOver    int     // on which the rise exceeds its limit
}

// RangeResult is a timetable played on every date of a range.
type RangeResult struct {
	From, To   plan.Date
	Corals     []CoralRange
	Days       []Result // of each date
	Unfaithful []plan.Date
	Unmet      []plan.Date
}

// Faithful reports whether the timetable gives what was asked on every date.
func (r RangeResult) Faithful() bool { return len(r.Unfaithful) == 0 }

// Met reports whether what is asked meets targets and limits on every date.
func (r RangeResult) Met() bool { return len(r.Unmet) == 0 }

// Kept reports whether every coral gets what was asked on every date.
func (r RangeResult) Kept() bool {
	for _, c := range r.Corals {
		if c.DaysOff > 0 {
			return false
		}
	}
	return true
}

// Gentle reports whether no coral's DLI, peak or violet dose rises by more than its limit.
func (r RangeResult) Gentle() bool {
	for _, c := range r.Corals {
		if c.DaysOver > 0 {
			return false
		}
	}
	return true
}

// PlayRange plays a timetable on every date of a range, and up to Accustomed days
// before it as far as the timetable has them.
func PlayRange(file timetable.File, p *plan.Plan, q Question) (RangeResult, error) {
	start := q.From
	for n := 0; n < acclimate.Accustomed; n++ {
		if _, ok := file.On(start.AddDays(-1)); !ok {
			break
		}
		start = start.AddDays(-1)
	}
	days, err := playDays(file, p, q.On, start, q.To)
	if err != nil {
		return RangeResult{}, err
	}
	out := RangeResult{From: q.From, To: q.To}
	for i, c := range p.Corals {
		r := CoralRange{Name: c.Name, Zone: c.Zone}
		for k := start.DaysUntil(q.From); k < len(days); k++ {
			r.add(q, i, start, days, k)
		}
		out.Corals = append(out.Corals, r)
	}
	out.Days = days[start.DaysUntil(q.From):]
	for _, d := range out.Days {
		if !d.Faithful() {
			out.Unfaithful = append(out.Unfaithful, d.Date)
		}
		if !d.Met {
			out.Unmet = append(out.Unmet, d.Date)
		}
	}
	return out, nil
}

// add takes in the k-th day since start.
func (r *CoralRange) add(q Question, coral int, start plan.Date, days []Result, k int) {
	date := start.AddDays(k)
	if q.Before(coral, date) > 0 {
		return
	}
	day := days[k].Corals[coral]
	got := day.DeliveredDLI
	if r.Least.Date.IsZero() || got < r.Least.Value {
		r.Least = Extreme{date, got}
	}
	if r.Most.Date.IsZero() || got > r.Most.Value {
		r.Most = Extreme{date, got}
	}
	off := day.Departure()
	if math.Abs(off) > math.Abs(r.Off.Value) {
		r.Off = Extreme{date, off}
	}
	if !day.Kept() {
		r.DaysOff++
	}
	var before []acclimate.Measure
	for b := k - acclimate.Accustomed; b < k; b++ {
		if from := q.Before(coral, start.AddDays(b)); from > 0 {
			before = append(before, acclimate.OnlyDLI(from))
		} else if b >= 0 {
			before = append(before, days[b].Corals[coral].measure())
		}
	}
	if len(before) == 0 {
		return // nothing is known of the days before
	}
	usual := acclimate.Measure{}
	if q.Usual != nil {
		usual = q.Usual(coral, date)
	}
	r.rise(date, acclimate.Rise(day.measure(), before, usual), acclimate.Rise(day.measure(), before[len(before)-1:], usual), q.Limit(coral, date))
}

// rise takes in by how much a day's light is above what the coral is used to, and above the day before.
func (r *CoralRange) rise(date plan.Date, rise, overnight acclimate.Measure, limit float64) {
	if up, _ := overnight.Most(); up > r.Overnight.Value {
		r.Overnight = Extreme{date, up}
	}
	if up, _ := rise.Less(slack).Most(); up > limit {
		r.DaysOver++
	}
	if up, of := rise.Most(); up > 0 && (r.Rise.Date.IsZero() || up*r.Limit > r.Rise.Value*limit) {
		r.Rise, r.RiseOf, r.Limit = Extreme{date, up}, of, limit
	}
}

// playDays plays every date on all cores; each depends on nothing but itself.
func playDays(file timetable.File, p *plan.Plan, on func(plan.Date) Asked, from, to plan.Date) ([]Result, error) {
	out := make([]Result, from.DaysUntil(to)+1)
	errs := make([]error, len(out))
	all := newFilm(file)
	c := clock.Of(p.Clock)
	next := make(chan int)
	var wg sync.WaitGroup
	for range min(runtime.GOMAXPROCS(0), len(out)) {
		wg.Go(func() {
			for k := range next {
				out[k], errs[k] = playDay(all, p, c, on, from.AddDays(k))
			}
		})
	}
	for k := range out {
		next <- k
	}
	close(next)
	wg.Wait()
	for k, err := range errs {
		if left := (leftOut{}); errors.As(err, &left) && k > 0 {
			out[k] = out[k-1] // nothing happened on a date that was left out
			continue
		}
		if err != nil {
			return nil, err
		}
	}
	return out, nil
}

func playDay(all film, p *plan.Plan, c clock.Clock, on func(plan.Date) Asked, date plan.Date) (Result, error) {
	pl, err := all.on(c, date)
	if err != nil {
		return Result{}, err
	}
	return pl.judge(p, on(date)), nil
}
