package sheet

import (
	"fmt"
	"math"
	"slices"
	"strconv"
	"strings"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/port"
)

// Times are the times of day at which a page says what to expect, seconds
// after midnight on the controller's clock.
var Times = [7]float64{0, 6 * 3600, 9 * 3600, 12 * 3600, 15 * 3600, 18 * 3600, 21 * 3600}

// Cautions are what every page ends with.
func Cautions() []string {
	return []string{
		"Mains near salt water: put a residual-current device (RCD, GFCI) on every circuit, make drip loops, keep drivers outside the hood, and have a licensed electrician do the work to the local code.",
		"Near-UV and violet: never look into a lit emitter.",
		"Load checks are a guide only. Your local electrical code decides.",
		"Light steps are common practice, not veterinary advice: watch the coral, and hold or go back when it pales.",
	}
}

// page is all that one printed page says, ready for text and for HTML.
type page struct {
	Plan, Hash, Controller, Valid, Clock string
	No, Of                               int
	Ports                                []output
	Times                                []string
	Notes, Cautions                      []string
	From                                 string
	Corals                               []Coral
}

type output struct {
	Name, Channel, Limits, Unit string
	Points                      []point
	Expected                    []string // at each of Times
	Curve                       string   // of its command: a polyline for a box of 240 by 40, from the left at midnight
	Blocks                      string   // the same as a character for each half hour
}

type point struct {
	No                   int
	Time, Command, Light string
}

// Coral is what a coral gets on the first date of a table, as text.
type Coral struct{ Name, Zone, DLI string } // mol m⁻² d⁻¹

// pages takes a timetable apart: for each table, each of its controllers.
func pages(f timetable.File, e Ending) ([]page, error) {
	var out []page
	for _, t := range f.Tables {
		var controllers []string
		for _, p := range t.Ports {
			if !slices.Contains(controllers, p.Controller) {
				controllers = append(controllers, p.Controller)
			}
		}
		for _, c := range controllers {
			pg := page{Plan: f.Plan, Hash: shortHash(f.PlanHash), Controller: c, Valid: e.valid(t), Clock: clockWords(f.Clock), Notes: e.Notes, Cautions: Cautions(), From: t.First().String()}
			if e.Corals != nil {
				pg.Corals = e.Corals(t.First())
			}
			for _, s := range Times {
				pg.Times = append(pg.Times, timetable.TimeOfDay(s))
			}
			for _, p := range t.Ports {
				if p.Controller != c {
					continue
				}
				v, err := portOf(p)
				if err != nil {
					return nil, err
				}
				pg.Ports = append(pg.Ports, v)
			}
			out = append(out, pg)
		}
	}
	for i := range out {
		out[i].No, out[i].Of = i+1, len(out)
	}
	return out, nil
}

func portOf(p timetable.Port) (output, error) {
	v := output{Name: p.Name, Channel: p.Channels(), Limits: limits(p), Unit: p.Unit()}
	if v.Channel == "" {
		v.Channel = "(feeds other ports)"
	}
	for i, q := range p.Points {
		v.Points = append(v.Points, point{i + 1, timetable.TimeOfDay(q.Time), p.Text(q.Command), percents(p, q.Command)})
	}
	var err error
	if v.Expected, err = Expected(p, Times[:]); err == nil {
		v.Curve, v.Blocks, err = curve(p)
	}
	return v, err
}

// shortHash is as much of a plan's hash as tells two states of it apart.
func shortHash(hash string) string {
	_, hex, ok := strings.Cut(hash, ":")
	if !ok || len(hex) < 12 {
		return ""
	}
	return hex[:12]
}

// curve draws what a port is told through the day, as a share of its range.
func curve(p timetable.Port) (line, blocks string, err error) {
	course, err := p.Course(p.Points)
	if err != nil {
		return "", "", err
	}
	share := func(s float64) float64 { return (course.Command(s) - p.Range[0]) / (p.Range[1] - p.Range[0]) }
	var points []string
	for k := range 289 { // every five minutes, and the end
		points = append(points, fmt.Sprintf("%.1f,%.1f", float64(k)/1.2, 40-40*share(min(float64(k)*300, port.Day-1))))
	}
	const ladder = " ▁▂▃▄▅▆▇█"
	for k := range 48 {
		blocks += string([]rune(ladder)[int(math.Ceil(8*min(max(share(float64(k)*1800+900), 0), 1)-1e-9))])
	}
	return strings.Join(points, " "), blocks, nil
}

