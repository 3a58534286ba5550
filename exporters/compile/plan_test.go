package compile

import (
	"fmt"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"dayloom/photon/dimmer"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

const hour = 3600.0

func date(t testing.TB, s string) plan.Date {
	t.Helper()
	d, err := plan.ParseDate(s)
	require.NoError(t, err)
	return d
}

func linear(t testing.TB, lo, hi float64) dimmer.Response {
	t.Helper()
	r, err := dimmer.Linear(lo, hi)
	require.NoError(t, err)
	return r
}

// lowest is a 1-10 V driver that gives 10 % at 1 V and is never dark.
func lowest(t testing.TB) dimmer.Response {
	t.Helper()
	r, err := dimmer.Table([]dimmer.Point{{Command: 1, Fraction: 0.1}, {Command: 10, Fraction: 1}})
	require.NoError(t, err)
	return r
}

// percent is a controller in whole percent that ramps, with a port for each channel named.
func percent(t testing.TB, name string, channels ...int) plan.Controller {
	c := plan.Controller{Name: name, Kind: port.Kind{Signal: port.Percent, Range: [2]float64{0, 100}, Step: 1, PointsPerDay: 24, TimeStep: 60}}
	for i, ch := range channels {
		c.Ports = append(c.Ports, plan.Port{Port: port.Port{Name: fmt.Sprint(i + 1), Lamps: []port.Lamp{{Response: linear(t, 0, 100)}}}, Channels: []int{ch}})
	}
	return c
}

// outlets is a switching controller; a channel of -1 is an outlet that only feeds.
func outlets(step float64, channels ...int) plan.Controller {
	c := plan.Controller{Name: "outlets", Kind: port.Switched()}
	c.TimeStep = step
	for i, ch := range channels {
		p := plan.Port{Port: port.Port{Name: fmt.Sprint(i + 1)}}
		if ch >= 0 {
			p.Channels, p.Lamps = []int{ch}, []port.Lamp{port.SwitchLamp("")}
		}
		c.Ports = append(c.Ports, p)
	}
	return c
}

// planOf is a plan of lamps called a, b, c … with their days, in UTC.
func planOf(controllers []plan.Controller, parts ...plan.DayPart) *plan.Plan {
	p := &plan.Plan{Name: "bench", Hash: "sha256:00", Clock: plan.Clock{Zone: time.UTC, ZoneName: "UTC"}, Controllers: controllers, Day: parts}
	for i := range parts {
		p.Channels = append(p.Channels, plan.Channel{Name: string(rune('a' + i)), Dimmable: parts[i].Switched == nil})
		p.Day[i].Channels = []int{i}
	}
	for _, c := range controllers {
		for k := range c.Ports {
			q := &c.Ports[k]
			q.Controller, q.Kind = c.Name, c.Kind
			for n, ch := range q.Channels {
				q.Lamps[n].Channel = p.Channels[ch].Name
			}
		}
	}
	return p
}

// daylight is an entry that goes up from one hour to the next, and down from one to the next.
func daylight(peak float64, shape curve.Shape, h ...float64) plan.DayPart {
	return plan.DayPart{Daylight: &plan.Daylight{Peak: plan.Level{Fraction: peak},
		Sunrise: plan.Ramp{From: h[0] * hour, To: h[1] * hour, Shape: shape}, Sunset: plan.Ramp{From: h[2] * hour, To: h[3] * hour, Shape: shape}}}
}

func moon(peak float64, phase plan.Phase) plan.DayPart {
	return plan.DayPart{Moonlight: &plan.Moonlight{From: 21 * hour, To: 6 * hour, Peak: peak, Phase: phase}}
}

func daysOf(p *plan.Plan) Curves {
	return func(d plan.Date) []curve.Curve { return day.Build(p, d, day.Change{}).Curves() }
}

// dated is what the command makes of --from and --to.
func dated(p *plan.Plan, from, to plan.Date) []Span {
	var out []Span
	for _, s := range clock.Of(p.Clock).Spans(from, to) {
		out = append(out, Span{From: s.From, To: s.To, ShiftS: s.ShiftS})
	}
	return out
}
