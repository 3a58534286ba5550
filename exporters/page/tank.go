package page

import (
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"dayloom/exporters/picture"
)

// Tank is the light on a plane or in a section, with lamps and corals, ready to be drawn.
type Tank struct {
	ID, Title, Told string // Told: what it shows, for who cannot see it
	Caption         string
	Aspect          float64 // width by height
	LeastWidth      int     // px under which it is no longer to be read
	Basis           int     // px that it would like; two that are content with half stand side by side
	MostWidth       int     // px over which it would be taller than it need be
	ViewBox         string
	Water           string // path of the tank's own outline
	Layers          []layer
	Lamps           []lamp
	Marks           []mark
	Dots            string // path of the corals that have no letter
	Many            bool   // they are too many to have a rim
	Numbers         []figure
	Across, Up      []tick
	Surface         string // where the water begins in a section, a percentage; empty from above
	Scale           []shade
	Quantity        string
}

type layer struct{ Fill, Shade, Edge, Tone string }

type lamp struct{ Kind, X, Y, X2, Y2, Width, Height string }

// mark is a coral; Aside is one that stands elsewhere than what is drawn.
// It is pushed aside by Dx, Dy px where it would lie over another.
type mark struct {
	X, Y, Letter, Class string
	Aside, Pushed       bool
	Dx, Dy              int
}

type figure struct{ X, Y, Turn, Text, Tone string }

type shade struct{ X, Width, Shade, From string }

// Sign is how a coral's verdict is shown beside its name; letters stand for names.
type Sign struct{ Letter, Class string }

// The least and the greatest height of a tank, and what lies beside it, px.
const (
	shortest = 72
	tallest  = 380
	beside   = 48
)

// layoutWidth is how wide a tank is taken to be when room is looked for, points.
const layoutWidth = 760

// NewTank lays out a picture; signs are those of its corals, in order, an empty letter for a
// mere dot.
func NewTank(id string, p picture.Picture, signs []Sign) (Tank, error) {
	l, err := p.Layout(layoutWidth, tallest)
	if err != nil {
		return Tank{}, err
	}
	b := l.Whole
	w, h := b.X1-b.X0, b.Y1-b.Y0
	out := Tank{ID: id, Title: p.Subtitle, Aspect: w / h, Quantity: p.Quantity, ViewBox: fmt.Sprintf("0 0 %.0f %.0f", 10*w, 10*h)}
	out.LeastWidth = int(math.Ceil(shortest * math.Max(1, out.Aspect)))
	out.MostWidth = int(math.Ceil(tallest*out.Aspect)) + beside
	out.Basis = out.MostWidth * 3 / 4
	mm := func(line [][2]float64) [][2]float64 {
		moved := make([][2]float64, len(line))
		for i, q := range line {
			moved[i] = [2]float64{10 * (q[0] - b.X0), 10 * (b.Y1 - q[1])}
		}
		return moved
	}
	x := func(v float64) string { return percent((v - b.X0) / w) }
	y := func(v float64) string { return percent((b.Y1 - v) / h) }
	wb := l.Water
	out.Water = path(true, mm([][2]float64{{wb.X0, wb.Y0}, {wb.X1, wb.Y0}, {wb.X1, wb.Y1}, {wb.X0, wb.Y1}}))
	for i, band := range l.Bands {
		v := layer{Shade: hex(band.Shade), Tone: "dark", Fill: out.Water}
		if band.Pale {
			v.Tone = "pale"
		}
		if i > 0 {
			v.Fill, v.Edge = path(true, each(band.Fill, mm)...), path(false, each(band.Edge, mm)...)
		}
		out.Layers = append(out.Layers, v)
		out.Scale = append(out.Scale, shade{percent(float64(i) / float64(len(l.Bands))), percent(1 / float64(len(l.Bands))), v.Shade, band.From})
		for _, n := range band.Numbers {
			out.Numbers = append(out.Numbers, figure{x(n.X), y(n.Y), fmt.Sprintf("%.0f", n.Turn), band.From, v.Tone})
		}
	}
	for _, c := range l.Lamps {
		out.Lamps = append(out.Lamps, lampOf(c, x, y, w, h))
	}
	out.marks(l, signs, mm, x, y)
	out.axes(p, wb, x, y)
	return out, nil
}

