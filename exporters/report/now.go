package report

import (
	"fmt"
	"io"
	"time"

	"dayloom/exporters/table"
	"dayloom/exporters/timetable"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
)

// Now is what every port shows at a moment.
type Now struct {
	Plan            string    `json:"plan"`
	At              string    `json:"at"` // RFC 3339, in the plan's zone
	ControllerShows string    `json:"controller_clock"`
	DayTime         string    `json:"day_time"`
	Ports           []NowPort `json:"ports"`
}

// NowPort is one port at that moment.
type NowPort struct {
	Controller string  `json:"controller"`
	Port       string  `json:"port"`
	Channel    string  `json:"channel"`
	Command    string  `json:"command"` // as a display shows it
	Unit       string  `json:"unit"`
	Light      float64 `json:"light_fraction"`
	Asked      float64 `json:"light_fraction_asked"`
}

// NewNow plays a timetable to a moment: what the controller's clock shows and what
// the plan's day is at then.
func NewNow(p *plan.Plan, f timetable.File, d day.Day, at time.Time, shown, own clock.Moment) (Now, error) {
	out := Now{Plan: p.Name, At: at.In(p.Clock.Zone).Format(time.RFC3339),
		ControllerShows: shown.Date.String() + " " + Clock(shown.Second), DayTime: own.Date.String() + " " + Clock(own.Second)}
	t := f.Tables[0]
	light, err := t.Light()
	if err != nil {
		return out, err
	}
	for k, q := range t.Ports {
		course, _ := q.Course(q.Points) // it has just been played
		row := NowPort{Controller: q.Controller, Port: q.Name, Command: q.Text(q.Round(course.Command(shown.Second))), Unit: q.Unit()}
		row.Light = course.Command(shown.Second) // of an outlet that only feeds others
		if len(light[k]) == 0 {
			row.Channel = q.Channels()
			out.Ports = append(out.Ports, row)
		}
		for n, l := range light[k] {
			row.Channel, row.Light, row.Asked = q.Lamps[n].Channel, l.At(shown.Second), 0
			for i, c := range p.Channels {
				if c.Name == row.Channel {
					row.Asked = d.Channels[i].Curve.At(own.Second)
				}
			}
			out.Ports = append(out.Ports, row)
		}
	}
	return out, nil
}

// Table has one row a port.
func (r Now) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "controller", Key: "controller", Left: true}, {Head: "port", Key: "port", Left: true}, {Head: "channel", Key: "channel", Left: true},
		{Head: "shows", Only: table.TextOnly}, {Key: "command", Only: table.CSVOnly}, {Key: "unit", Only: table.CSVOnly},
		{Head: "level", Unit: "% of full output", Key: "light_percent"}, {Head: "planned", Unit: "% of full output", Key: "light_asked_percent"}}}
	for _, p := range r.Ports {
		shows := p.Command
		if p.Unit != "switch" {
			shows += " " + p.Unit
		}
		t.Add(p.Controller, p.Port, p.Channel, shows, p.Command, p.Unit, fmt.Sprintf("%.2f", 100*p.Light), fmt.Sprintf("%.2f", 100*p.Asked))
	}
	return t
}

// Text gives the clocks, then the ports.
func (r Now) Text(w io.Writer) error {
	fmt.Fprintf(w, "%s at %s\nthe controller's clock shows %s, the plan's day is at %s\n\n", r.Plan, r.At, r.ControllerShows, r.DayTime)
	return r.Table().Text(w)
}
