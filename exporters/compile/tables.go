package compile

import (
	"encoding/binary"
	"math"
	"slices"

	"dayloom/exporters/departure"
	"dayloom/exporters/lowering"
	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/daypattern"
	"dayloom/schedule/shape/port"
)

// tables are those of all dates: neighbours that show the same points are one table, and where a rule of the
// plan follows weekdays, a table may be for some weekdays alone.
func (b *builder) tables(days []dayJobs) []timetable.Table {
	known := map[string]int{}
	var made []timetable.Table // as days
	var of []int               // as days: which points they show
	for _, d := range days {
		t := b.table(d)
		key := pointsKey(t)
		if _, ok := known[key]; !ok {
			known[key] = len(known)
		}
		made, of = append(made, t), append(of, known[key])
	}
	return timetable.Cut(made, of, followsWeekdays(b.plan))
}

// followsWeekdays tells whether a rule of the plan's calendar changes light by the weekday. Without one tables are
// runs of dates, even where by chance a few weekdays are alike.
func followsWeekdays(p *plan.Plan) bool {
	return slices.ContainsFunc(p.Calendar, func(r plan.CalendarRule) bool {
		pattern, err := daypattern.Parse(r.Pattern)
		return err == nil && pattern.FollowsWeekdays()
	})
}

// table is that of some dates.
func (b *builder) table(d dayJobs) timetable.Table {
	t := timetable.Table{From: d.from, To: d.to}
	for i, pt := range b.ports {
		switch {
		case d.jobs[i] >= 0:
			r := b.jobs[d.jobs[i]].result
			claim := r.Greatest
			t.Ports = append(t.Ports, timetable.Port{Port: pt.Port.Port, Points: r.Points, Claim: &claim})
		case len(pt.feeds) > 0:
			t.Ports = append(t.Ports, timetable.Port{Port: pt.Port.Port, Points: b.feed(pt, d)})
		}
	}
	b.further(t, d)
	return t
}

// pointsKey tells tables with different points apart.
func pointsKey(t timetable.Table) string {
	var b []byte
	for _, p := range t.Ports {
		b = binary.LittleEndian.AppendUint64(b, uint64(len(p.Points)))
		for _, q := range p.Points {
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(q.Time))
			b = binary.LittleEndian.AppendUint64(b, math.Float64bits(q.Command))
		}
	}
	return string(b)
}

// further widens the claims of ports of several lamps to those after the first.
func (b *builder) further(t timetable.Table, d dayJobs) {
	var light [][]port.Played
	for i, pt := range b.ports {
		for k, want := range d.follow[i] {
			if light == nil {
				light, _ = t.Light() // of points that compile made itself
			}
			at := t.Port(pt.Ref())
			if light == nil || at < 0 || k+1 >= len(light[at]) {
				continue
			}
			norm := departure.Norm{Step: pt.TimeStep, Hold: pt.Hold}
			claim := t.Ports[at].Claim
			*claim = max(*claim, norm.Greatest(want, light[at][k+1], 0, port.Day).High)
		}
	}
}

// feed is what an outlet does for the ports it feeds. It is on while any of them
// is to be lit, on its own time steps: a port that can be dark by itself has its
// supply for all of a step in which it shows light, one that cannot for the steps
// of which it is to be lit for more than half.
func (b *builder) feed(pt output, d dayJobs) []port.Point {
	step := pt.TimeStep
	slots := int(math.Round(port.Day / step))
	on := make([]bool, slots)
	for _, k := range pt.feeds {
		lit, least := b.supply(d.jobs[k])
		for s := range on {
			from, to := float64(s)*step, min(float64(s+1)*step, port.Day)
			on[s] = on[s] || lit.Integral(from, to) > least*(to-from)
		}
	}
	var points []port.Point
	for s := range on {
		if on[s] != on[(s+slots-1)%slots] {
			points = append(points, port.Point{Time: float64(s) * step, Command: command(on[s])})
		}
	}
	if points == nil {
		points = []port.Point{{Time: 0, Command: command(on[0])}}
	}
	return points
}

// supply is when the supply of a job's port should be on, and the share of a time
// step from which it counts.
func (b *builder) supply(job int) (lit port.Played, least float64) {
	j := b.jobs[job]
	if j.result.Outlet != nil {
		lit, _ = lowering.Limits{Switch: true}.Track(j.result.Outlet) // lowering made them, in order
		return lit, 0.5
	}
	lit, _ = j.limits.Track(j.result.Points)
	return lit, 0
}

func command(on bool) float64 {
	if on {
		return 1
	}
	return 0
}