func lampOf(c [][2]float64, x, y func(float64) string, w, h float64) lamp {
	switch len(c) {
	case 1:
		return lamp{Kind: "point", X: x(c[0][0]), Y: y(c[0][1])}
	case 2:
		return lamp{Kind: "line", X: x(c[0][0]), Y: y(c[0][1]), X2: x(c[1][0]), Y2: y(c[1][1])}
	}
	return lamp{Kind: "panel", X: x(c[0][0]), Y: y(c[2][1]), Width: percent((c[1][0] - c[0][0]) / w), Height: percent((c[2][1] - c[0][1]) / h)}
}

func (t *Tank) marks(l picture.Layout, signs []Sign, mm func([][2]float64) [][2]float64, x, y func(float64) string) {
	scale := min(layoutWidth/(l.Whole.X1-l.Whole.X0), tallest/(l.Whole.Y1-l.Whole.Y0))
	var taken [][2]float64
	var dots strings.Builder
	for i, s := range l.Corals {
		if signs[i].Letter == "" { // a line of no length with round ends
			dots.WriteString(path(false, mm([][2]float64{{s.X, s.Y}})) + "h0")
			continue
		}
		v := mark{X: x(s.X), Y: y(s.Y), Letter: signs[i].Letter, Class: signs[i].Class, Aside: !s.Near}
		v.push([2]float64{s.X * scale, -s.Y * scale}, [2]float64{-l.Whole.Y1 * scale, -l.Whole.Y0 * scale}, &taken)
		t.Marks = append(t.Marks, v)
	}
	t.Dots, t.Many = dots.String(), len(l.Corals) > 400
}

// push finds the nearest place where a mark lies over no other, if there is one near; room is from top to bottom.
func (v *mark) push(at, room [2]float64, taken *[][2]float64) {
	for _, by := range [][2]int{{}, {18, 0}, {-18, 0}, {0, -18}, {0, 18}, {18, -18}, {-18, -18}, {36, 0}, {-36, 0}, {0, -36}, {0, 36}} {
		here := [2]float64{at[0] + float64(by[0]), at[1] + float64(by[1])}
		inside := by == [2]int{} || here[1] > room[0] && here[1] < room[1]
		if inside && !slices.ContainsFunc(*taken, func(o [2]float64) bool { return math.Hypot(o[0]-here[0], o[1]-here[1]) < 17 }) {
			v.Dx, v.Dy, v.Pushed = by[0], by[1], by != [2]int{}
			*taken = append(*taken, here)
			return
		}
	}
}

// axes are round centimetres along the glass; in a section down and up from the water.
func (t *Tank) axes(p picture.Picture, water picture.Box, x, y func(float64) string) {
	for _, v := range ruler(water.X1-water.X0, 8) {
		t.Across = append(t.Across, tick{x(v), short(v)})
	}
	if p.Region.Depth != nil {
		for _, v := range ruler(water.Y1, 4) {
			t.Up = append(t.Up, tick{y(v), short(v)})
		}
		return
	}
	t.Surface = y(0)
	for _, v := range ruler(-water.Y0, 3) {
		t.Up = append(t.Up, tick{y(-v), short(v)})
	}
}

func each(lines [][][2]float64, f func([][2]float64) [][2]float64) [][][2]float64 {
	out := make([][][2]float64, len(lines))
	for i, l := range lines {
		out[i] = f(l)
	}
	return out
}

// Write writes the drawing as HTML that [Styles] sets.
func (t Tank) Write(w io.Writer) error { return pages.ExecuteTemplate(w, "tank", t) }
