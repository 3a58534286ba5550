package report

import (
	"bufio"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"

	"dayloom/exporters/csvcell"
	"dayloom/exporters/table"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
)

// GridMap is the light on a plane, a section or the whole volume. It is
// written place by place and never held as text.
type GridMap struct {
	MapHead
	region maps.Region
	m      maps.Map
	corals []plan.Coral
}

// NewGridMap makes the report of a grid.
func NewGridMap(p *plan.Plan, r maps.Region, m maps.Map, h MapHead) GridMap {
	return GridMap{MapHead: h, region: r, m: m, corals: p.Corals}
}

// Table is empty: the rows of a grid are streamed by CSV.
func (r GridMap) Table() table.Table { return table.Table{} }

// CSV writes one row a place (RFC 4180), x fastest, then y, then depth.
func (r GridMap) CSV(w io.Writer) error {
	out := bufio.NewWriterSize(w, 1<<16)
	row := []byte("x_m,y_m,depth_m")
	channels := r.Channels
	if r.unsure() {
		channels = nil
	}
	for _, c := range channels {
		row = append(row, ',')
		row = append(row, csvWord(csvcell.Neutral(c.Name+"_umol_m2_s"))...)
	}
	row = append(row, ',')
	row = append(row, r.total()...)
	x, y, depth := r.lengths()
	for i := range r.m.Len() {
		row = append(row, "\r\n"...)
		if _, err := out.Write(row); err != nil {
			return err
		}
		row = append(row[:0], x[i%r.m.Nx]...)
		row = append(append(row, ','), y[i/r.m.Nx%r.m.Ny]...)
		row = append(append(row, ','), depth[i/r.m.Nx/r.m.Ny]...)
		for k := range channels {
			row = value(append(row, ','), r.m.At(k, i))
		}
		row = value(append(row, ','), r.m.Total(i))
	}
	row = append(row, "\r\n"...)
	if _, err := out.Write(row); err != nil {
		return err
	}
	return out.Flush()
}

// lengths are the coordinates along each axis as text, m.
func (r GridMap) lengths() (x, y, depth []string) {
	g := r.m.Grid
	for i := range g.Nx {
		x = append(x, place(g.X0+float64(i)*g.Dx))
	}
	for j := range g.Ny {
		y = append(y, place(g.Y0+float64(j)*g.Dy))
	}
	for _, d := range g.Depths {
		depth = append(depth, place(d))
	}
	return x, y, depth
}

// csvWord quotes a heading that needs it.
func csvWord(s string) string {
	if strings.ContainsAny(s, ",\"\r\n") {
		return `"` + strings.ReplaceAll(s, `"`, `""`) + `"`
	}
	return s
}

// value appends a light value with six figures; the model has no more.
func value(b []byte, v float64) []byte { return strconv.AppendFloat(b, v, 'g', 6, 64) }

// JSON writes the head and the grid; the lists of light are flat, x fastest, then
// y, then depth, as shape says from the slowest on.
func (r GridMap) JSON(w io.Writer) error {
	out := bufio.NewWriterSize(w, 1<<16)
	head, err := json.MarshalIndent(r.MapHead, "", "  ")
	if err != nil {
		return err
	}
	list := func(name string, n int, v func(i int) float64) {
		key, _ := json.Marshal(name)
		fmt.Fprintf(out, "%s: [", key)
		var b []byte
		for i := range n {
			b = b[:0]
			if i > 0 {
				b = append(b, ',')
			}
			out.Write(value(b, v(i)))
		}
		out.WriteString("]")
	}
	g := r.m.Grid
	fmt.Fprintf(out, "%s,\n  \"grid\": {\n    \"where\": %q,\n    \"places\": \"cell centres\",\n", head[:len(head)-2], r.region.Name())
	fmt.Fprintf(out, "    \"shape\": [%d, %d, %d],\n    \"shape_of\": [\"depth_m\", \"y_m\", \"x_m\"],\n    ", len(g.Depths), g.Ny, g.Nx)
	list("x_m", g.Nx, func(i int) float64 { return g.X0 + float64(i)*g.Dx })
	out.WriteString(",\n    ")
	list("y_m", g.Ny, func(i int) float64 { return g.Y0 + float64(i)*g.Dy })
	out.WriteString(",\n    ")
	list("depth_m", len(g.Depths), func(i int) float64 { return g.Depths[i] })
	out.WriteString(",\n    ")
	list(r.total(), g.Len(), r.m.Total)
	if r.unsure() {
		out.WriteString("\n  }\n}\n")
		return out.Flush()
	}
	out.WriteString(",\n    \"channels_umol_m2_s\": {")
	for k, c := range r.Channels {
		if k > 0 {
			out.WriteString(",")
		}
		out.WriteString("\n      ")
		list(c.Name, g.Len(), func(i int) float64 { return r.m.At(k, i) })
	}
	out.WriteString("\n    }\n  }\n}\n")
	return out.Flush()
}

