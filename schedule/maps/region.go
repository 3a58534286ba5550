package maps

import (
	"fmt"
	"math"
	"slices"

	"dayloom/photon/tank"
	"dayloom/schedule/plan"
)

// Region is where a grid lies: a horizontal plane, a vertical section, or the
// whole volume. What is nil runs from wall to wall.
type Region struct {
	Box         tank.Box
	X, Y, Depth *float64 // m; at most one is set
}

// Check reports, for people, why the region is not one of the tank.
func (r Region) Check() error {
	set := 0
	for _, a := range r.axes() {
		if a.at == nil {
			continue
		}
		set++
		if !(*a.at >= 0 && *a.at <= a.length+1e-9) {
			return fmt.Errorf("%s = %s lies outside the tank: it goes from 0 to %s", a.name, Cm(*a.at), Cm(a.length))
		}
	}
	if set > 1 {
		return fmt.Errorf("a plane or a section, not both: a plane has a depth, a section an x or a y")
	}
	return nil
}

// Name says where the region lies.
func (r Region) Name() string {
	switch {
	case r.Depth != nil:
		return "plane " + Cm(*r.Depth) + " deep"
	case r.X != nil:
		return "section at x = " + Cm(*r.X)
	case r.Y != nil:
		return "section at y = " + Cm(*r.Y)
	}
	return "whole volume"
}

// Flat reports whether the region is a plane or a section.
func (r Region) Flat() bool { return r.X != nil || r.Y != nil || r.Depth != nil }

// OrPlane is a flat region as it is; for the whole volume, the plane at the median
// depth of the corals, if there are any.
func (r Region) OrPlane(p *plan.Plan) (Region, bool) {
	if r.Flat() {
		return r, true
	}
	var depths []float64
	for _, c := range p.Corals {
		depths = append(depths, c.Depth)
	}
	if depths == nil {
		return r, false
	}
	slices.Sort(depths)
	r.Depth = &depths[(len(depths)-1)/2]
	return r, true
}

// Spacing is a round spacing [m] that gives some 120 cells along the longest side.
func (r Region) Spacing() float64 { return r.round(120) }

// Fine is a round spacing [m] for pictures: some 240 steps along the longest side.
func (r Region) Fine() float64 { return r.round(240) }

func (r Region) round(cells float64) float64 {
	longest := 0.0
	for _, a := range r.axes() {
		if a.at == nil {
			longest = max(longest, a.length)
		}
	}
	for _, s := range []float64{0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1, 0.2, 0.5} {
		if longest/s <= cells*1.01 {
			return s
		}
	}
	return 1
}

// Cells is the grid of the middles of equal cells no wider than spacing [m].
func (r Region) Cells(spacing float64) (tank.Grid, error) {
	return r.grid(spacing, func(length float64, n int) (float64, float64, int) {
		step := length / float64(n)
		return step / 2, step, n
	})
}

// Nodes is the grid of equal steps no wider than spacing [m] from wall to wall.
func (r Region) Nodes(spacing float64) (tank.Grid, error) {
	return r.grid(spacing, func(length float64, n int) (float64, float64, int) {
		return 0, length / float64(n), n + 1
	})
}

func (r Region) grid(spacing float64, lay func(length float64, n int) (from, step float64, count int)) (tank.Grid, error) {
	if err := r.Check(); err != nil {
		return tank.Grid{}, err
	}
	if !(spacing > 0) {
		return tank.Grid{}, fmt.Errorf("the spacing must be more than 0 cm")
	}
	var from, step [3]float64
	var count [3]int
	for i, a := range r.axes() {
		if a.at != nil {
			from[i], step[i], count[i] = *a.at, 1, 1
			continue
		}
		n := math.Max(1, math.Ceil(a.length/spacing-1e-9))
		if n > mostPlaces {
			return tank.Grid{}, tooFine(spacing)
		}
		from[i], step[i], count[i] = lay(a.length, int(n))
	}
	g := tank.Grid{X0: from[0], Dx: step[0], Nx: count[0], Y0: from[1], Dy: step[1], Ny: count[1]}
	for k := range count[2] {
		g.Depths = append(g.Depths, from[2]+float64(k)*step[2])
	}
	if float64(g.Nx)*float64(g.Ny)*float64(len(g.Depths)) > mostPlaces {
		return tank.Grid{}, tooFine(spacing)
	}
	return g, nil
}

// mostPlaces bounds a grid, and with it the memory of a map: 4 bytes a place and channel.
const mostPlaces = 20e6

func tooFine(spacing float64) error {
	return fmt.Errorf("a spacing of %s gives more than %.0f million places; choose a wider one", Cm(spacing), mostPlaces/1e6)
}

type axis struct {
	name   string
	length float64
	at     *float64
}

func (r Region) axes() [3]axis {
	return [3]axis{{"x", r.Box.Length, r.X}, {"y", r.Box.Width, r.Y}, {"depth", r.Box.Depth, r.Depth}}
}

// Cm writes a length in m as centimetres for people.
func Cm(m float64) string { return fmt.Sprintf("%g cm", math.Round(m*1e4)/1e2) }
