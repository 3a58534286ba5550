package picture

import (
	"bytes"
	"fmt"
	"html"
	"io"
	"math"
	"regexp"
	"strconv"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"gonum.org/v1/plot/vg/vgimg"
	"gonum.org/v1/plot/vg/vgsvg"

	"dayloom/photon/emitter"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/visible"
)

// Picture is what is drawn.
type Picture struct {
	Title    string // the plan
	Subtitle string // channels, place, what is shown
	Quantity string // with its unit, for the colour bar
	Region   maps.Region
	Map      maps.Map // on the region's nodes
	Lamps    []emitter.Emitter
	Corals   []Coral
}

// Coral is a mark with a name and its light [µmol m⁻² s⁻¹] where it stands [m].
type Coral struct {
	Name        string
	X, Y, Depth float64
	Value       float64
}

// New makes the picture of a map and the corals of the same ask. quantity names the
// light, lit the channels and how far they are lit.
func New(p *plan.Plan, r maps.Region, m maps.Map, c maps.Corals, quantity, lit string) Picture {
	out := Picture{
		Title: p.Name, Subtitle: quantity + ", " + r.Name() + "\n" + lit,
		Quantity: quantity + ", µmol/m²/s", Region: r, Map: m,
	}
	if m.Unsure() {
		out.Quantity = quantity + ", %"
	}
	for _, ch := range m.Channels {
		out.Lamps = append(out.Lamps, p.Channels[ch].Emitters...)
	}
	for _, pl := range c.Places {
		value := pl.Total
		if m.Unsure() {
			value = 100 * pl.SD / max(pl.Total, math.SmallestNonzeroFloat64)
		}
		out.Corals = append(out.Corals, Coral{pl.Name, pl.At.X, pl.At.Y, pl.At.Depth, value})
	}
	return out
}

// Formats are the endings of picture files.
var Formats = []string{"png", "svg"}

// Sizes of the drawing; a point is 1/72 in.
const (
	longSide  = 26 * vg.Centimeter // of the tank
	shortSide = 4.5 * vg.Centimeter
	biggest   = 60 * vg.Centimeter
	barHeight = 44 // points
	margin    = 14
	dpi       = 144
)

// Write draws the picture in one of Formats.
func Write(w io.Writer, format string, p Picture) error {
	if !p.Region.Flat() {
		return fmt.Errorf("a volume has no picture; choose a plane or a section")
	}
	s := p.scene()
	pl := s.axes()
	width, height := s.size()
	side, under := margins(pl, width, height)
	head := heading(p, width+side)
	full := vg.Point{X: width + side + 2*margin, Y: height + under + barHeight + 2*margin + head.height}
	c, out, err := canvas(format, full)
	if err != nil {
		return err
	}
	page := draw.NewCanvas(c, full.X, full.Y)
	page.SetColor(white)
	page.Fill(page.Rectangle.Path())
	page = draw.Crop(page, margin, -margin, margin, -margin)
	head.draw(page)
	body := draw.Crop(page, 0, 0, barHeight, -head.height)
	pl.Add(&s)
	pl.Draw(body)
	data := pl.DataCanvas(body)
	bar := draw.Crop(page, data.Min.X-page.Min.X, data.Max.X-page.Max.X, 0, 0)
	bar.Max.Y = bar.Min.Y + barHeight
	s.bar(bar)
	_, err = out.WriteTo(w)
	return err
}

func canvas(format string, size vg.Point) (vg.CanvasSizer, io.WriterTo, error) {
	switch format {
	case "png":
		c := vgimg.PngCanvas{Canvas: vgimg.NewWith(vgimg.UseWH(size.X, size.Y), vgimg.UseDPI(dpi))}
		return c, c, nil
	case "svg":
		c := vgsvg.New(size.X, size.Y)
		return c, fitted{c}, nil
	}
	return nil, nil, fmt.Errorf("a picture is png or svg, not %q", format)
}

// fitted writes an SVG whose texts keep their width, and with it their place in
// their boxes, where our font is not installed and another stands in.
type fitted struct{ io.WriterTo }

var svgText = regexp.MustCompile(`font-family:Liberation Sans;([^"]*font-weight:(\w+);[^"]*font-size:([0-9.]+)px[^"]*")>([^<]+)</text>`)

func (f fitted) WriteTo(w io.Writer) (int64, error) {
	var text bytes.Buffer
	if _, err := f.WriterTo.WriteTo(&text); err != nil {
		return 0, err
	}
	out := svgText.ReplaceAllStringFunc(text.String(), func(match string) string {
		m := svgText.FindStringSubmatch(match)
		size, _ := strconv.ParseFloat(m[3], 64)
		width := words(vg.Length(size), m[2] == "bold").Width(html.UnescapeString(m[4]))
		return fmt.Sprintf(`font-family:Liberation Sans,sans-serif;%s textLength="%.2f" lengthAdjust="spacingAndGlyphs">%s</text>`, m[1], width, m[4])
	})
	err := visible.Text(func(w io.Writer) error { _, err := io.WriteString(w, out); return err })(w)
	return int64(len(out)), err
}

// size is the size of the data area: the tank's long side in longSide, one scale
// for both axes, unless the tank is too slender for that.
func (s *scene) size() (w, h vg.Length) {
	across, up := s.xmax-s.xmin, s.ymax-s.ymin
	scale := float64(longSide) / math.Max(across, up)
	scale = math.Max(scale, float64(shortSide)/math.Min(across, up))
	scale = math.Min(scale, float64(biggest)/math.Max(across, up))
	return vg.Length(across * scale), vg.Length(up * scale)
}

// margins is what the axes add to the data area.
func margins(pl *plot.Plot, w, h vg.Length) (side, under vg.Length) {
	c := draw.Canvas{Rectangle: vg.Rectangle{Max: vg.Point{X: w, Y: h}}}
	d := pl.DataCanvas(c)
	// The last tick's number overhangs its axis by a share of the size of the
	// data area, so the margin is found at the size that it will have.
	side, under = w-d.Size().X, h-d.Size().Y
	c.Max = vg.Point{X: w + side, Y: h + under}
	d = pl.DataCanvas(c)
	return c.Max.X - d.Size().X, c.Max.Y - d.Size().Y
}
