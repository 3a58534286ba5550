package playback

import (
	"fmt"
	"slices"
	"sync"

	"dayloom/exporters/timetable"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/port"
)

// film is a timetable with the light of its tables, each played when it is first needed.
type film struct {
	file    timetable.File
	outputs []output
	tables  []func() ([]port.Played, error) // of each output
}

// output is one lamp of one port that gives light, in the order of the file's first table.
type output struct {
	port timetable.Port
	lamp int
}

func (o output) channel() string { return o.port.Lamps[o.lamp].Channel }

func newFilm(file timetable.File) film {
	f := film{file: file}
	first := file.Tables[0]
	for i, q := range first.Ports {
		for k := range q.Lamps {
			if !first.OnlyFeeds(i) {
				f.outputs = append(f.outputs, output{q, k})
			}
		}
	}
	for _, t := range file.Tables {
		f.tables = append(f.tables, sync.OnceValues(func() ([]port.Played, error) { return f.play(t) }))
	}
	return f
}

func (f film) play(t timetable.Table) ([]port.Played, error) {
	light, err := t.Light()
	if err != nil {
		return nil, err
	}
	var out []port.Played
	for _, o := range f.outputs {
		i := t.Port(o.port.Ref())
		if i < 0 {
			return nil, fmt.Errorf("the table from %v lacks port %s of %s", t.From, o.port.Name, o.port.Controller)
		}
		out = append(out, light[i][o.lamp])
	}
	return out, nil
}

// player holds what one day of playing needs.
type player struct {
	film
	runs  []run
	lamps map[int][]port.Played // of each output, by table
}

func (f film) on(c clock.Clock, date plan.Date) (player, error) {
	rs, err := runs(f.file, c, date)
	pl := player{f, rs, map[int][]port.Played{}}
	for _, r := range rs {
		if err == nil {
			pl.lamps[r.table], err = f.tables[r.table]()
		}
	}
	return pl, err
}

// channelPlay is the outputs of a channel, by index, and their mean light.
type channelPlay struct {
	outputs []int
	dose    float64
}

func (pl player) channel(name string) channelPlay {
	var c channelPlay
	for k, o := range pl.outputs {
		if o.channel() == name {
			c.outputs = append(c.outputs, k)
		}
	}
	for _, k := range c.outputs {
		c.dose += pl.dose(k) / float64(len(c.outputs))
	}
	return c
}

// channels are all channels of a plan.
func (pl player) channels(p *plan.Plan) []channelPlay {
	out := make([]channelPlay, len(p.Channels))
	for i, c := range p.Channels {
		out[i] = pl.channel(c.Name)
	}
	return out
}

// dose is the output's light over the plan's day, s of full light.
func (pl player) dose(k int) float64 {
	sum := 0.0
	for _, r := range pl.runs {
		sum += pl.lamps[r.table][k].Integral(r.from, r.to)
	}
	return sum
}

// between is the channel's light from one second of the plan's day to a later one, s of
// full light.
func (pl player) between(c channelPlay, from, to float64) float64 {
	sum := 0.0
	for _, r := range pl.runs {
		a, b := max(from, r.day), min(to, r.day+r.to-r.from)
		for _, k := range c.outputs {
			if b > a {
				sum += pl.lamps[r.table][k].Integral(a-r.day+r.from, b-r.day+r.from) / float64(len(c.outputs))
			}
		}
	}
	return sum
}

// looks is in how many places between two breaks the sum of all channels is looked at for
// its greatest value: each is monotone there, and all but straight.
const looks = 4

// moments is the light of every channel wherever it may be greatest: after and before
// every break of the day, and in between; in spans of the day as light of channels of their own (day.Split).
func (pl player) moments(got []channelPlay, spans [][2]float64) (out [][]float64) {
	for _, r := range pl.runs {
		at := []float64{r.from, r.to}
		for _, s := range spans {
			for _, b := range s {
				if b += r.from - r.day; b > r.from && b < r.to {
					at = append(at, b)
				}
			}
		}
		for _, l := range pl.lamps[r.table] {
			for _, b := range l.Breaks() {
				if b > r.from && b < r.to {
					at = append(at, b)
				}
			}
		}
		slices.Sort(at)
		at = slices.Compact(at)
		for i, b := range at[1:] {
			a := at[i]
			slot := within(spans, (a+b)/2-r.from+r.day)
			put := func(y []float64) {
				out = append(out, slices.Concat(make([]float64, slot*len(got)), y, make([]float64, (len(spans)-slot)*len(got))))
			}
			for n := range looks {
				t := a + (b-a)*float64(n)/looks
				put(lights(got, pl.lamps[r.table], func(l port.Played) float64 { return l.At(t) }))
			}
			put(lights(got, pl.lamps[r.table], func(l port.Played) float64 { return l.Before(b) }))
		}
	}
	return out
}

// within is the number of the span that a second of the day is in, from 1 on; 0: none.
func within(spans [][2]float64, t float64) int {
	return 1 + slices.IndexFunc(spans, func(s [2]float64) bool { return s[0] <= t && t < s[1] })
}

// lights is the mean light of each channel's outputs.
func lights(got []channelPlay, lamps []port.Played, at func(port.Played) float64) []float64 {
	out := make([]float64, len(got))
	for i, g := range got {
		for _, k := range g.outputs {
			out[i] += at(lamps[k]) / float64(len(g.outputs))
		}
	}
	return out
}
