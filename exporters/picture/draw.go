package picture

import (
	"image/color"
	"math"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Plot draws the scene on the data area of its axes.
func (s *scene) Plot(c draw.Canvas, pl *plot.Plot) {
	tx, ty := pl.Transforms(&c)
	at := func(p point) vg.Point { return vg.Point{X: tx(p.x), Y: ty(p.y)} }
	b := board{area: c.Rectangle}
	lines := s.fill(c, at)
	s.lamps(c, at)
	s.corals(c, at, &b)
	s.numbers(c, at, lines, &b)
	box := rectangle(tx(s.x[0]), ty(s.y[0]), tx(s.x[len(s.x)-1]), ty(s.y[len(s.y)-1]))
	c.SetColor(ink)
	c.SetLineDash(nil, 0)
	c.SetLineWidth(1)
	c.Stroke(box)
}

// fill paints the bands from dark to bright, each over the one before, and draws
// their edges; it gives the edges back, by band.
func (s *scene) fill(c draw.Canvas, at func(point) vg.Point) [][][]point {
	c.SetColor(s.bands.shade(0))
	c.Fill(vg.Rectangle{Min: at(point{s.x[0], s.y[0]}), Max: at(point{s.x[len(s.x)-1], s.y[len(s.y)-1]})}.Path())
	edges := make([][][]point, s.bands.n)
	for i := 1; i < s.bands.n; i++ {
		closed := s.contour(s.bands.level(i))
		var path vg.Path
		for _, line := range closed {
			path = append(path, pathOf(line, at)...)
			path.Close()
		}
		if len(path) > 0 {
			c.SetColor(s.bands.shade(i))
			c.Fill(path)
		}
		edges[i] = s.open(closed)
	}
	c.SetLineDash(nil, 0)
	c.SetLineWidth(0.6)
	for i, lines := range edges {
		c.SetColor(s.lineColour(i))
		for _, line := range lines {
			c.Stroke(pathOf(line, at))
		}
	}
	return edges
}

// lineColour stands out from both bands that the line parts.
func (s *scene) lineColour(i int) color.Color {
	if 2*i < s.bands.n {
		return color.NRGBA{255, 255, 255, 150}
	}
	return color.NRGBA{0, 0, 0, 130}
}

func pathOf(line []point, at func(point) vg.Point) vg.Path {
	var p vg.Path
	for i, q := range line {
		if i == 0 {
			p.Move(at(q))
		} else {
			p.Line(at(q))
		}
	}
	return p
}

// lamps draws the outlines, white under dark so that they show on every band.
func (s *scene) lamps(c draw.Canvas, at func(point) vg.Point) {
	for _, e := range s.Lamps {
		var p vg.Path
		corners := s.outline(e)
		middle := at(corners[0])
		switch len(corners) {
		case 1:
			p.Move(vg.Point{X: middle.X + 5, Y: middle.Y})
			p.Arc(middle, 5, 0, 2*math.Pi)
			p.Close()
		case 2:
			p = capsule(middle, at(corners[1]), 3.5)
		default:
			p = pathOf(corners, at)
			p.Close()
		}
		c.SetLineDash(nil, 0)
		c.SetLineWidth(2.2)
		c.SetColor(paper)
		c.Stroke(p)
		c.SetLineDash([]vg.Length{4, 2}, 0)
		c.SetLineWidth(1)
		c.SetColor(ink)
		c.Stroke(p)
	}
	c.SetLineDash(nil, 0)
}

// capsule is the outline of a bar from a to b.
func capsule(a, b vg.Point, radius vg.Length) vg.Path {
	dir := math.Atan2(float64(b.Y-a.Y), float64(b.X-a.X))
	nx, ny := radius*vg.Length(-math.Sin(dir)), radius*vg.Length(math.Cos(dir))
	var p vg.Path
	p.Move(vg.Point{X: a.X - nx, Y: a.Y - ny})
	p.Line(vg.Point{X: b.X - nx, Y: b.Y - ny})
	p.Arc(b, radius, dir-math.Pi/2, math.Pi)
	p.Line(vg.Point{X: a.X + nx, Y: a.Y + ny})
	p.Arc(a, radius, dir+math.Pi/2, math.Pi)
	p.Close()
	return p
}

// near is the distance [m] within which a coral counts as in the plane or section.
const near = 0.01

// corals draws marks, then names where there is room for them.
func (s *scene) corals(c draw.Canvas, at func(point) vg.Point, b *board) {
	for _, k := range s.Corals {
		b.marks = append(b.marks, at(s.seen(k.X, k.Y, -k.Depth)))
	}
	for _, e := range s.Lamps {
		if corners := s.outline(e); len(corners) == 1 {
			b.lamps = append(b.lamps, at(corners[0]))
		}
	}
	style := words(8.5, false)
	style.XAlign, style.YAlign = draw.XLeft, draw.YTop
	for i, k := range s.Corals {
		text := k.Name + "\n" + number(math.Round(k.Value*10)/10)
		off, where := s.off(k)
		if off > near {
			text += ", " + where
		}
		size := vg.Point{X: style.Width(text) + 8, Y: style.Height(text) + 4}
		box, ok := b.place(b.marks[i], size)
		if !ok {
			s.unnamed++
			continue
		}
		from := nearest(box, b.marks[i])
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.7}, b.marks[i].X, b.marks[i].Y, from.X, from.Y)
		c.SetColor(paper)
		c.Fill(box.Path())
		for n, line := range strings.Split(text, "\n") {
			y := box.Max.Y - 2 - vg.Length(n)*style.Height("x")*1.02
			c.FillText(style, vg.Point{X: box.Min.X + 4, Y: y}, line)
		}
	}
	for i, k := range s.Corals {
		c.SetColor(white)
		c.Fill(disc(b.marks[i], 4.2))
		c.SetColor(ink)
		c.Fill(disc(b.marks[i], 3.2))
		if off, _ := s.off(k); off > near {
			c.SetColor(white)
			c.Fill(disc(b.marks[i], 1.9))
		}
	}
}

func disc(at vg.Point, radius vg.Length) vg.Path {
	var p vg.Path
	p.Move(vg.Point{X: at.X + radius, Y: at.Y})
	p.Arc(at, radius, 0, 2*math.Pi)
	p.Close()
	return p
}

// numbers labels the contours where they run straightest and nothing stands yet.
func (s *scene) numbers(c draw.Canvas, at func(point) vg.Point, edges [][][]point, b *board) {
	style := words(8, false)
	style.XAlign, style.YAlign = draw.XCenter, draw.YCenter
	for i, lines := range edges {
		text := number(s.bands.level(i))
		length := style.Width(text) + 6
		for _, line := range lines {
			run := make([]vg.Point, len(line))
			for k, q := range line {
				run[k] = at(q)
			}
			spot, turn, ok := b.along(run, length, style.Font.Size/2+1)
			if !ok {
				continue
			}
			patch := capsule(offset(spot, turn, -length/2+4), offset(spot, turn, length/2-4), style.Font.Size/2)
			c.SetColor(s.bands.shade(i))
			c.Fill(patch)
			t := style
			t.Rotation = turn
			t.Color = ink
			if 2*i < s.bands.n {
				t.Color = white
			}
			c.FillText(t, spot, text)
		}
	}
}

func offset(p vg.Point, turn float64, by vg.Length) vg.Point {
	return vg.Point{X: p.X + by*vg.Length(math.Cos(turn)), Y: p.Y + by*vg.Length(math.Sin(turn))}
}
