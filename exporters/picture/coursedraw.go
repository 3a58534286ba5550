package picture

import (
	"fmt"
	"image/color"
	"io"
	"math"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Sizes of a course, points.
const (
	courseWidth = 26 * vg.Centimeter // of the data area
	panelHeight = 132
	panelGap    = 16
	axisWidth   = 34
	wayHeight   = 25
	dateHeight  = 34
	labelSize   = 8.5
)

// The colours of lines, from Okabe & Ito, "Color Universal Design" (2008), chosen
// there to be told apart with the common colour-vision deficiencies. Newcomers are
// vermilion and thick, a second one in a panel brown and dashed.
var (
	newcomerColours = []color.NRGBA{{213, 94, 0, 255}, {110, 55, 0, 255}, {240, 140, 60, 255}}
	lineColours     = []color.NRGBA{{0, 114, 178, 255}, {0, 128, 94, 255}, {170, 80, 135, 255}, {86, 130, 160, 255}, {120, 100, 0, 255}, {60, 60, 60, 255}}
	bandColour      = color.NRGBA{230, 236, 226, 255}
	faint           = color.NRGBA{150, 155, 160, 255}
	lineDashes      = [][]vg.Length{nil, {5, 2}, {1.5, 1.5}, {7, 2, 1.5, 2}}
)

// WriteCourse draws a course in one of Formats.
func WriteCourse(w io.Writer, format string, c Course) error {
	side := c.labelRoom()
	head := heading(Picture{Title: c.Title, Subtitle: c.Subtitle}, courseWidth+axisWidth+side)
	key := courseKey(courseWidth + axisWidth + side)
	plain, levels := courseDrawing{Course: c, x0: margin + axisWidth, x1: margin + axisWidth + courseWidth}, 0
	for _, w := range c.Ways {
		_, n := plain.levels(w)
		levels += n
	}
	strip := vg.Length(levels)*wayHeight + 4
	full := vg.Point{
		X: axisWidth + courseWidth + side + 2*margin,
		Y: head.height + strip + vg.Length(len(c.Panels))*(panelHeight+panelGap) + dateHeight + 12*vg.Length(len(key)) + 2*margin,
	}
	cv, out, err := canvas(format, full)
	if err != nil {
		return err
	}
	page := draw.NewCanvas(cv, full.X, full.Y)
	page.SetColor(white)
	page.Fill(page.Rectangle.Path())
	page = draw.Crop(page, margin, -margin, margin, -margin)
	head.draw(page)
	left, top := page.Min.X+axisWidth, page.Max.Y-head.height
	d := courseDrawing{Canvas: page, Course: c, x0: left, x1: left + courseWidth}
	d.strip(top)
	y := top - strip
	for _, p := range c.Panels {
		d.panel(p, y-panelHeight, y)
		y -= panelHeight + panelGap
	}
	d.dates(y + panelGap)
	style := words(8, false)
	for i, line := range key {
		d.FillText(style, vg.Point{X: left, Y: page.Min.Y + 12*vg.Length(len(key)-1-i)}, line)
	}
	_, err = out.WriteTo(w)
	return err
}

// courseKey says what is what, broken to a width.
func courseKey(width vg.Length) []string {
	return heading(Picture{Subtitle: "shaded: what counts as the target; dotted: limits; rings: a new coral's target of the step; vertical lines: steps. " +
		"Steps are common practice, no guarantee: watch the animals."}, width).lines
}

// courseDrawing is the page with where the data area begins and ends.
type courseDrawing struct {
	draw.Canvas
	Course
	x0, x1 vg.Length
}

// x is where a day begins.
func (d courseDrawing) x(day int) vg.Length {
	return d.x0 + (d.x1-d.x0)*vg.Length(day)/vg.Length(d.From.DaysUntil(d.To)+1)
}

func (d courseDrawing) line(c color.Color, width vg.Length, dash []vg.Length, points ...vg.Point) {
	d.StrokeLines(draw.LineStyle{Color: c, Width: width, Dashes: dash}, points)
}

// scaleOf is the top of a panel's axis.
func (p Panel) scaleOf() float64 {
	top := p.Target * (1 + p.Within)
	for _, l := range p.Lines {
		for _, v := range l.DLI {
			if !math.IsNaN(v) {
				top = max(top, v)
			}
		}
	}
	if !math.IsInf(p.Max, 0) && p.Max < 1.6*top {
		top = max(top, p.Max)
	}
	if top <= 0 {
		return 1
	}
	return 1.08 * top
}

// panel draws one zone between two heights of the page.
func (d courseDrawing) panel(p Panel, bottom, top vg.Length) {
	most := p.scaleOf()
	y := func(v float64) vg.Length { return bottom + (top-bottom)*vg.Length(v/most) }
	if p.Target > 0 {
		d.SetColor(bandColour)
		d.Fill(rectangle(d.x0, y(p.Target*(1-p.Within)), d.x1, y(p.Target*(1+p.Within))))
	}
	d.grid(most, y)
	for _, w := range d.Ways {
		for _, m := range w.Marks {
			d.line(faint, 0.6, []vg.Length{2, 2}, vg.Point{X: d.x(m.Day), Y: bottom}, vg.Point{X: d.x(m.Day), Y: top})
		}
	}
	d.limits(p, y, most)
	d.line(ink, 0.8, nil, vg.Point{X: d.x0, Y: top}, vg.Point{X: d.x0, Y: bottom}, vg.Point{X: d.x1, Y: bottom})
	for i, l := range p.Lines { // newcomers last, over the others
		if !l.Newcomer {
			d.stairs(l, i, y)
		}
	}
	for i, l := range p.Lines {
		if l.Newcomer {
			d.stairs(l, i, y)
			d.rings(l, y)
		}
	}
	d.names(p, y, bottom, top)
	title := words(10, true)
	title.YAlign = draw.YBottom
	text := p.Zone
	if p.Target > 0 {
		text += fmt.Sprintf(", target %.4g ± %.0f %%", p.Target, 100*p.Within)
	}
	d.SetColor(paper)
	d.Fill(rectangle(d.x0+1, bottom+2, d.x0+title.Width(text)+8, bottom+16))
	d.FillText(title, vg.Point{X: d.x0 + 4, Y: bottom + 4}, text)
}

func (d courseDrawing) grid(most float64, y func(float64) vg.Length) {
	style := words(8.5, false)
	style.XAlign, style.YAlign = draw.XRight, draw.YCenter
	for _, t := range ticks(3, 6).Ticks(0, most) {
		d.FillText(style, vg.Point{X: d.x0 - 5, Y: y(t.Value)}, t.Label)
		d.line(ink, 0.8, nil, vg.Point{X: d.x0 - 3, Y: y(t.Value)}, vg.Point{X: d.x0, Y: y(t.Value)})
	}
}

func (d courseDrawing) limits(p Panel, y func(float64) vg.Length, most float64) {
	style := words(7.5, false)
	style.YAlign, style.XAlign = draw.YBottom, draw.XRight
	for _, l := range []struct {
		name string
		at   float64
	}{{"dli_min", p.Min}, {"dli_max", p.Max}} {
		if !(l.at > 0) || l.at > most {
			continue
		}
		d.line(ink, 0.9, []vg.Length{1, 2.5}, vg.Point{X: d.x0, Y: y(l.at)}, vg.Point{X: d.x1, Y: y(l.at)})
		d.FillText(style, vg.Point{X: d.x1 - 3, Y: y(l.at) + 1}, fmt.Sprintf("%s %.4g", l.name, l.at))
	}
}

func (l Line) style(i int) draw.LineStyle {
	if l.Newcomer {
		return draw.LineStyle{Color: newcomerColours[l.tone%len(newcomerColours)], Width: 2.4, Dashes: lineDashes[l.tone%len(lineDashes)]}
	}
	return draw.LineStyle{Color: lineColours[i%len(lineColours)], Width: 1.3, Dashes: lineDashes[i%len(lineDashes)]}
}

// stairs draws a line day by day: a day has one DLI.
func (d courseDrawing) stairs(l Line, i int, y func(float64) vg.Length) {
	var points []vg.Point
	flush := func() {
		if len(points) > 1 {
			d.StrokeLines(l.style(i), points)
		}
		points = nil
	}
	for k, v := range l.DLI {
		if math.IsNaN(v) {
			flush()
			continue
		}
		points = append(points, vg.Point{X: d.x(k), Y: y(v)}, vg.Point{X: d.x(k + 1), Y: y(v)})
	}
	flush()
}

func (d courseDrawing) rings(l Line, y func(float64) vg.Length) {
	for k := range l.DLI { // by day, as maps have no order
		v, ok := l.Asked[k]
		if !ok {
			continue
		}
		ring := disc(vg.Point{X: d.x(k), Y: y(v)}, 3)
		d.SetColor(white)
		d.Fill(ring)
		d.SetColor(newcomerColours[l.tone%len(newcomerColours)])
		d.SetLineDash(nil, 0)
		d.SetLineWidth(1.1)
		d.Stroke(ring)
	}
}
