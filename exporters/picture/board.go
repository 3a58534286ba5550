package picture

import (
	"math"
	"strings"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// board knows what room is taken on the data area.
type board struct {
	area  vg.Rectangle
	boxes []vg.Rectangle
	marks []vg.Point
	lamps []vg.Point // kept clear where there is room enough
}

const markRadius = 5

// free reports whether a box lies inside the area and over nothing else.
func (b *board) free(box vg.Rectangle) bool {
	if box.Min.X < b.area.Min.X+1 || box.Max.X > b.area.Max.X-1 || box.Min.Y < b.area.Min.Y+1 || box.Max.Y > b.area.Max.Y-1 {
		return false
	}
	for _, o := range b.boxes {
		if box.Min.X < o.Max.X+2 && o.Min.X < box.Max.X+2 && box.Min.Y < o.Max.Y+2 && o.Min.Y < box.Max.Y+2 {
			return false
		}
	}
	return clear(box, b.marks)
}

// clear reports whether a box keeps off all of some points.
func clear(box vg.Rectangle, points []vg.Point) bool {
	for _, m := range points {
		n := nearest(box, m)
		if math.Hypot(float64(n.X-m.X), float64(n.Y-m.Y)) < markRadius {
			return false
		}
	}
	return true
}

// place finds room for a box near a mark, the nearer the better, and takes it.
func (b *board) place(mark, size vg.Point) (vg.Rectangle, bool) {
	var second *vg.Rectangle
	for _, gap := range []vg.Length{7, 16, 30, 48, 70} {
		for _, side := range [][2]vg.Length{{1, 0}, {-1, 0}, {0, 1}, {0, -1}, {1, 1}, {1, -1}, {-1, 1}, {-1, -1}} {
			middle := vg.Point{X: mark.X + side[0]*(gap+size.X/2), Y: mark.Y + side[1]*(gap+size.Y/2)}
			box := around(middle, size)
			switch {
			case !b.free(box):
			case clear(box, b.lamps):
				b.boxes = append(b.boxes, box)
				return box, true
			case second == nil:
				second = &box
			}
		}
	}
	if second == nil {
		return vg.Rectangle{}, false
	}
	b.boxes = append(b.boxes, *second)
	return *second, true
}

func around(p, size vg.Point) vg.Rectangle {
	return vg.Rectangle{Min: vg.Point{X: p.X - size.X/2, Y: p.Y - size.Y/2}, Max: vg.Point{X: p.X + size.X/2, Y: p.Y + size.Y/2}}
}

// nearest is the point of a box nearest to p.
func nearest(box vg.Rectangle, p vg.Point) vg.Point {
	return vg.Point{X: max(box.Min.X, min(p.X, box.Max.X)), Y: max(box.Min.Y, min(p.Y, box.Max.Y))}
}

// along finds where on a line a text of some length and half height stands best:
// free, and the line as straight as may be; it takes that room.
func (b *board) along(run []vg.Point, length, half vg.Length) (spot vg.Point, turn float64, ok bool) {
	far := make([]vg.Length, len(run)) // way from the start
	for i := 1; i < len(run); i++ {
		far[i] = far[i-1] + vg.Length(math.Hypot(float64(run[i].X-run[i-1].X), float64(run[i].Y-run[i-1].Y)))
	}
	whole := far[len(run)-1]
	if whole < 2.5*length {
		return spot, 0, false
	}
	best := 0.0
	var taken vg.Rectangle
	for s := length; s <= whole-length; s += max(4, whole/200) {
		a, m, z := walk(run, far, s-length/2), walk(run, far, s), walk(run, far, s+length/2)
		chord := vg.Length(math.Hypot(float64(z.X-a.X), float64(z.Y-a.Y)))
		straight := float64(chord/length) - 1e-3*math.Abs(float64(s/whole)-0.5)
		if straight <= max(best, 0.93) {
			continue
		}
		angle := math.Atan2(float64(z.Y-a.Y), float64(z.X-a.X))
		if math.Cos(angle) < -1e-9 { // never upside down
			angle += math.Pi
		}
		w := length*vg.Length(math.Abs(math.Cos(angle))) + 2*half*vg.Length(math.Abs(math.Sin(angle)))
		h := length*vg.Length(math.Abs(math.Sin(angle))) + 2*half*vg.Length(math.Abs(math.Cos(angle)))
		if box := around(m, vg.Point{X: w, Y: h}); b.free(box) {
			best, spot, turn, taken, ok = straight, m, angle, box, true
		}
	}
	if ok {
		b.boxes = append(b.boxes, taken)
	}
	return spot, turn, ok
}

// walk is the place some way along a line.
func walk(run []vg.Point, far []vg.Length, s vg.Length) vg.Point {
	i := 1
	for i < len(run)-1 && far[i] < s {
		i++
	}
	t := vg.Length(0)
	if far[i] > far[i-1] {
		t = (s - far[i-1]) / (far[i] - far[i-1])
	}
	return vg.Point{X: run[i-1].X + t*(run[i].X-run[i-1].X), Y: run[i-1].Y + t*(run[i].Y-run[i-1].Y)}
}

// header is the title and the lines below it.
type header struct {
	title  string
	lines  []string
	height vg.Length
}

// heading breaks the subtitle to the width of the page.
func heading(p Picture, width vg.Length) header {
	h := header{title: p.Title}
	style := words(10, false)
	for _, part := range strings.Split(p.Subtitle, "\n") {
		line := ""
		for _, w := range strings.Fields(part) {
			if line != "" && style.Width(line+" "+w) > width {
				h.lines = append(h.lines, line)
				line = ""
			}
			line = strings.TrimSpace(line + " " + w)
		}
		h.lines = append(h.lines, line)
	}
	h.height = 22 + 13*vg.Length(len(h.lines)) + 8
	return h
}

func (h header) draw(c draw.Canvas) {
	title := words(14, true)
	title.YAlign = draw.YTop
	c.FillText(title, vg.Point{X: c.Min.X, Y: c.Max.Y}, h.title)
	style := words(10, false)
	style.YAlign = draw.YTop
	for i, l := range h.lines {
		c.FillText(style, vg.Point{X: c.Min.X, Y: c.Max.Y - 22 - 13*vg.Length(i)}, l)
	}
}
