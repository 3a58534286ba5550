package port

import (
	"errors"
	"fmt"
	"math"
	"sort"
)

// Point is a command that a controller reaches at a time of its day.
type Point struct {
	Time    float64 // s after midnight on the controller's clock, 0 ≤ t < 86400
	Command float64 // in the port's unit; of a switch 0 (off) and 1 (on)
}

// move is a part of the day over which the command goes in a straight line.
type move struct{ from, to, c0, c1 float64 }

func (m move) command(t float64) float64 {
	switch {
	case m.c0 == m.c1 || t <= m.from:
		return m.c0
	case t >= m.to:
		return m.c1
	}
	return m.c0 + (m.c1-m.c0)*(t-m.from)/(m.to-m.from)
}

// part is the move from a to b only.
func (m move) part(a, b float64) move { return move{a, b, m.command(a), m.command(b)} }

// Course is the command of a port over 24 h. Courses are values that never change.
type Course struct{ moves []move } // in order, without gaps from 0 to Day

// Steady is one command all day.
func Steady(command float64) Course { return Course{[]move{{0, Day, command, command}}} }

// Course is the way through points, which must be at rising times within the day. The
// error names the point at fault, counted from 1.
func (p Port) Course(points []Point) (Course, error) {
	if err := check(points); err != nil {
		return Course{}, err
	}
	var c Course
	add := func(m move) {
		if m.to > m.from {
			c.moves = append(c.moves, m)
		}
	}
	n := len(points)
	night := p.way(points[n-1], points[0])
	night.from -= Day
	add(move{0, night.to, night.command(0), night.c1}) // the way over midnight, the part after it
	for i := range n - 1 {
		add(p.way(points[i], points[i+1]))
	}
	add(move{points[n-1].Time, Day, night.c0, night.command(0)})
	return c, nil
}

func check(points []Point) error {
	if len(points) == 0 {
		return errors.New("a port without points: it needs at least one")
	}
	for i, p := range points {
		switch {
		case !(p.Time >= 0 && p.Time < Day):
			return fmt.Errorf("point %d is at %g s: it must be from 0 to under 86400 s after midnight", i+1, p.Time)
		case math.IsNaN(p.Command) || math.IsInf(p.Command, 0):
			return fmt.Errorf("point %d: its command must be a number", i+1)
		case i > 0 && p.Time <= points[i-1].Time:
			return fmt.Errorf("points %d and %d: %g s after %g s; each must be later than the one before", i, i+1, p.Time, points[i-1].Time)
		}
	}
	return nil
}

// way is how the command goes from one point to the next.
func (p Port) way(from, to Point) move {
	if p.Hold {
		return move{from.Time, to.Time, from.Command, from.Command}
	}
	return move{from.Time, to.Time, from.Command, to.Command}
}

// Command is what the port shows at t seconds after midnight, at a jump what it shows
// from then on; t wraps at the day's end.
func (c Course) Command(t float64) float64 {
	t = wrap(t)
	i := sort.Search(len(c.moves), func(i int) bool { return c.moves[i].to > t })
	return c.moves[min(i, len(c.moves)-1)].command(t)
}

// between is the course from a to b, 0 ≤ a ≤ b ≤ Day, begun at another time.
func (c Course) between(a, b, begin float64) (out []move) {
	for _, m := range c.moves {
		if from, to := max(a, m.from), min(b, m.to); to > from {
			m = m.part(from, to)
			m.from, m.to = m.from-a+begin, m.to-a+begin
			out = append(out, m)
		}
	}
	return out
}

// From is the 24 h of the course that begin at a time of it.
func (c Course) From(t float64) Course {
	t = wrap(t)
	return Course{append(c.between(t, Day, 0), c.between(0, t, Day-t)...)}
}

// Until is the course up to a time, and another from then on.
func (c Course) Until(t float64, next Course) Course {
	return Course{append(c.between(0, t, 0), next.between(t, Day, t)...)}
}

func wrap(t float64) float64 {
	t = math.Mod(t, Day)
	if t < 0 {
		t += Day
	}
	return t
}
