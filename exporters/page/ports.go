package page

import (
	"fmt"
	"io"
	"math"
	"slices"

	"dayloom/exporters/compile"
	"dayloom/exporters/playback"
	"dayloom/exporters/report"
	"dayloom/schedule/day"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// Output is what one port does through a day: what the plan asks, what of it the port can
// show, and what it gives when its timetable is played.
type Output struct {
	ID, Title, Told, Caption string
	Asked, Reachable, Given  string // paths
	Shade                    string
	CutIn, CutInHeight       string // where the light begins; empty: from nothing on
	CutInText                string
	Rules, Hours             []tick
}

// Outputs are drawn beside each other.
type Outputs []Output

// ports is what compile writes for the date, played.
func (m *maker) ports() (Section, error) {
	out := Section{ID: "ports", Head: "What each port does"}
	if m.built == nil {
		out.Sum = "The plan has no controller with a port, so there is nobody to tell."
		return out, nil
	}
	built := *m.built
	played, err := playback.Play(built.File, m.on.Plan, m.job.Asked(m.Date, built.File.Claimed()))
	if err != nil {
		return out, err
	}
	r := report.NewVerified(m.on.Plan, played, nil)
	c, err := report.NewCompiled(m.on.Plan, built, "", nil, report.Played{})
	if err != nil {
		return out, err
	}
	drawn, err := m.outputs(built)
	if err != nil {
		return out, err
	}
	rows := append([]int{}, m.shown...)
	spots := newTable("What each port should show, by the controller's clock", c.Spots.Table(), nil)
	out.Sum = sentenceOf(r.Summary())
	out.Parts = []Part{drawn, newTable("How near the timetable comes, port by port", c.Table(), nil), Row{spots, m.lettered(newTable("The timetable of "+m.Date.String()+", played", r.Table(), rows))}}
	m.unproven = c.Notes
	out.Parts = append(out.Parts, Notes(r.Remarks()))
	return out, nil
}

// outputs draws the ports of a compiled date.
func (m *maker) outputs(built compile.Result) (out Outputs, err error) {
	free := *m.job.Plan // without ports there is nothing that they could not show
	free.Controllers = nil
	asked := day.Build(&free, m.Date, m.on.Change)
	shift := clock.Of(m.job.Plan.Clock).ShiftOn(m.Date)
	t := built.File.Tables[0]
	light, err := t.Light()
	if err != nil {
		return nil, err
	}
	for i, q := range t.Ports {
		if t.OnlyFeeds(i) {
			continue
		}
		for k, l := range q.Lamps {
			if len(out) == MostShown {
				return out, nil
			}
			ch := m.channelNamed(l.Channel)
			o := Output{ID: fmt.Sprintf("port-%d-%d", i, k), Title: fmt.Sprintf("%s port %s: %s", q.Controller, q.Name, l.Channel), Hours: hours(), Shade: m.swatch(ch)}
			o.draw(asked.Channels[ch].Curve, m.on.Day.Channels[ch].Curve, light[i][k], shift)
			if foot := q.Port.Foot(k); foot > 0 && q.Signal != port.Switch {
				o.CutIn, o.CutInHeight, o.CutInText = percent(1-foot), percent(foot), fmt.Sprintf("cut-in %.3g %%", 100*foot)
			}
			o.Told = fmt.Sprintf("Level through the day, %% of full output; highest given %.1f %%.", 100*highest(light[i][k]))
			out = append(out, o)
		}
	}
	return out, nil
}

func highest(p port.Played) float64 {
	v, _ := p.Max()
	return v
}

func (o *Output) draw(asked, reachable curve.Curve, given port.Played, shift float64) {
	one := func(c curve.Curve) string {
		ch := []Channel{{Full: []float64{1}, Curves: []curve.Curve{c}}}
		times := moments(ch)
		values := make([]float64, len(times))
		for i, t := range times {
			values[i] = ch[0].at(t.s, t.look)
		}
		return path(false, line(times, values, 1))
	}
	o.Asked, o.Reachable = one(asked), one(reachable)
	at := []float64{0, curve.Day}
	for t := every; t < curve.Day; t += every {
		at = append(at, t)
	}
	for _, b := range given.Breaks() {
		at = append(at, math.Mod(b-shift+curve.Day, curve.Day))
	}
	slices.Sort(at)
	points := [][2]float64{{0, highBox}}
	for _, t := range slices.Compact(at) {
		on := math.Mod(t+shift+curve.Day, curve.Day)
		x := dayBox * t / curve.Day
		if t > 0 {
			before := on
			if before == 0 {
				before = curve.Day
			}
			points = append(points, [2]float64{x, highBox * (1 - given.Before(before))})
		}
		if t < curve.Day {
			points = append(points, [2]float64{x, highBox * (1 - given.At(on))})
		}
	}
	o.Given = path(true, append(straight(points), [2]float64{dayBox, highBox}))
	o.Rules = []tick{{percent(0), "100 %"}, {percent(0.5), "50 %"}}
}

// Write writes the drawings.
func (o Outputs) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "ports", o) }
