package planfile

import (
	"errors"
	"fmt"
	"slices"

	"dayloom/photon/dimmer"
	"dayloom/schedule/plan"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

// fromReadings makes a response from readings of the channel lit alone at several
// commands at one place: that with the most commands, the first such in the file.
// The light at the highest command is full light, so that must have been read;
// readings at one command are averaged.
func (r *reader) fromReadings(v source.Value, c plan.Controller, channel int) (out dimmer.Response, err error) {
	if channel < 0 {
		return out, nil
	}
	name := r.channels.list[channel]
	series, bad := r.alone(c, channel)
	if bad {
		return out, nil // reported by the reading itself
	}
	var best []sum
	for _, s := range series {
		if len(s) > len(best) {
			best = s
		}
	}
	allowed := fmt.Sprintf("read %s lit alone at one place, at its highest command and at least one lower", name)
	if len(best) < 2 {
		v.Error(fmt.Sprintf("the readings do not tell how %q answers its command", name), allowed, "")
		return out, nil
	}
	slices.SortFunc(best, func(a, b sum) int {
		if a.command < b.command {
			return -1
		}
		return 1
	})
	full := best[len(best)-1]
	if full.command < c.Range[1] || full.mean() <= 0 {
		v.Error(fmt.Sprintf("no reading of %q alone at its highest command, where the others were taken", name), allowed, "")
		return out, nil
	}
	var points []dimmer.Point
	for i, s := range best {
		f := s.mean() / full.mean()
		if i > 0 && f < points[i-1].Fraction || f > 1 {
			v.Error(fmt.Sprintf("by the readings the light of %q falls as its command rises, at %s", name, signals[c.Signal].kind.Format(s.command)), "check the readings at that place", "")
			return out, nil
		}
		points = append(points, dimmer.Point{Command: s.command, Fraction: f})
	}
	if out, err = dimmer.Table(points); err != nil {
		return out, err
	}
	return out.WithRange(c.Range[0], c.Range[1])
}

// sum gathers readings at one command.
type sum struct {
	command, total float64
	n              int
}

func (s sum) mean() float64 { return s.total / float64(s.n) }

// alone gathers the readings with one channel lit, place by place in file order.
func (r *reader) alone(c plan.Controller, channel int) (series [][]sum, bad bool) {
	var places [][3]float64
	for _, w := range r.rows {
		if len(w.lit) != 1 || w.lit[0].channel != channel {
			continue
		}
		cmd, err := command(c, w.lit[0].command)
		var e *quantity.Error
		if errors.As(err, &e) {
			bad = true
			r.files.add(w.lit[0].at.File, w.lit[0].at.Line, w.lit[0].at.Col, e.What, e.Allowed, e.Hint)
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
