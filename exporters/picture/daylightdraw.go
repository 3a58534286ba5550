package picture

import (
	"fmt"
	"image/color"
	"io"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"dayloom/schedule/shape/curve"
)

// Sizes of a day's picture, points.
const (
	dayWidth   = 640 // of 24 hours
	dayNames   = 118 // of the names at the left, at least
	dayNoons   = 150 // of noon's colour at the right
	rowHeight  = 74  // of a curve at its greatest
	rowGap     = 30
	hourHeight = 30
	nameSize   = 10.5
	bead       = 5.5  // radius of an hour's swatch
	speck      = 2.6  // and of one of the night's
	night      = 0.01 // share of the greatest PPFD below which light is the night's
)

// The page is deep water, so that light is the brightest thing on it.
var (
	deep   = color.NRGBA{13, 20, 31, 255}
	deeper = color.NRGBA{8, 12, 20, 255}
	chalk  = color.NRGBA{226, 232, 236, 255}
	slate  = color.NRGBA{122, 136, 150, 255}
	seam   = color.NRGBA{32, 44, 60, 255}
)

// WriteDaylight draws the colours of a day in one of Formats.
func WriteDaylight(w io.Writer, format string, d Daylight) error {
	notes := []string{"Each curve has its own height: PPFD, with its greatest at the left. A bead is the colour of the light at that hour, at full brightness; a small one is fainter than 1 % of the greatest, a ring is darkness."}
	if d.Pale {
		notes = append(notes, "Some of this light is more saturated than a screen can show: its swatch has white added, its tint is kept.")
	}
	names := vg.Length(dayNames)
	for _, r := range d.Rows {
		names = max(names, words(nameSize, true).Width(r.Name)+20)
	}
	width := names + dayWidth + dayNoons
	head := heading(Picture{Title: d.Title, Subtitle: d.Subtitle}, width)
	full := vg.Point{X: width + 4*margin, Y: head.height + vg.Length(len(d.Rows))*(rowHeight+rowGap) + 2*bead + hourHeight - rowGap + 10 + 13*vg.Length(len(notes)) + 4*margin}
	cv, out, err := canvas(format, full)
	if err != nil {
		return err
	}
	page := draw.NewCanvas(cv, full.X, full.Y)
	page.SetColor(deep)
	page.Fill(page.Rectangle.Path())
	page = draw.Crop(page, 2*margin, -2*margin, 2*margin, -2*margin)
	dd := dayDrawing{Canvas: page, x0: page.Min.X + names}
	dd.write(14, true, chalk, draw.XLeft, page.Min.X, page.Max.Y-12, d.Title)
	for i, l := range head.lines {
		dd.write(10, false, slate, draw.XLeft, page.Min.X, page.Max.Y-28-13*vg.Length(i), l)
	}
	y := page.Max.Y - head.height - 2*bead
	for _, r := range d.Rows {
		dd.row(r, y-rowHeight)
		y -= rowHeight + rowGap
	}
	dd.hours(y + rowGap)
	for i, n := range notes {
		dd.write(8, false, slate, draw.XLeft, page.Min.X, page.Min.Y+13*vg.Length(len(notes)-1-i), n)
	}
	_, err = out.WriteTo(w)
	return err
}

// dayDrawing is the page with where midnight stands.
type dayDrawing struct {
	draw.Canvas
	x0 vg.Length
}

func (d dayDrawing) x(t float64) vg.Length { return d.x0 + dayWidth*vg.Length(t/curve.Day) }

func (d dayDrawing) write(size vg.Length, bold bool, c color.Color, align draw.XAlignment, x, y vg.Length, text string) {
	style := words(size, bold)
	style.Color, style.XAlign = c, align
	d.FillText(style, vg.Point{X: x, Y: y}, text)
}

// row draws one coral's day on its base line.
func (d dayDrawing) row(r DayRow, base vg.Length) {
	y := func(ppfd float64) vg.Length {
		if r.Peak <= 0 {
			return base
		}
		return base + rowHeight*vg.Length(ppfd/r.Peak)
	}
	for h := 0; h <= 24; h += 3 {
		d.StrokeLine2(draw.LineStyle{Color: seam, Width: 0.6}, d.x(3600*float64(h)), base, d.x(3600*float64(h)), base+rowHeight+bead)
	}
	d.slices(r, base, y)
	d.StrokeLine2(draw.LineStyle{Color: slate, Width: 0.6}, d.x(0), base, d.x(curve.Day), base)
	d.beads(r, y)
	d.write(nameSize, true, chalk, draw.XLeft, d.Min.X, base+rowHeight-8, r.Name)
	if r.Peak > 0 {
		d.write(8.5, false, slate, draw.XLeft, d.Min.X, base+rowHeight-22, fmt.Sprintf("%s µmol/m²/s at %s", number(r.Peak), clock(r.PeakAt)))
	}
	d.noon(r, base)
}

