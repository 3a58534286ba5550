package job

import (
	"fmt"
	"slices"
	"strings"

	"dayloom/exporters/compile"
	"dayloom/exporters/playback"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/port"
)

// Short says which controller cannot hold the day of a date, where a compilation of it and its neighbours is not
// faithful there, and what of those tried would do for it; "" where compiling again gives what is asked.
func (j *Job) Short(date plan.Date) string {
	if j.holds(j.Plan, date) {
		return ""
	}
	for i, c := range j.Plan.Controllers {
		for _, k := range finer(c.Kind) {
			if j.holds(with(j.Plan, i, k), date) {
				return fmt.Sprintf("compiled again it would not either: for %v %s is too coarse, with %s; tried, %s would do", date, c.Name, coarse(c.Kind), coarse(k))
			}
		}
	}
	var all []string
	for _, c := range j.Plan.Controllers {
		if len(finer(c.Kind)) > 0 {
			all = append(all, c.Name+" with "+coarse(c.Kind))
		}
	}
	if all == nil {
		return fmt.Sprintf("compiled again it would not either, on %v", date)
	}
	return fmt.Sprintf("compiled again it would not either: for %v %s is too coarse, and tried, four times the points and a tenth of the step of any one would not do; ask for other light on that date, such as more moonlight",
		date, strings.Join(all, ", "))
}

// holds reports whether a plan's controllers, which may be others than the job's, give a date what is asked of it.
func (j *Job) holds(p *plan.Plan, date plan.Date) bool {
	var spans []compile.Span
	for _, s := range clock.Of(p.Clock).Spans(date.AddDays(-1), date.AddDays(1)) {
		spans = append(spans, compile.Span{From: s.From, To: s.To, ShiftS: s.ShiftS, Alone: j.Cut != nil})
	}
	r, err := playback.Play(compile.Build(p, spans, j.Curves).File, p, j.Asked(date, true))
	return err == nil && r.Faithful()
}

// finer are a controller's kind with more points, a finer step, and both.
func finer(k port.Kind) (out []port.Kind) {
	if k.Signal == port.Switch {
		return nil
	}
	try := func(points int, step float64) {
		next := k
		next.PointsPerDay, next.Step = points*k.PointsPerDay, k.Step/step
		if next != k {
			out = append(out, next)
		}
	}
	try(2, 1)
	try(4, 1)
	try(1, 10)
	try(4, 10)
	return slices.Compact(out)
}

// coarse is how coarse a controller is, in the words of a plan.
func coarse(k port.Kind) string {
	step := fmt.Sprintf("step %.4g %s", k.Step, k.Signal.Unit())
	if k.PointsPerDay == 0 {
		return step
	}
	return fmt.Sprintf("points_per_day %d and %s", k.PointsPerDay, step)
}

// with is a plan whose i-th controller is of another kind.
func with(p *plan.Plan, i int, k port.Kind) *plan.Plan {
	out := *p
	out.Controllers = slices.Clone(p.Controllers)
	c := &out.Controllers[i]
	c.Kind, c.Ports = k, slices.Clone(c.Ports)
	for n := range c.Ports {
		c.Ports[n].Kind = k
	}
	return &out
}
