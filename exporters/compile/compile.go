package compile

import (
	"encoding/binary"
	"fmt"
	"math"
	"reflect"
	"runtime"
	"slices"
	"sync"

	"dayloom/exporters/lowering"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// MostDates is how many dates a dated timetable may be for: ten years.
const MostDates = 3660

// Span is a run of dates of the controller's calendar with one shift.
type Span struct {
	From, To plan.Date // inclusive; To zero: open, and From alone decides the day
	ShiftS   float64   // seconds to add to the day's own time
	Alone    bool      // no hour is taken from a neighbouring day: tables are few and keyed in
}

// Curves gives the light-fraction curve of every channel on a date.
type Curves func(date plan.Date) []curve.Curve

// Lowered is one port's curve and what became of it, from its first date on.
type Lowered struct {
	Controller, Port, Channel string
	First                     plan.Date
	Result                    lowering.Result
}

// Result is the timetable and how well each port follows.
type Result struct {
	File    timetable.File
	Lowered []Lowered // every different curve of every port, in order of first date
	Notes   []string  // what else the reader should know
}

// Build lowers a plan over spans of dates, which follow each other without gap.
func Build(p *plan.Plan, spans []Span, curves Curves) Result {
	return build(newBuilder(p), p, spans, curves)
}

// BuildExact does the same with the best points that there are for every port whose times
// and commands are few enough, however long that takes.
func BuildExact(p *plan.Plan, spans []Span, curves Curves) Result {
	b := newBuilder(p)
	b.exact = true
	return build(b, p, spans, curves)
}

func build(b *builder, p *plan.Plan, spans []Span, curves Curves) Result {
	days := b.collect(spans, curves)
	b.lower()
	out := Result{File: timetable.File{Plan: p.Name, PlanHash: p.Hash, Clock: timetable.ClockOf(p.Clock)}}
	out.File.Tables = b.tables(days)
	first, last := spans[0].From, spans[len(spans)-1].To
	if last.IsZero() {
		last = first
	}
	out.File.Judged = [2]plan.Date{first, last}
	for _, u := range b.uses {
		pt := b.ports[u.port]
		out.Lowered = append(out.Lowered, Lowered{pt.Controller, pt.Name, pt.Port.Port.Channels(), u.first, b.jobs[u.job].result})
	}
	if d, by, ok := Outdated(p, spans); ok {
		out.Notes = append(out.Notes, Moved(d, by)+" Compile again from that date, or use --from and --to.")
	}
	return out
}

// Outdated is the first date on which an open-ended last span is off because the
// clock of the controller or of the day was moved, and by how many seconds the
// controller's is then further ahead; within a year, or there is none.
func Outdated(p *plan.Plan, spans []Span) (date plan.Date, by float64, ok bool) {
	last := spans[len(spans)-1]
	if !last.To.IsZero() {
		return plan.Date{}, 0, false
	}
	c := clock.Of(p.Clock)
	for _, s := range c.Spans(last.From, last.From.AddDays(366)) {
		if s.ShiftS != last.ShiftS {
			return s.From, s.ShiftS - last.ShiftS, true
		}
	}
	return plan.Date{}, 0, false
}

// Moved says what a change of the clocks does to a table that goes on over it.
func Moved(date plan.Date, by float64) string {
	ahead, early := "ahead of the plan (summer time)", "early"
	if by < 0 {
		ahead, early = "behind the plan", "late"
	}
	minutes := math.Abs(by) / 60
	return fmt.Sprintf("From %v the controller's clock is %.0f min %s, so every change of light would come %.0f min %s.", date, minutes, ahead, minutes, early)
}

// output is a port of the plan with the ports that it feeds.
type output struct {
	plan.Port
	feeds []int // of an outlet: the ports it cuts, by index
}

// lamp reports whether the port follows a channel's curve. An outlet that feeds
// dimmed ports follows those instead, also when the plan names their channel for it.
func (o output) lamp() bool { return len(o.Lamps) > 0 && len(o.feeds) == 0 }

func outputsOf(p *plan.Plan) []output {
	var out []output
	for _, q := range p.Ports() {
		out = append(out, output{Port: q})
	}
	for i := range out {
		for k, q := range out {
			if q.Outlet == out[i].Ref() {
				out[i].feeds = append(out[i].feeds, k)
			}
		}
	}
	return out
}

// Limits are what the port can hold.
func Limits(p port.Port) lowering.Limits {
	l := lowering.Limits{
		Range: p.Range, Step: p.Step, Hold: p.Hold,
		MaxPoints: p.PointsPerDay, TimeStep: p.TimeStep, Switch: p.Signal == port.Switch, Outlet: p.Outlet != port.Ref{},
	}
	if len(p.Lamps) > 0 {
		l.Response, l.OnFrom = p.Lamps[0].Response, p.Lamps[0].OnFrom
	}
	return l
}

// job is one curve to lower for the ports that can hold the same.
type job struct {
	limits lowering.Limits
	want   curve.Curve
	result lowering.Result
}

// use is a job that a port plays, with the first date on which it does.
type use struct {
	port, job int
	first     plan.Date
}

// dayJobs is a date range and, for each port, the job whose points it plays (-1: none).
type dayJobs struct {
	from, to plan.Date
	jobs     []int
	follow   [][]curve.Curve // of each port: what its further lamps are asked for
}

type builder struct {
	plan  *plan.Plan
	exact bool
	ports []output
	alike []int // of each port: the first port that can hold the same
	jobs  []job
	known map[string]int // jobs by fingerprint
	uses  []use
	used  map[[2]int]bool // port and job
}

func newBuilder(p *plan.Plan) *builder {
	b := &builder{plan: p, ports: outputsOf(p), known: map[string]int{}, used: map[[2]int]bool{}}
	for _, pt := range b.ports {
		own := Limits(pt.Port.Port)
		b.alike = append(b.alike, slices.IndexFunc(b.ports, func(q output) bool {
			return reflect.DeepEqual(Limits(q.Port.Port), own)
		}))
	}
	return b
}

// collect finds the different curves of all dates and joins equal neighbours.
func (b *builder) collect(spans []Span, curves Curves) []dayJobs {
	var days []dayJobs
	for _, s := range spans {
		last := s.To
		if last.IsZero() {
			last = s.From
		}
		for d := s.From; !last.Before(d); d = d.AddDays(1) {
			to := d
			if s.To.IsZero() {
				to = plan.Date{}
			}
			next := b.day(d, onClock(s, d, curves))
			next.to = to
			if n := len(days); n > 0 && slices.Equal(days[n-1].jobs, next.jobs) {
				days[n-1].to = to
			} else {
				days = append(days, next)
			}
		}
	}
	return days
}

// onClock is every channel's curve over a date of the controller's calendar. Where its clock
// is ahead of the day's, the date begins with the end of the day before; where it is behind,
// it ends with the beginning of the day after. A table for all dates is that of one day.
func onClock(s Span, d plan.Date, curves Curves) []curve.Curve {
	own := curves(d)
	beside := own
	if mixed := !s.To.IsZero() && !s.Alone; s.ShiftS > 0 && mixed {
		beside = curves(d.AddDays(-1))
	} else if s.ShiftS < 0 && mixed {
		beside = curves(d.AddDays(1))
	}
	out := make([]curve.Curve, len(own))
	for i, c := range own {
		out[i] = c.Shift(s.ShiftS)
		if slices.Equal(c.Pieces(), beside[i].Pieces()) {
			continue
		}
		cut := curve.Day - s.ShiftS // of the days' own time: what is before it is played on the same date
		first, second := c, beside[i]
		if s.ShiftS < 0 {
			cut = -s.ShiftS
			first, second = beside[i], c
		}
		out[i] = curve.Sum(first.Between(0, cut).Shift(s.ShiftS), second.Between(cut, curve.Day).Shift(s.ShiftS))
	}
	return out
}

func (b *builder) day(d plan.Date, curves []curve.Curve) dayJobs {
	jobs, follow := make([]int, len(b.ports)), make([][]curve.Curve, len(b.ports))
	for i, pt := range b.ports {
		if !pt.lamp() {
			jobs[i] = -1
			continue
		}
		want := curves[pt.Channels[0]]
		key := fingerprint(b.alike[i], want)
		j, ok := b.known[key]
		if !ok {
			j = len(b.jobs)
			b.known[key] = j
			l := Limits(pt.Port.Port)
			l.Exact = b.exact
			b.jobs = append(b.jobs, job{limits: l, want: want})
		}
		if u := [2]int{i, j}; !b.used[u] {
			b.used[u] = true
			b.uses = append(b.uses, use{i, j, d})
		}
		jobs[i] = j
		for _, c := range pt.Channels[1:] {
			follow[i] = append(follow[i], curves[c])
		}
	}
	return dayJobs{from: d, jobs: jobs, follow: follow}
}

// fingerprint tells curves of ports that can hold the same apart.
func fingerprint(port int, c curve.Curve) string {
	b := binary.LittleEndian.AppendUint64(nil, uint64(port))
	for _, p := range c.Pieces() {
		for _, v := range []float64{p.From, p.To, float64(p.Shape), p.U0, p.U1, p.Level} {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v))
		}
	}
	return string(b)
}

// lower works through the jobs on all cores; each result depends on its job alone.
func (b *builder) lower() {
	var wg sync.WaitGroup
	var known sync.Map
	next := make(chan int)
	for range min(runtime.GOMAXPROCS(0), len(b.jobs)) {
		wg.Go(func() {
			for i := range next {
				b.jobs[i].result = lowering.Apart(b.jobs[i].want, b.jobs[i].limits, remembered(&known))
			}
		})
	}
	for i := range b.jobs {
		next <- i
	}
	close(next)
	wg.Wait()
}

// remembered is lowering.Lower, each curve within the same limits once.
func remembered(known *sync.Map) func(curve.Curve, lowering.Limits) lowering.Result {
	return func(c curve.Curve, l lowering.Limits) lowering.Result {
		key := fmt.Sprint(l) + fingerprint(0, c)
		once, _ := known.LoadOrStore(key, sync.OnceValue(func() lowering.Result { return lowering.Lower(c, l) }))
		return once.(func() lowering.Result)()
	}
}
