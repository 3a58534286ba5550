package acclimate

import (
	"math"

	"dayloom/photon/tank"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

const (
	spacing    = 0.03 // m between candidate places, wider in big tanks
	mostPlaces = 12000
)

// reach is a region of a tank.
type reach struct {
	tank int
	in   plan.Volume
}

// candidates are the places that a coral by place may stand on, and their light.
type candidates struct {
	places []light.Place
	cells  [][]light.Cell
}

// destination is where a coral ends, with the gain its readings gave it.
func (g *Programme) destination(coral int, gain float64) stand {
	s := g.home(coral)
	s.gain = gain
	if gain != 1 {
		s.cells = light.Times(s.cells, gain)
	}
	return s
}

// region is where the plan lets the coral stand, kept off the walls. Without word
// from the plan it is the whole tank, no shallower than its shallowest coral.
func (g *Programme) region(t *Track) plan.Volume {
	acc, tank := t.acc, g.p.TankOf(t.Coral)
	b := g.p.TankAt(tank).Box
	v := plan.Volume{X: [2]float64{0, b.Length}, Y: [2]float64{0, b.Width}, Depth: [2]float64{b.Depth, b.Depth}}
	for i, c := range g.p.Corals {
		if g.p.TankOf(i) == tank {
			v.Depth[0] = min(v.Depth[0], c.Depth)
		}
	}
	if acc.Within != nil {
		v = *acc.Within
	}
	off := acc.Apart
	for _, side := range []struct {
		of     *[2]float64
		length float64
	}{{&v.X, b.Length}, {&v.Y, b.Width}} {
		side.of[0], side.of[1] = max(side.of[0], off), min(side.of[1], side.length-off)
	}
	v.Depth[1] = min(v.Depth[1], b.Depth)
	return v
}

// candidatesIn is a grid over a region with the light at each of its points.
func (g *Programme) candidatesIn(tank int, v plan.Volume) (*candidates, error) {
	key := reach{tank, v}
	if c := g.field[key]; c != nil {
		return c, nil
	}
	c := &candidates{}
	if grid, ok := lattice(v); ok {
		for i := range grid.Len() {
			c.places = append(c.places, grid.Place(i))
		}
		var err error
		if g.opts.Cells != nil {
			c.cells, err = g.opts.Cells(c.places)
		} else {
			c.cells, err = g.over(tank, grid)
		}
		if err != nil {
			return nil, err
		}
	}
	g.field[key] = c
	return c, nil
}

// lattice is a grid that holds both ends of each side, as fine as mostPlaces allows;
// false when a side has no room.
func lattice(v plan.Volume) (tank.Grid, bool) {
	sides := [3][2]float64{v.X, v.Y, v.Depth}
	var n [3]int
	for h := spacing; ; h *= 1.25 {
		for i, s := range sides {
			if s[1] < s[0] {
				return tank.Grid{}, false
			}
			n[i] = int(math.Ceil((s[1]-s[0])/h-1e-9)) + 1
		}
		if n[0]*n[1]*n[2] <= mostPlaces {
			break
		}
	}
	step := func(i int) float64 {
		if n[i] == 1 {
			return spacing // one place: any step
		}
		return (sides[i][1] - sides[i][0]) / float64(n[i]-1)
	}
	out := tank.Grid{X0: v.X[0], Dx: step(0), Nx: n[0], Y0: v.Y[0], Dy: step(1), Ny: n[1]}
	for k := range n[2] {
		out.Depths = append(out.Depths, v.Depth[0]+float64(k)*step(2))
	}
	return out, true
}

func away(a, b light.Place) float64 {
	return math.Hypot(math.Hypot(a.X-b.X, a.Y-b.Y), a.Depth-b.Depth)
}

// free tells whether a place keeps its distance from all other corals from one date
// to another, wherever they stand by what is known.
func (g *Programme) free(coral int, at light.Place, off float64, from, to plan.Date) bool {
	for other := range g.p.Corals {
		if other == coral {
			continue
		}
		s, _ := g.standing(other, from)
		if g.p.Zones[s.zone].Tank != g.p.TankOf(coral) {
			continue
		}
		if g.present(other, to) && away(s.place, at) < off {
			return false
		}
		t := g.track(other, to)
		if t == nil {
			continue
		}
		for _, e := range t.Events {
			if e.cells != nil && from.Before(e.Date) && !to.Before(e.Date) && away(e.Place, at) < off {
				return false
			}
		}
	}
	return true
}
