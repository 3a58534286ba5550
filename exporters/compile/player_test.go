package compile

import (
	"math"
	"sort"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"dayloom/exporters/playback"
	"dayloom/exporters/timetable"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/port"
)

// lamp is a lamp as the independent player knows it: nothing of package port or dimmer.
type lamp struct {
	table   [][2]float64 // command, light
	off, on float64
}

// light is the lamp's answer while it is lit.
func (l lamp) light(c float64) float64 {
	for i := 1; i < len(l.table); i++ {
		a, b := l.table[i-1], l.table[i]
		if c <= b[0] {
			return a[1] + (b[1]-a[1])*max(c-a[0], 0)/(b[0]-a[0])
		}
	}
	return l.table[len(l.table)-1][1]
}

// seconds of a day.
const seconds = 86400

// player plays a port's points for one lamp. Points stand at whole seconds, so that the command goes one way
// within a second, and the lamp's state in it follows from that at its start.
type player struct {
	points []port.Point
	hold   bool
	lamp   lamp
	lit    [seconds]bool // at the start of each second, from before it
}

// command is what stands at s, 0 ≤ s ≤ 86400, in the second that begins at k.
func (pl *player) command(k, s float64) float64 {
	n := len(pl.points)
	i := sort.Search(n, func(i int) bool { return pl.points[i].Time > k }) - 1
	a, b := pl.points[(i+n)%n], pl.points[(i+1)%n]
	if i < 0 {
		a.Time -= seconds
	} else if i == n-1 {
		b.Time += seconds
	}
	switch {
	case pl.hold || n == 1 || s == a.Time || a.Command == b.Command:
		return a.Command
	case s == b.Time:
		return b.Command
	}
	return a.Command + (b.Command-a.Command)*(s-a.Time)/(b.Time-a.Time)
}

// next is the lamp's state at a time of the second that begins at k.
func (pl *player) next(lit bool, k, s float64) bool {
	for _, c := range [2]float64{pl.command(k, k), pl.command(k, s)} {
		lit = c >= pl.lamp.on || lit && c >= pl.lamp.off
	}
	return lit
}

// begin finds the state at every second: once round from dark, and on with what that led to.
func (pl *player) begin() {
	lit := false
	for range 2 {
		for k := range seconds {
			pl.lit[k] = lit
			lit = pl.next(lit, float64(k), float64(k+1))
		}
	}
}

// light is the light at s.
func (pl *player) light(s float64) float64 {
	k := math.Floor(s)
	if !pl.next(pl.lit[int(k)], k, s) {
		return 0
	}
	return pl.lamp.light(pl.command(k, s))
}

func (pl *player) dose() (sum float64) {
	for k := range seconds {
		sum += pl.light(float64(k) + 0.5)
	}
	return sum
}

// jump is a step of what is asked, and when both of its sides count as asked.
type jump struct{ from, to, before, after float64 }

// jumpsOf are those of a curve, by the rule: within the one time step that a jump falls in; of one on a time of
// the grid the step that ends with it, or none where commands are held.
func jumpsOf(want curve.Curve, step float64, hold bool) (out []jump) {
	for _, b := range want.Breaks() {
		j := jump{before: want.Before(b), after: want.At(b)}
		grid := math.Round(b/step) * step
		switch on := math.Abs(b-grid) < 1e-6; {
		case b == seconds || math.Abs(j.before-j.after) < 1e-9 || on && hold:
			continue
		case on && b == 0:
			j.from, j.to = seconds-step, seconds
		case on:
			j.from, j.to = grid-step, grid
		default:
			j.from = math.Floor(b/step) * step
			j.to = j.from + step
		}
		out = append(out, j)
	}
	return out
}

// departs holds the light of every second, and of the moment named, against what is asked.
func (pl *player) departs(t *rapid.T, want curve.Curve, step float64, got playback.Port) {
	jumps, most, at := jumpsOf(want, step, pl.hold), 0.0, 0.0
	look := func(s float64) {
		y := want.At(s)
		lo, hi := y, y
		for _, j := range jumps {
			if s > j.from && s < j.to {
				lo, hi = min(lo, j.before, j.after), max(hi, j.before, j.after)
			}
		}
		g := pl.light(s)
		if off := max(g-hi, lo-g, 0); off > most {
			most, at = off, s
		}
	}
	for k := range seconds {
		look(float64(k) + 0.5)
	}
	for _, p := range pl.points {
		look(p.Time + 1e-4)
		look(math.Mod(p.Time-1e-4+seconds, seconds))
	}
	look(got.GreatestAtS)
	assert.InDelta(t, got.Greatest, most, 3e-6, "%s: the player finds it at %.6f s, %.6f s is named", got.Channel, at, got.GreatestAtS)
}

// passes holds that no command rests between the bottom of the range and the command that lights the lamp.
func passes(t *rapid.T, q timetable.Port, on float64) {
	pl := player{points: q.Points, hold: q.Hold}
	between := func(k int) bool {
		c := pl.command(float64(k%seconds), float64(k%seconds)+0.5)
		return c > q.Range[0]+1e-9 && c < on-1e-9
	}
	for k := 0; k < seconds; k++ {
		if !between(k) || between(k+seconds-1) {
			continue
		}
		long := 1
		for between(k+long) && long < seconds {
			long++
		}
		allowed := q.TimeStep
		if end := (k + long - 1) % seconds; !q.Hold && q.PointsPerDay <= 6 && pl.command(float64(end), float64(end)+0.5) > pl.command(float64(k), float64(k)+0.5) {
			allowed = max(allowed, 3600)
		}
		assert.LessOrEqual(t, float64(long), allowed, "at %s the command is between %g and %g V for %d s", timetable.TimeOfDay(float64(k)), q.Range[0], on, long)
	}
}