// Expected is what a port should show at times of the day (seconds after midnight on
// the controller's clock), with units: on a ramp the nearest command on its step.
func Expected(p timetable.Port, times []float64) ([]string, error) {
	if !p.Known() {
		return nil, fmt.Errorf("port %s of %s: range and response are not in a csv file; complete the timetable from its plan", p.Name, p.Controller)
	}
	course, err := p.Course(p.Points)
	if err != nil {
		return nil, fmt.Errorf("port %s of %s: %w", p.Name, p.Controller, err)
	}
	out := make([]string, len(times))
	for i, s := range times {
		out[i] = p.Text(p.Round(course.Command(s)))
		if p.Signal != port.Switch {
			out[i] += " " + p.Unit()
		}
	}
	return out, nil
}

// percents is what each of the port's lamps gives at a command.
func percents(p timetable.Port, command float64) string {
	if len(p.Lamps) == 0 { // an outlet that only feeds others
		return percent(command)
	}
	out := make([]string, len(p.Lamps))
	for i, l := range p.Lamps {
		out[i] = percent(l.Light(command))
	}
	return strings.Join(out, ", ")
}

func percent(light float64) string {
	return strconv.FormatFloat(math.Round(light*1000)/10, 'f', 1, 64) + " %"
}

// limits is what a person must know of the port to key its points in.
func limits(p timetable.Port) string {
	if p.Signal == port.Switch {
		return "switched on and off"
	}
	s := fmt.Sprintf("%s to %s %s", p.Text(p.Range[0]), p.Text(p.Range[1]), p.Unit())
	if p.Step > 0 {
		s += fmt.Sprintf(" in steps of %s", strconv.FormatFloat(p.Step, 'g', 6, 64))
	}
	if p.Hold {
		s += ", each held until the next"
	} else {
		s += ", straight line from point to point"
	}
	for _, l := range p.Lamps {
		if off := l.OffBelow(); !math.IsInf(off, -1) {
			s += fmt.Sprintf(", dark below %s", strconv.FormatFloat(off, 'g', 6, 64))
		}
		if l.OnFrom > 0 {
			s += fmt.Sprintf(" and until %s on the way up", strconv.FormatFloat(l.OnFrom, 'g', 6, 64))
		}
	}
	if p.Outlet != (port.Ref{}) {
		s += fmt.Sprintf(", supply switched by port %s of %s", p.Outlet.Port, p.Outlet.Controller)
	}
	return s
}

// Ending is what a person with a sheet must know of the end of its tables.
type Ending struct {
	Clocks plan.Date                    // the first date on which a change of the clocks makes an open table wrong; zero: none is known
	Corals func(date plan.Date) []Coral // nil: not known
	Notes  []string                     // what else the tables do not follow, on every page
}

// valid says from when to when a table is right, and what to do then.
func (e Ending) valid(t timetable.Table) string {
	on, others := "", ""
	if t.Days != 0 {
		on, others = fmt.Sprintf("on %s (%s), ", t.Days.Words(), t.Days), " Other weekdays have pages of their own."
	}
	switch {
	case !t.To.IsZero():
		return on + fmt.Sprintf("from %v to %v."+others+" After that date these points are out of date: key in the next table, or compile again", t.From, t.To)
	case !e.Clocks.IsZero():
		return on + fmt.Sprintf("from %v to %v."+others+" On %v the clock changes: compile again", t.From, e.Clocks.AddDays(-1), e.Clocks)
	}
	return on + fmt.Sprintf("from %v, with no end", t.From)
}

func clockWords(c timetable.Clock) string {
	switch {
	case c.Zone == "":
		return "Times are on the controller's clock."
	case c.ControllerStays:
		return fmt.Sprintf("Times are on the controller's clock, which keeps the standard time of %s all year.", c.Zone)
	}
	return fmt.Sprintf("Times are on the controller's clock, which keeps the wall time of %s and moves for summer time.", c.Zone)
}
