package picture

import (
	"fmt"
	"image/color"
	"math"

	"gonum.org/v1/plot/vg"
)

// Layout is a picture taken apart for whoever draws it elsewhere. Places are [x, y] on its
// axes, cm, as Picture has them: y from the front glass, or above the water.
type Layout struct {
	Water, Whole Box // what is filled; with the lamps about it
	Bands        []Band
	Lamps        [][][2]float64 // corners: one of a point, two of a line or of a panel from the side, four of a panel
	Corals       []Spot         // as Picture.Corals
	Least, Most  float64        // light of the map
}

// Box is a rectangle on the axes, cm.
type Box struct{ X0, X1, Y0, Y1 float64 }

// Band is all light from one level to the next.
type Band struct {
	From, To string // its levels, as a picture writes them; of light that is alike everywhere both are that
	Shade    color.NRGBA
	Fill     [][][2]float64 // closed lines about all that is at least From, in the order of filling; of the darkest none
	Edge     [][][2]float64 // the contour of From
	Numbers  []Number       // where the contour's number has room
	Pale     bool           // the number is pale on the shade
}

// Number is the middle of a contour's number and how far it is turned clockwise, degrees.
type Number struct{ X, Y, Turn float64 }

// Spot is where a coral is drawn, and whether it stands within 1 cm of what is drawn.
type Spot struct {
	X, Y  float64
	Near  bool
	Where string // how far aside it stands, such as "28 cm deep"
}

// Layout takes the picture of a plane or section apart, with numbers placed for a drawing
// at most so many points wide and high.
func (p Picture) Layout(width, height float64) (Layout, error) {
	if !p.Region.Flat() {
		return Layout{}, fmt.Errorf("a volume has no picture; choose a plane or a section")
	}
	s := p.scene()
	out := Layout{Water: Box{s.x[0], s.x[len(s.x)-1], s.y[0], s.y[len(s.y)-1]}, Whole: Box{s.xmin, s.xmax, s.ymin, s.ymax}, Least: math.Inf(1), Most: math.Inf(-1)}
	for _, row := range s.z {
		for _, v := range row {
			out.Least, out.Most = min(out.Least, v), max(out.Most, v)
		}
	}
	scale := min(width/(s.xmax-s.xmin), height/(s.ymax-s.ymin))
	at := func(q point) vg.Point {
		return vg.Point{X: vg.Length((q.x - s.xmin) * scale), Y: vg.Length((q.y - s.ymin) * scale)}
	}
	b := board{area: vg.Rectangle{Max: at(point{s.xmax, s.ymax})}}
	for _, c := range s.Corals {
		q := s.seen(c.X, c.Y, -c.Depth)
		off, where := s.off(c)
		b.marks = append(b.marks, at(q))
		out.Corals = append(out.Corals, Spot{q.x, q.y, off <= near, where})
	}
	for _, e := range s.Lamps {
		out.Lamps = append(out.Lamps, pairs(s.outline(e)))
	}
	for i := range s.bands.n {
		out.Bands = append(out.Bands, s.band(i, at, scale, &b))
	}
	return out, nil
}

// band is one band with its contour and the numbers on that.
func (s *scene) band(i int, at func(point) vg.Point, scale float64, b *board) Band {
	out := Band{From: number(s.bands.level(i)), To: number(s.bands.level(i + 1)), Shade: s.bands.shade(i), Pale: 2*i < s.bands.n}
	if i == 0 {
		return out
	}
	closed := s.contour(s.bands.level(i))
	for _, l := range closed {
		out.Fill = append(out.Fill, pairs(l))
	}
	style := words(10, false)
	for _, l := range s.open(closed) {
		out.Edge = append(out.Edge, pairs(l))
		run := make([]vg.Point, len(l))
		for k, q := range l {
			run[k] = at(q)
		}
		if spot, turn, ok := b.along(run, style.Width(out.From)+8, style.Font.Size/2+2); ok {
			out.Numbers = append(out.Numbers, Number{float64(spot.X)/scale + s.xmin, float64(spot.Y)/scale + s.ymin, -turn * 180 / math.Pi})
		}
	}
	return out
}

func pairs(line []point) [][2]float64 {
	out := make([][2]float64, len(line))
	for i, q := range line {
		out[i] = [2]float64{q.x, q.y}
	}
	return out
}
