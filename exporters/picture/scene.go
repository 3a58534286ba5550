package picture

import (
	"cmp"
	"fmt"
	"image/color"
	"math"
	"slices"
	"strconv"

	stdfont "golang.org/x/image/font"
	"gonum.org/v1/plot"
	"gonum.org/v1/plot/font"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"dayloom/photon/emitter"
	"dayloom/schedule/maps"
)

var (
	white = color.NRGBA{255, 255, 255, 255}
	ink   = color.NRGBA{20, 24, 30, 255}
	paper = color.NRGBA{255, 255, 255, 225}
)

// scene is the picture in the coordinates of its axes, cm.
type scene struct {
	field
	Picture
	bands                  bands
	xmin, xmax, ymin, ymax float64
	unnamed                int // corals whose name found no room
}

func (p Picture) scene() scene {
	s := scene{Picture: p, field: p.field()}
	lo, hi := math.Inf(1), math.Inf(-1)
	for _, row := range s.z {
		for _, v := range row {
			lo, hi = math.Min(lo, v), math.Max(hi, v)
		}
	}
	s.bands = bandsOf(lo, hi)
	s.xmin, s.xmax = s.x[0], s.x[len(s.x)-1]
	s.ymin, s.ymax = s.y[0], s.y[len(s.y)-1]
	room := 0.02 * math.Max(s.xmax-s.xmin, s.ymax-s.ymin)
	x0, x1, y0, y1 := s.xmin, s.xmax, s.ymin, s.ymax
	for _, l := range p.Lamps {
		for _, c := range s.outline(l) {
			s.xmin, s.xmax = math.Min(s.xmin, math.Max(c.x-room, x0-(x1-x0))), math.Max(s.xmax, math.Min(c.x+room, x1+(x1-x0)))
			s.ymin, s.ymax = math.Min(s.ymin, math.Max(c.y-room, y0-2*(y1-y0))), math.Max(s.ymax, math.Min(c.y+room, y1+4*(y1-y0)))
		}
	}
	return s
}

// field is the light of the map, axes in cm, depth downward as negative height.
func (p Picture) field() field {
	g := p.Map.Grid
	line := func(from, step float64, n int) []float64 {
		out := make([]float64, n)
		for i := range out {
			out[i] = 100 * (from + float64(i)*step)
		}
		return out
	}
	f := field{x: line(g.X0, g.Dx, g.Nx)}
	at := func(i, j int) int { return j*g.Nx + i }
	switch {
	case p.Region.Depth != nil:
		f.y = line(g.Y0, g.Dy, g.Ny)
	case p.Region.X != nil:
		f.x = line(g.Y0, g.Dy, g.Ny)
		at = func(i, j int) int { return (len(g.Depths)-1-j)*g.Ny + i }
	default:
		at = func(i, j int) int { return (len(g.Depths)-1-j)*g.Nx + i }
	}
	if p.Region.Depth == nil {
		for k := range g.Depths {
			f.y = append(f.y, -100*g.Depths[len(g.Depths)-1-k])
		}
	}
	for j := range f.y {
		row := make([]float64, len(f.x))
		for i := range row {
			row[i] = p.Map.Total(at(i, j))
		}
		f.z = append(f.z, row)
	}
	return f
}

// seen is where a place in the tank, height above the water [m], lies on the axes.
func (p Picture) seen(x, y, height float64) point {
	switch {
	case p.Region.Depth != nil:
		return point{100 * x, 100 * y}
	case p.Region.X != nil:
		return point{100 * y, 100 * height}
	}
	return point{100 * x, 100 * height}
}

// outline is the body of a lamp: one corner for a point, two for a line, four for
// a panel seen from above; from the side a panel has two as well.
func (p Picture) outline(e emitter.Emitter) []point {
	var out []point
	for i, c := range e.Above() {
		out = append(out, p.seen(c[0], c[1], e.Height+float64(i)*e.Rise)) // only a line rises, to its second end
	}
	if e.Kind == emitter.Panel && p.Region.Depth == nil {
		across := func(a, b point) int { return cmp.Compare(a.x, b.x) }
		return []point{slices.MinFunc(out, across), slices.MaxFunc(out, across)}
	}
	return out
}

// off is how far a coral stands from what is drawn [m].
func (p Picture) off(c Coral) (float64, string) {
	switch {
	case p.Region.Depth != nil:
		return math.Abs(c.Depth - *p.Region.Depth), maps.Cm(c.Depth) + " deep"
	case p.Region.X != nil:
		return math.Abs(c.X - *p.Region.X), "x " + maps.Cm(c.X)
	}
	return math.Abs(c.Y - *p.Region.Y), "y " + maps.Cm(c.Y)
}

