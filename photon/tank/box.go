package tank

import (
	"fmt"
	"math"
)

// WallKind is what the inside of a wall does to light.
type WallKind int

// The kinds of wall.
const (
	Dark  WallKind = iota // throws nothing back
	Glass                 // clean glass: Fresnel reflectance of water against air
	Share                 // throws back Wall.Share at every angle, as a mirror
)

// Wall is one of the four sides of a tank.
type Wall struct {
	Kind  WallKind
	Share float64 // reflectance of a Share wall, 0..1
}

// Box is the water body: Length along x, Width along y, Depth [m].
type Box struct {
	Length, Width, Depth     float64
	Left, Right, Front, Back Wall
}

// Place is a point in the water, Depth metres below the surface.
type Place struct{ X, Y, Depth float64 }

// The sides of a tank [m].
const (
	shortest = 0.001
	longest  = 1000
)

// Validate reports what is wrong with the tank, or nil.
func (b Box) Validate() error {
	for _, side := range []struct {
		name string
		size float64
	}{{"length", b.Length}, {"width", b.Width}, {"depth", b.Depth}} {
		if !(side.size >= shortest && side.size <= longest) {
			return fmt.Errorf("tank: %s %g m: it must be from %g m to %d m", side.name, side.size, shortest, longest)
		}
	}
	for _, wall := range []struct {
		name string
		Wall
	}{{"left", b.Left}, {"right", b.Right}, {"front", b.Front}, {"back", b.Back}} {
		if wall.Kind < Dark || wall.Kind > Share || wall.Kind == Share && !(wall.Share >= 0 && wall.Share <= 1) {
			return fmt.Errorf("tank: %s wall: it must be dark, glass or a share from 0 %% to 100 %%, not %g", wall.name, wall.Share)
		}
	}
	return nil
}

// mirror is one cell of the unfolded tank along one axis. Cell 0 is the tank;
// a place at x has its image at off + sign·x.
type mirror struct {
	cell      int
	off, sign float64
	fixed     float64 // reflectance of the angle-independent walls on the way
	glass     int     // how many times the way meets glass
}

// negligible is the reflectance below which an image is dropped. It only ends
// the series where n is near 1; otherwise the critical angle does.
const negligible = 1e-5

// mirrors lists the cells of an axis that light can come to, at most reach
// metres outside the tank, the tank itself first.
func mirrors(length, reach float64, low, high Wall) []mirror {
	out := []mirror{{sign: 1, fixed: 1}}
	for _, side := range []int{1, -1} {
		fixed, glass := 1.0, 0
		for k := 1; float64(k-1)*length < reach; k++ {
			wall := high
			if (k%2 == 1) == (side < 0) { // walls alternate, the first is the one on this side
				wall = low
			}
			switch wall.Kind {
			case Dark:
				fixed = 0
			case Share:
				fixed *= wall.Share
			case Glass:
				glass++
			}
			if fixed < negligible {
				break
			}
			m := mirror{cell: side * k, off: float64(side*k) * length, sign: 1, fixed: fixed, glass: glass}
			if k%2 == 1 {
				m.off, m.sign = m.off+length, -1
			}
			out = append(out, m)
		}
	}
	return out
}

// edge is the distance [m] within which an entry counts as on the rim.
const edge = 1e-9

// enters is the share of a part of a lamp whose rays to this image enter the
// water between 0 and length, when the middle ray enters at the given place
// and the outermost ones half a part to either side.
//
// A ray exactly on the rim counts unless it leaves the tank there at once, so
// that the light at a wall is the limit of the light beside it and no ray
// counts twice.
func (m mirror) enters(at, half, length float64) float64 {
	if half > edge {
		inside := math.Min(at+half, length+edge) - math.Max(at-half, -edge)
		return math.Min(1, math.Max(0, inside/(2*half)))
	}
	switch {
	case at < -edge, at > length+edge, at < edge && m.cell < 0, at > length-edge && m.cell > 0:
		return 0
	}
	return 1
}
