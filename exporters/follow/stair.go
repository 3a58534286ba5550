package follow

import (
	"math"
	"slices"
	"sort"

	"dayloom/exporters/timetable"
	"dayloom/exporters/track"
)

// rung is a command that holds from a second of the controller's day on.
type rung struct {
	second  int
	command float64
}

// stair is a port's day: rungs at rising seconds, the last held over midnight.
type stair []rung

// at is the command at a second of the day.
func (s stair) at(second int) float64 {
	i := sort.Search(len(s), func(i int) bool { return s[i].second > second })
	return s[(i+len(s)-1)%len(s)].command
}

// after is the second of the next rung, or the day's length when there is none.
func (s stair) after(second int) int {
	i := sort.Search(len(s), func(i int) bool { return s[i].second > second })
	if i == len(s) {
		return track.Day
	}
	return s[i].second
}

// fineness stands in for a step that is not known: so many levels in the range.
const fineness = 10000

// stairOf makes the staircase of a port whose points are in order.
func stairOf(p timetable.Port) stair {
	var out stair
	add := func(second, command float64) { out = append(out, rung{int(math.Round(second)), command}) }
	l := levelsOf(p)
	for i, q := range p.Points {
		next := p.Points[(i+1)%len(p.Points)]
		if i+1 == len(p.Points) {
			next.Time += track.Day
		}
		if p.Hold || q.Command == next.Command {
			add(q.Time, q.Command)
			continue
		}
		add(q.Time, l.level(l.snap(q.Command)))
		l.way(q, next, add)
	}
	return tidy(out)
}

// levels are the commands on a port's step.
type levels struct {
	port     timetable.Port
	lo, step float64
}

func levelsOf(p timetable.Port) levels {
	step := p.Step
	if !(step > 0) {
		step = (p.Range[1] - p.Range[0]) / fineness
	}
	return levels{p, p.Range[0], step}
}

// level is a command on the step, free of rounding: a hair below its cut-in a lamp would be dark.
func (l levels) level(n int) float64 {
	return min(math.Round((l.lo+float64(n)*l.step)*1e9)/1e9, l.port.Range[1])
}

// edge is the command at which a ramp goes over between levels n and n+1.
func (l levels) edge(n int) float64 {
	a, b := l.level(n), l.level(n+1)
	f, g := l.port.Response.Fraction(a), l.port.Response.Fraction(b)
	share := 0.5
	if g-f > 1e-12 {
		share = min(max((g-l.port.Response.MeanBetween(a, b))/(g-f), 0), 1)
	}
	return min(a+share*(b-a), b)
}

// snap is the level that a command on a ramp shows as.
func (l levels) snap(command float64) int {
	n := int(math.Floor((command - l.lo) / l.step))
	if command >= l.edge(n) {
		n++
	}
	return n
}

// way adds the rungs of a ramp from one point to the next.
func (l levels) way(from, to timetable.Point, add func(second, command float64)) {
	n, end := l.snap(from.Command), l.snap(to.Command)
	up := 1
	if end < n {
		up = -1
	}
	for ; n != end; n += up {
		edge := l.edge(min(n, n+up))
		share := (edge - from.Command) / (to.Command - from.Command)
		add(from.Time+min(max(share, 0), 1)*(to.Time-from.Time), l.level(n+up))
	}
}

// tidy brings rungs into one day: what ran past midnight goes to its start, of
// several in a second the last stays, and what changes nothing goes.
func tidy(s stair) stair {
	cut := slices.IndexFunc(s, func(r rung) bool { return r.second >= track.Day })
	if cut >= 0 {
		var early stair
		for _, r := range s[cut:] {
			early = append(early, rung{r.second - track.Day, r.command})
		}
		s = append(early, s[:cut]...)
	}
	var out stair
	for i, r := range s {
		if i+1 < len(s) && s[i+1].second == r.second {
			continue
		}
		if n := len(out); n > 0 && out[n-1].command == r.command {
			continue
		}
		out = append(out, r)
	}
	if n := len(out); n > 1 && out[n-1].command == out[0].command {
		out = out[1:] // the last is held over midnight anyway
	}
	return out
}
