package follow

import (
	"math"
	"sort"

	"dayloom/exporters/timetable"
	"dayloom/schedule/shape/port"
)

// stairs are the ports of a table as a controller plays them that moves on its steps.
type stairs struct {
	ports []timetable.Port // held points on whole seconds
	light [][]port.Played  // of each port's lamps
}

func stairsOf(t timetable.Table) (stairs, error) {
	s := stairs{ports: make([]timetable.Port, len(t.Ports))}
	for i, p := range t.Ports {
		s.ports[i] = p
		s.ports[i].Points, s.ports[i].Hold = p.Stair(p.Points), true
	}
	var err error
	s.light, err = timetable.Table{Ports: s.ports}.Light()
	return s, err
}

// at is what port k shows at a second of the day, and the light that each of its lamps
// gives then.
func (s stairs) at(k int, second float64) (command float64, light []float64) {
	points := s.ports[k].Points
	i := sort.Search(len(points), func(i int) bool { return points[i].Time > second })
	command = points[(i+len(points)-1)%len(points)].Command
	for _, l := range s.light[k] {
		light = append(light, l.At(second))
	}
	if light == nil { // an outlet that only feeds others
		light = []float64{command}
	}
	return command, light
}

// after is the second of the next step of any port, or the day's length.
func (s stairs) after(second float64) float64 {
	next := port.Day
	for _, p := range s.ports {
		i := sort.Search(len(p.Points), func(i int) bool { return p.Points[i].Time > second })
		if i < len(p.Points) {
			next = math.Min(next, p.Points[i].Time)
		}
	}
	return next
}