// slices fills the light under the curve with its own colours, deeper towards the base.
func (d dayDrawing) slices(r DayRow, base vg.Length, y func(float64) vg.Length) {
	const layers = 7
	for i := range len(r.Moments) - 1 {
		a, b := r.Moments[i], r.Moments[i+1]
		if a.PPFD <= 0 && b.PPFD <= 0 {
			continue
		}
		s := a.XYZ.Plus(1, b.XYZ).Swatch()
		for k := range layers {
			lo, hi := vg.Length(k)/layers, vg.Length(k+1)/layers
			c := blend(deeper, color.NRGBA{s.R, s.G, s.B, 255}, 0.22+0.58*float64(k)/(layers-1))
			ya, yb := y(a.PPFD)-base, y(b.PPFD)-base
			var p vg.Path
			p.Move(vg.Point{X: d.x(a.T), Y: base + lo*ya})
			p.Line(vg.Point{X: d.x(a.T), Y: base + hi*ya})
			p.Line(vg.Point{X: d.x(b.T) + 0.3, Y: base + hi*yb})
			p.Line(vg.Point{X: d.x(b.T) + 0.3, Y: base + lo*yb})
			p.Close()
			d.SetColor(c)
			d.Fill(p)
		}
		d.StrokeLine2(draw.LineStyle{Color: color.NRGBA{s.R, s.G, s.B, 255}, Width: 1.4}, d.x(a.T), y(a.PPFD), d.x(b.T)+0.3, y(b.PPFD))
	}
}

// beads are the hours' swatches, each on the curve.
func (d dayDrawing) beads(r DayRow, y func(float64) vg.Length) {
	for h := range 25 {
		m := r.at(3600 * float64(h))
		at := vg.Point{X: d.x(m.T), Y: y(m.PPFD)}
		if m.PPFD <= 0 {
			d.SetColor(deep)
			d.Fill(disc(at, 2.2))
			d.SetColor(slate)
			d.SetLineWidth(0.7)
			d.Stroke(disc(at, 2.2))
			continue
		}
		s, radius := m.XYZ.Swatch(), vg.Length(bead)
		if m.PPFD < night*r.Peak {
			radius = speck
		}
		d.SetColor(deep)
		d.Fill(disc(at, radius+1.4))
		d.SetColor(color.NRGBA{s.R, s.G, s.B, 255})
		d.Fill(disc(at, radius))
	}
}

// noon is the colour at the greatest PPFD, with its name.
func (d dayDrawing) noon(r DayRow, base vg.Length) {
	left := d.x(curve.Day) + 26
	if r.Peak > 0 {
		d.SetColor(color.NRGBA{r.Noon.R, r.Noon.G, r.Noon.B, 255})
		d.Fill(rectangle(left, base+rowHeight-34, left+34, base+rowHeight))
		d.write(8.5, false, chalk, draw.XLeft, left+42, base+rowHeight-10, r.Noon.String())
	}
	style := words(8.5, false)
	for i, line := range heading(Picture{Subtitle: r.NoonText}, dayNoons-26).lines {
		style.Color = slate
		d.FillText(style, vg.Point{X: left, Y: base + rowHeight - 48 - 11*vg.Length(i)}, line)
	}
}

// hours label the axis.
func (d dayDrawing) hours(base vg.Length) {
	for h := 0; h <= 24; h += 3 {
		d.write(8.5, false, slate, draw.XCenter, d.x(3600*float64(h)), base-20, fmt.Sprintf("%02d:00", h))
	}
}

func clock(s float64) string {
	n := int(s+0.5) / 60
	return fmt.Sprintf("%02d:%02d", n/60, n%60)
}

// blend is a share of the way from one colour to another.
func blend(a, b color.NRGBA, share float64) color.NRGBA {
	mix := func(x, y uint8) uint8 { return uint8(float64(x) + share*(float64(y)-float64(x)) + 0.5) }
	return color.NRGBA{mix(a.R, b.R), mix(a.G, b.G), mix(a.B, b.B), 255}
}
