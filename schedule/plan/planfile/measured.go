package planfile

import (
	"cmp"
	"errors"
	"fmt"
	"slices"
	"strings"

	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// fromReadings makes a response from readings of the channel lit alone.
func (r *reader) fromReadings(v yamltree.Value, c plan.Controller, channel int) (out dimmer.Response, err error) {
	if channel < 0 {
		return out, nil
	}
	series, bad := alone(r.rows, c, channel)
	if bad != nil {
		at := bad.at
		r.files.add(at.File, at.Line, at.Col, bad.What, bad.Allowed, bad.Hint)
		return out, nil
	}
	points, wrong := answers(r.channels.list[channel], c, series)
	if wrong != nil {
		v.Error(wrong.What, wrong.Allowed, wrong.Hint)
		return out, nil
	}
	if out, err = dimmer.Table(points); err != nil {
		return out, err
	}
	return out.WithRange(c.Range[0], c.Range[1])
}

// Measured is the response of a port by the plan's readings, as the plan writes it:
// `[[1.2 V, 7 %], [10 V, 100 %]]`. The error is for people.
func Measured(p *plan.Plan, controller, name string) (string, error) {
	for _, c := range p.Controllers {
		for _, port := range c.Ports {
			if c.Name != controller || port.Name != name || len(port.Channels) == 0 || p.Readings == nil {
				continue
			}
			channel := port.Channels[0]
			var rows []row
			for _, r := range p.Readings.Rows {
				if len(r.Lit) == 1 {
					rows = append(rows, row{Reading: r, lit: []litText{{channel: r.Lit[0].Channel, command: r.Lit[0].Command}}})
				}
			}
			series, _ := alone(rows, c, channel)
			points, wrong := answers(p.Channels[channel].Name, c, series)
			if wrong != nil {
				return "", wrong
			}
			var words []string
			for _, x := range points {
				words = append(words, fmt.Sprintf("[%s, %.4g %%]", signals[c.Signal].kind.Format(x.Command), 100*x.Fraction))
			}
			return "[" + strings.Join(words, ", ") + "]", nil
		}
	}
	return "", &quantity.Error{What: fmt.Sprintf("no port %s/%s with a channel and readings", controller, name), Allowed: "name it as controller/port, such as dimmers/1"}
}

// answers are the light fractions at the commands read, at the place with the most of
// them, the first such in the file. The light at the highest command is full light, so
// that must have been read; readings at one command are averaged.
func answers(name string, c plan.Controller, series [][]sum) ([]dimmer.Point, *quantity.Error) {
	var best []sum
	for _, s := range series {
		if len(s) > len(best) {
			best = s
		}
	}
	allowed := fmt.Sprintf("measure %s lit alone at one place, at its highest command and at least one lower", name)
	if len(best) < 2 {
		return nil, &quantity.Error{What: fmt.Sprintf("the readings do not show how %q responds to its command", name), Allowed: allowed}
	}
	slices.SortFunc(best, func(a, b sum) int { return cmp.Compare(a.command, b.command) })
	full := best[len(best)-1]
	if full.command < c.Range[1] || full.mean() <= 0 {
		return nil, &quantity.Error{What: fmt.Sprintf("no reading of %q alone at its highest command, where the others were taken", name), Allowed: allowed}
	}
	var points []dimmer.Point
	for i, s := range best {
		f := s.mean() / full.mean()
		if i > 0 && f < points[i-1].Fraction || f > 1 {
			return nil, &quantity.Error{What: fmt.Sprintf("by the readings the light of %q falls as its command rises, at %s", name, signals[c.Signal].kind.Format(s.command)), Allowed: "check the readings at that place"}
		}
		points = append(points, dimmer.Point{Command: s.command, Fraction: f})
	}
	return points, nil
}

// sum gathers readings at one command.
type sum struct {
	command, total float64
	n              int
}

func (s sum) mean() float64 { return s.total / float64(s.n) }

// unread is a command that cannot be read, and where.
type unread struct {
	*quantity.Error
	at diag.Place
}

// alone gathers the readings with one channel lit, place by place in file order.
func alone(rows []row, c plan.Controller, channel int) (series [][]sum, bad *unread) {
	var places [][3]float64
	for _, w := range rows {
		if len(w.lit) != 1 || w.lit[0].channel != channel || w.Racks != nil { // of a lamp that hung elsewhere full light is another
			continue
		}
		cmd, err := command(c, w.lit[0].command)
		var e *quantity.Error
		if errors.As(err, &e) {
			bad = &unread{e, w.lit[0].at}
			continue
		}
		at := [3]float64{w.X, w.Y, w.Depth}
		i := slices.Index(places, at)
		if i < 0 {
			i, places, series = len(places), append(places, at), append(series, nil)
		}
		k := slices.IndexFunc(series[i], func(s sum) bool { return s.command == cmd })
		if k < 0 {
			k, series[i] = len(series[i]), append(series[i], sum{command: cmd})
		}
		series[i][k].total += w.PPFD
		series[i][k].n++
	}
	return series, bad
}
