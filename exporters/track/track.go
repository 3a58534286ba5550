package track

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"dayloom/photon/dimmer"
)

// Day is the length of the controller's day in seconds.
const Day = 86400.0

// Point is a command that a controller reaches at a time of its day.
type Point struct {
	Time    float64 // s after midnight on the controller's clock, 0 ≤ t < 86400
	Command float64 // in the port's unit
}

// move is a part of the day over which the command goes in a straight line and
// the response has no kink or step inside.
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

// Track is a day of a port: points, the way between them, and the response of
// the dimmer. Tracks are values that never change.
type Track struct {
	points   []Point
	hold     bool
	response dimmer.Response
	moves    []move // in order, without gaps from 0 to Day
}

// New is the track through the points, which must be at rising times within the
// day. hold keeps each command until the next point; otherwise the command ramps.
// The error names the point at fault, counted from 1.
func New(points []Point, hold bool, response dimmer.Response) (Track, error) {
	if err := check(points); err != nil {
		return Track{}, err
	}
	tr := Track{points: slices.Clone(points), hold: hold, response: response}
	n := len(points)
	night := tr.way(points[n-1], points[0])
	night.from -= Day
	if night.to > 0 { // the way over midnight, the part after it
		tr.add(move{0, night.to, night.command(0), night.c1})
	}
	for i := range n - 1 {
		tr.add(tr.way(points[i], points[i+1]))
	}
	tr.add(move{points[n-1].Time, Day, night.c0, night.command(0)})
	return tr, nil
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
func (tr Track) way(p, q Point) move {
	if tr.hold {
		return move{p.Time, q.Time, p.Command, p.Command}
	}
	return move{p.Time, q.Time, p.Command, q.Command}
}

// add appends a move, cut where its command passes a break of the response.
func (tr *Track) add(m move) {
	breaks := tr.response.Breaks(m.c0, m.c1)
	if m.c1 < m.c0 {
		slices.Reverse(breaks)
	}
	at := m
	for _, c := range breaks {
		t := m.from + (m.to-m.from)*(c-m.c0)/(m.c1-m.c0)
		if t <= at.from || t >= m.to {
			continue // the break is within rounding of an end
		}
		tr.moves = append(tr.moves, move{at.from, t, at.c0, c})
		at.from, at.c0 = t, c
	}
	tr.moves = append(tr.moves, at)
}