// Text is a shaded map of a plane or section, or the spread of light layer by layer.
func (r GridMap) Text(w io.Writer) error {
	r.text(w, r.region.Name())
	var err error
	if r.region.Flat() {
		r.shade(w)
		s := maps.Spread(r.m.Totals())
		_, err = fmt.Fprintf(w, "lowest %s, mean %s, highest %s %s; 80 %% of it lies between %s and %s\n",
			sig(s.Min), sig(s.Mean), sig(s.Max), r.unit(), sig(s.P10), sig(s.P90))
	} else {
		t := table.Table{Columns: append([]table.Column{{Head: "depth", Unit: "cm"}}, spread(r.unit())...)}
		layer, all := r.m.Nx*r.m.Ny, r.m.Totals()
		for k, d := range r.m.Depths {
			s := maps.Spread(all[k*layer : (k+1)*layer])
			t.Add(append([]any{cm(d)}, ZoneLight{Min: s.Min, P10: s.P10, Mean: s.Mean, P90: s.P90, Max: s.Max}.cells()...)...)
		}
		err = t.Text(w)
	}
	if err == nil {
		_, err = fmt.Fprintf(w, "%d places at cell centres, %s apart, half a cell from the walls\n", r.m.Len(), r.apart())
	}
	r.footer(w)
	return err
}

// apart is the spacing along the axes that the region spans.
func (r GridMap) apart() string {
	text := ""
	add := func(step float64, n int) {
		if n > 1 {
			if text != "" {
				text += " × "
			}
			text += cm(step)
		}
	}
	add(r.m.Dx, r.m.Nx)
	add(r.m.Dy, r.m.Ny)
	if n := len(r.m.Depths); n > 1 {
		add(r.m.Depths[1]-r.m.Depths[0], n)
	}
	if text == "" {
		return "one place"
	}
	return text + " cm"
}

// The characters of a shaded map from dark to bright, and its greatest width.
const (
	shades     = " .:-=+*#%@"
	shadeWidth = 72
	marks      = "ABCDEFGHIJKLMNOPQRSTUVWXYZ"
)

// shade draws the region in characters, twice as tall as wide, with the corals' letters.
func (r GridMap) shade(w io.Writer) {
	b := r.region.Box
	across, down := b.Length, b.Depth
	switch {
	case r.region.Depth != nil:
		down = b.Width
	case r.region.X != nil:
		across = b.Width
	}
	nx := shadeWidth
	ny := max(1, int(math.Round(shadeWidth/2*down/across)))
	if ny > shadeWidth/2 {
		ny = shadeWidth / 2
		nx = max(1, int(math.Round(2*float64(ny)*across/down)))
	}
	most := 0.0
	for _, v := range r.m.Totals() {
		most = max(most, v)
	}
	step := roundUp(most / float64(len(shades)))
	picture := make([][]byte, ny)
	for j := range picture {
		picture[j] = make([]byte, nx)
		for i := range picture[j] {
			v := r.nearest((float64(i)+0.5)/float64(nx), (float64(j)+0.5)/float64(ny))
			picture[j][i] = shades[min(int(v/step), len(shades)-1)]
		}
	}
	for k, c := range r.corals[:min(len(r.corals), len(marks))] {
		fx, fy := r.fraction(c)
		picture[min(int(fy*float64(ny)), ny-1)][min(int(fx*float64(nx)), nx-1)] = marks[k]
	}
	r.frame(w, picture, step)
}

// frame prints the shaded picture with its sides named, then the legend.
func (r GridMap) frame(w io.Writer, picture [][]byte, step float64) {
	edge := "+"
	for range picture[0] {
		edge += "-"
	}
	top, bottom := "surface", "floor"
	if r.region.Depth != nil {
		top, bottom = "back", "front"
	}
	fmt.Fprintf(w, "%s\n%s+\n", top, edge)
	for _, row := range picture {
		fmt.Fprintf(w, "|%s|\n", row)
	}
	fmt.Fprintf(w, "%s+\n%s\n\n", edge, bottom)
	for i := range shades {
		from := strconv.FormatFloat(step*float64(i), 'g', 6, 64)
		fmt.Fprintf(w, "%q from %s", shades[i], from)
		if i == len(shades)-1 || i == 4 {
			fmt.Fprintln(w)
		} else {
			fmt.Fprint(w, "   ")
		}
	}
	for k, c := range r.corals[:min(len(r.corals), len(marks))] {
		fmt.Fprintf(w, "%c %s (%s, %s, %s cm)\n", marks[k], c.Name, cm(c.X), cm(c.Y), cm(c.Depth))
	}
	fmt.Fprintln(w)
}

// nearest is the light at shares of the way across and down the picture.
func (r GridMap) nearest(across, down float64) float64 {
	g := r.m.Grid
	at := func(share float64, n int) int { return min(int(share*float64(n)), n-1) }
	switch {
	case r.region.Depth != nil:
		return r.m.Total(at(1-down, g.Ny)*g.Nx + at(across, g.Nx))
	case r.region.X != nil:
		return r.m.Total(at(down, len(g.Depths))*g.Ny + at(across, g.Ny))
	}
	return r.m.Total(at(down, len(g.Depths))*g.Nx + at(across, g.Nx))
}

// fraction is where a coral stands across and down the picture.
func (r GridMap) fraction(c plan.Coral) (across, down float64) {
	b := r.region.Box
	switch {
	case r.region.Depth != nil:
		return c.X / b.Length, 1 - c.Y/b.Width
	case r.region.X != nil:
		return c.Y / b.Width, c.Depth / b.Depth
	}
	return c.X / b.Length, c.Depth / b.Depth
}

// roundUp is the next round number of one or two figures; 1 for nothing.
func roundUp(v float64) float64 {
	if !(v > 0) {
		return 1
	}
	ten := math.Pow(10, math.Floor(math.Log10(v)))
	for _, m := range []float64{1, 1.2, 1.5, 2, 2.5, 3, 4, 5, 6, 8, 10} {
		if m*ten >= v*(1-1e-12) {
			return m * ten
		}
	}
	return 10 * ten
}
