package compile

import (
	"math"
	"slices"

	"dayloom/exporters/timetable"
	"dayloom/exporters/track"
	"dayloom/schedule/plan"
)

// append adds the table of some dates to a file, joined to the one before when
// every port shows the same points.
func (b *builder) append(f *timetable.File, d dayJobs) {
	t := timetable.Table{From: d.from, To: d.to}
	tracks := make([]track.Track, len(b.ports))
	for i, pt := range b.ports {
		if d.jobs[i] < 0 {
			continue
		}
		points := b.jobs[d.jobs[i]].result.Points
		tracks[i], _ = Limits(pt.controller, pt.Port).Track(points) // lowering checked them
		t.Ports = append(t.Ports, b.written(pt, points))
	}
	for _, pt := range b.ports {
		if pt.Channel < 0 && len(pt.feeds) > 0 {
			t.Ports = append(t.Ports, b.written(pt, feed(pt, tracks)))
		}
	}
	if n := len(f.Tables); n > 0 && samePoints(f.Tables[n-1], t) {
		f.Tables[n-1].To = t.To
		return
	}
	f.Tables = append(f.Tables, t)
}

// written is a port as the timetable holds it.
func (b *builder) written(pt port, points []track.Point) timetable.Port {
	out := timetable.Port{
		Controller: pt.controller.Name, Name: pt.Name, Signal: pt.controller.Signal,
		Range: pt.controller.Range, Step: pt.controller.Step, Hold: pt.controller.Hold, Response: pt.Response,
	}
	if pt.controller.Signal == plan.Switch {
		out.Range, out.Step, out.Hold, out.Response = [2]float64{0, 1}, 1, true, switchResponse
	}
	if pt.Channel >= 0 {
		out.Channel = b.plan.Channels[pt.Channel].Name
	}
	if pt.Outlet != nil {
		out.Outlet = timetable.PortName{Controller: pt.Outlet.Controller, Port: pt.Outlet.Port}
	}
	for _, q := range points {
		out.Points = append(out.Points, timetable.Point{Time: q.Time, Command: q.Command, Light: out.Response.Fraction(q.Command)})
	}
	return out
}

// feed switches an outlet on while any of the ports it feeds shows light, widened
// to whole time steps.
func feed(pt port, tracks []track.Track) []track.Point {
	step := pt.controller.TimeStep
	slots := int(math.Round(track.Day / step))
	on := make([]bool, slots)
	for _, k := range pt.feeds {
		for s := range on {
			a, b := float64(s)*step, float64(s+1)*step
			on[s] = on[s] || tracks[k].Integral(a, min(b, track.Day)) > 0
		}
	}
	var points []track.Point
	for s := range on {
		if on[s] != on[(s+slots-1)%slots] {
			points = append(points, track.Point{Time: float64(s) * step, Command: command(on[s])})
		}
	}
	if points == nil {
		points = []track.Point{{Time: 0, Command: command(on[0])}}
	}
	return points
}

func command(on bool) float64 {
	if on {
		return 1
	}
	return 0
}

func samePoints(a, b timetable.Table) bool {
	return slices.EqualFunc(a.Ports, b.Ports, func(p, q timetable.Port) bool {
		return p.Controller == q.Controller && p.Name == q.Name && slices.Equal(p.Points, q.Points)
	})
}