// axes is an empty plot with the axes of the scene.
func (s *scene) axes() *plot.Plot {
	pl := plot.New()
	pl.BackgroundColor = nil
	pl.X.Min, pl.X.Max, pl.Y.Min, pl.Y.Max = s.xmin, s.xmax, s.ymin, s.ymax
	pl.X.Label.Text = "x from the left end, cm"
	pl.Y.Label.Text = "y from the front glass, cm"
	if s.Region.Depth == nil {
		pl.Y.Label.Text = "below | above the water, cm"
		if s.Region.X != nil {
			pl.X.Label.Text = "y from the front glass, cm"
		}
	}
	pl.X.Tick.Marker, pl.Y.Tick.Marker = ticks(7, 14), ticks(4, 9)
	for _, a := range []*plot.Axis{&pl.X, &pl.Y} {
		a.Label.TextStyle.Font, a.Tick.Label.Font = words(10, false).Font, words(9, false).Font
		a.Label.TextStyle.Color, a.Tick.Label.Color = ink, ink
		a.Padding = 4
	}
	pl.Y.Label.Padding = 4
	return pl
}

// ticks puts between few and many round numbers on an axis; without a sign, as
// heights and depths are told apart by the label.
func ticks(few, many int) plot.Ticker {
	return plot.TickerFunc(func(lo, hi float64) []plot.Tick {
		step := 1.0
		for _, s := range []float64{1, 2, 5, 10, 20, 50, 100, 200, 500, 1000} {
			step = s
			if (hi-lo)/s <= float64(many) {
				break
			}
		}
		if (hi-lo)/step < float64(few) {
			step = (hi - lo) / float64(few)
			step = math.Pow(10, math.Floor(math.Log10(step)))
			for (hi-lo)/step > float64(many) {
				step *= 2
			}
		}
		var out []plot.Tick
		for k := math.Ceil(lo/step - 1e-9); k*step <= hi+1e-9*step; k++ {
			out = append(out, plot.Tick{Value: k * step, Label: strconv.FormatFloat(math.Abs(k*step), 'g', 4, 64)})
		}
		return out
	})
}

// words is a text style.
func words(size vg.Length, bold bool) draw.TextStyle {
	f := font.Font{Typeface: "Liberation", Variant: "Sans", Size: size}
	if bold {
		f.Weight = stdfont.WeightBold
	}
	return draw.TextStyle{Color: ink, Font: f, Handler: plot.DefaultTextHandler}
}

// bar is the colour scale with its numbers.
func (s *scene) bar(c draw.Canvas) {
	const height = 11
	n := vg.Length(s.bands.n)
	width := c.Size().X / n
	yTop := c.Min.Y + 30
	text := words(9, false)
	text.XAlign, text.YAlign = draw.XCenter, draw.YTop
	for i := range s.bands.n {
		x := c.Min.X + vg.Length(i)*width
		c.SetColor(s.bands.shade(i))
		c.Fill(rectangle(x, yTop-height, x+width, yTop))
	}
	c.SetColor(ink)
	c.SetLineWidth(0.5)
	c.Stroke(rectangle(c.Min.X, yTop-height, c.Max.X, yTop))
	every := 1
	for vg.Length(every)*width < 1.6*text.Width(number(s.bands.level(s.bands.n))) {
		every++
	}
	for i := 0; i <= s.bands.n && s.bands.step > 0; i += every {
		x := c.Min.X + vg.Length(i)*width
		c.StrokeLine2(draw.LineStyle{Color: ink, Width: 0.5}, x, yTop-height-3, x, yTop-height)
		c.FillText(text, vg.Point{X: x, Y: yTop - height - 4}, number(s.bands.level(i)))
	}
	name := s.Quantity
	if s.bands.step == 0 {
		name = number(s.bands.from) + " " + name + " everywhere"
	}
	text.XAlign, text.YAlign = draw.XLeft, draw.YBottom
	c.FillText(text, vg.Point{X: c.Min.X, Y: yTop + 3}, name)
	key := "lamps dashed; corals: filled where they stand within 1 cm, hollow where elsewhere"
	if s.unnamed > 0 {
		key += fmt.Sprintf("; no room for %d names", s.unnamed)
	}
	text.XAlign = draw.XRight
	if text.Width(key)+text.Width(name)+10 < c.Size().X {
		c.FillText(text, vg.Point{X: c.Max.X, Y: yTop + 3}, key)
	}
}

func rectangle(x0, y0, x1, y1 vg.Length) vg.Path {
	return vg.Rectangle{Min: vg.Point{X: x0, Y: y0}, Max: vg.Point{X: x1, Y: y1}}.Path()
}

// number writes a light value for a label.
func number(v float64) string {
	switch a := math.Abs(v); {
	case a >= 100:
		return strconv.FormatFloat(math.Round(v), 'f', -1, 64)
	default:
		return strconv.FormatFloat(v, 'g', 3, 64)
	}
}
