package picture

import (
	"fmt"
	"image/color"
	"io"
	"math"
	"strconv"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Agreement is measured light against what was predicted of it.
type Agreement struct {
	Title, Subtitle string
	Series          []Series
}

// Series is one colour of a picture: readings of one channel.
type Series struct {
	Name   string
	Points []Agreed
}

// Agreed is a reading, what was expected of it and the standard uncertainty of that
// [µmol m⁻² s⁻¹]; a marked one is ringed and told by its label.
type Agreed struct {
	Read, Expected, SD float64
	Marked             bool
	Label              string
}

const agreementSide = 15 * vg.Centimeter

// WriteAgreement draws, on equal logarithmic axes, readings against predictions with two
// standard deviations either way; on the diagonal both are the same.
func WriteAgreement(w io.Writer, format string, a Agreement) error {
	lo, hi := a.decades()
	head := heading(Picture{Title: a.Title, Subtitle: a.Subtitle}, agreementSide+axisWidth)
	key := 12 * vg.Length(len(a.Series))
	full := vg.Point{X: agreementSide + axisWidth + 2*margin + 12, Y: agreementSide + head.height + 34 + key + 2*margin}
	cv, out, err := canvas(format, full)
	if err != nil {
		return err
	}
	page := draw.NewCanvas(cv, full.X, full.Y)
	page.SetColor(white)
	page.Fill(page.Rectangle.Path())
	page = draw.Crop(page, margin, -margin, margin, -margin)
	head.draw(page)
	left, bottom := page.Min.X+axisWidth, page.Min.Y+key+34
	at := func(v float64) vg.Length {
		return agreementSide * vg.Length((math.Log10(max(v, lo))-math.Log10(lo))/math.Log10(hi/lo))
	}
	d := courseDrawing{Canvas: page}
	small := words(labelSize, false)
	for v := lo; v <= hi*1.001; v *= 10 {
		d.line(faint, 0.4, nil, vg.Point{X: left + at(v), Y: bottom}, vg.Point{X: left + at(v), Y: bottom + agreementSide})
		d.line(faint, 0.4, nil, vg.Point{X: left, Y: bottom + at(v)}, vg.Point{X: left + agreementSide, Y: bottom + at(v)})
		text := strconv.FormatFloat(v, 'f', -1, 64)
		page.FillText(small, vg.Point{X: left + at(v) - 6, Y: bottom - 12}, text)
		page.FillText(small, vg.Point{X: page.Min.X, Y: bottom + at(v) - 3}, text)
	}
	d.line(ink, 0.8, nil, vg.Point{X: left, Y: bottom}, vg.Point{X: left + agreementSide, Y: bottom + agreementSide})
	page.FillText(small, vg.Point{X: left, Y: bottom - 26}, "across: predicted by all other readings and the model; up: measured; µmol/m²/s as the meter shows it")
	for i, s := range a.Series {
		c := lineColours[i%len(lineColours)]
		shape := shapes[i/len(lineColours)%len(shapes)]
		for _, p := range s.Points {
			x, y := left+at(p.Expected), bottom+at(p.Read)
			d.line(c, 0.6, nil, vg.Point{X: left + at(p.Expected-2*p.SD), Y: y}, vg.Point{X: left + at(p.Expected+2*p.SD), Y: y})
			page.DrawGlyph(draw.GlyphStyle{Color: c, Radius: 2.2, Shape: shape}, vg.Point{X: x, Y: y})
			if p.Marked {
				page.DrawGlyph(draw.GlyphStyle{Color: color.NRGBA{213, 94, 0, 255}, Radius: 5, Shape: draw.RingGlyph{}}, vg.Point{X: x, Y: y})
				page.FillText(small, vg.Point{X: x + 7, Y: y - 3}, p.Label)
			}
		}
		y := page.Min.Y + key - 12*vg.Length(i+1) + 3
		page.DrawGlyph(draw.GlyphStyle{Color: c, Radius: 2.6, Shape: shape}, vg.Point{X: left + 3, Y: y + 3})
		page.FillText(small, vg.Point{X: left + 12, Y: y}, fmt.Sprintf("%s (%d)", s.Name, len(s.Points)))
	}
	_, err = out.WriteTo(w)
	return err
}

var shapes = []draw.GlyphDrawer{draw.CircleGlyph{}, draw.SquareGlyph{}, draw.PyramidGlyph{}, draw.BoxGlyph{}, draw.TriangleGlyph{}, draw.CrossGlyph{}}

// decades are the powers of ten that hold all readings and predictions, at least two
// and at most seven of them.
func (a Agreement) decades() (lo, hi float64) {
	least, most := math.Inf(1), 0.0
	for _, s := range a.Series {
		for _, p := range s.Points {
			for _, v := range []float64{p.Read, p.Expected} {
				if v > 0 {
					least, most = min(least, v), max(most, v)
				}
			}
		}
	}
	if most == 0 {
		return 1, 100
	}
	hi = math.Pow(10, math.Ceil(math.Log10(most*1.05)))
	return min(max(math.Pow(10, math.Floor(math.Log10(least/1.05))), hi/1e7), hi/100), hi
}
