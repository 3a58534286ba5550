package picture

import (
	"bytes"
	"context"
	"image/color"
	"image/png"
	"math"
	"runtime"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
	"pgregory.net/rapid"

	"dayloom/photon/emitter"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	surveyed "dayloom/schedule/light"
	"dayloom/schedule/maps"
	"dayloom/schedule/plan"
)

// L*a*b* of two sRGB colours under D65 as widely tabulated (Lindbloom, CIE colour
// calculator; values from memory): white (100, 0, 0), red (53.24, 80.09, 67.20).
func TestLabAgainstKnownColours(t *testing.T) {
	assert.Equal(t, color.NRGBA{255, 255, 255, 255}, lab{100, 0, 0}.rgb())
	assert.Equal(t, color.NRGBA{255, 0, 0, 255}, lab{53.24, 80.09, 67.20}.rgb())
	assert.Equal(t, color.NRGBA{0, 0, 0, 255}, lab{0, 0, 0}.rgb())
}

// luminance is the relative luminance of an sRGB colour by IEC 61966-2-1.
func luminance(c color.NRGBA) float64 {
	linear := func(v uint8) float64 {
		x := float64(v) / 255
		if x <= 0.04045 {
			return x / 12.92
		}
		return math.Pow((x+0.055)/1.055, 2.4)
	}
	return 0.2126*linear(c.R) + 0.7152*linear(c.G) + 0.0722*linear(c.B)
}

// lightness is L* of a luminance (CIE 15:2004).
func lightness(y float64) float64 {
	if y > 216.0/24389 {
		return 116*math.Cbrt(y) - 16
	}
	return y * 24389 / 27
}

// Along the scale lightness rises evenly: what tells bands apart for any eye, and
// in grey print. No colour is clipped, or the steps would not be even.
func TestScaleRisesEvenlyInLightness(t *testing.T) {
	const n = 64
	last := lightness(luminance(Shade(0)))
	first, end := last, lightness(luminance(Shade(1)))
	for i := 1; i <= n; i++ {
		l := lightness(luminance(Shade(float64(i) / n)))
		assert.Greater(t, l, last, "step %d", i)
		assert.InDelta(t, first+(end-first)*float64(i)/n, l, 0.5, "step %d", i)
		last = l
	}
	assert.Greater(t, end-first, 60.0)
	assert.Less(t, Shade(0).R, Shade(0).B, "the dark end is blue")
	assert.Less(t, Shade(1).B, Shade(1).R, "the bright end is yellow")
}

func TestBandsAreRoundAndCover(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		lo := rapid.Float64Range(0, 1000).Draw(t, "lo")
		hi := lo + rapid.Float64Range(1e-3, 3000).Draw(t, "more")
		b := bandsOf(lo, hi)
		require.GreaterOrEqual(t, b.n, 4)
		require.LessOrEqual(t, b.n, 14)
		require.LessOrEqual(t, b.level(0), lo+1e-6*hi)
		require.GreaterOrEqual(t, b.level(b.n), hi-1e-6*hi)
	})
	assert.Equal(t, 1, bandsOf(0, 0).n)
}

// cone is R - r about a middle, on a grid from 0 to 100.
func cone(n int, sign float64) field {
	f := field{}
	for i := range n {
		f.x = append(f.x, 100*float64(i)/float64(n-1))
	}
	f.y = f.x
	for j := range n {
		row := make([]float64, n)
		for i := range row {
			row[i] = 100 + sign*(50-math.Hypot(f.x[i]-50, f.y[j]-50))
		}
		f.z = append(f.z, row)
	}
	return f
}

// area of closed lines by the shoelace formula, holes negative.
func area(lines [][]point) (a float64) {
	for _, l := range lines {
		for i, p := range l {
			q := l[(i+1)%len(l)]
			a += (p.x*q.y - q.x*p.y) / 2
		}
	}
	return a
}

// The contour of a cone is a circle: area π r². Of the cone upside down it is all
// the rest of the square. Circles that leave the square are cut at the walls.
func TestContoursOfACone(t *testing.T) {
	up, down := cone(101, 1), cone(101, -1)
	for _, r := range []float64{10, 25, 40} {
		lines := up.contour(150 - r)
		require.Len(t, lines, 1)
		assert.InEpsilon(t, math.Pi*r*r, area(lines), 0.003)
		assert.Len(t, up.open(lines), 1)
		lines = down.contour(50 + r)
		require.Len(t, lines, 2, "the rim and the hole")
		assert.InEpsilon(t, 1e4-math.Pi*r*r, area(lines), 0.003)
		assert.Len(t, down.open(lines), 1, "the rim is no contour")
	}
	lines := up.contour(150 - 60) // a circle of 60 in a square of half side 50
	segment := 60*60*math.Acos(50.0/60) - 50*math.Sqrt(60*60-50*50)
	assert.InEpsilon(t, math.Pi*60*60-4*segment, area(lines), 0.003)
	assert.Len(t, up.open(lines), 4, "one arc in each corner")
	assert.InEpsilon(t, 1e4, area(up.contour(1)), 1e-9, "all of it")
	assert.Empty(t, up.contour(151))
}

// Whatever the light, the areas of the bands add up: contours of a lower level
// hold those of a higher one.
func TestContoursNest(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := field{x: []float64{0, 1, 2, 3, 4}, y: []float64{0, 1, 2, 3}}
		for range f.y {
			f.z = append(f.z, rapid.SliceOfN(rapid.Float64Range(0, 10), 5, 5).Draw(t, "row"))
		}
		last := 12.0
		for level := 0.5; level < 10; level++ {
			a := area(f.contour(level))
			require.GreaterOrEqual(t, a, -1e-9)
			require.LessOrEqual(t, a, last+1e-9)
			last = a
		}
	})
}

// However crowded, no label covers another, a mark, or leaves the picture.
func TestLabelsNeverCollide(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		b := board{area: vg.Rectangle{Max: vg.Point{X: 400, Y: 200}}}
		n := rapid.IntRange(1, 30).Draw(t, "n")
		for range n {
			b.marks = append(b.marks, vg.Point{X: vg.Length(rapid.Float64Range(0, 400).Draw(t, "x")), Y: vg.Length(rapid.Float64Range(0, 200).Draw(t, "y"))})
		}
		for _, m := range b.marks {
			b.place(m, vg.Point{X: vg.Length(rapid.Float64Range(20, 90).Draw(t, "w")), Y: 22})
		}
		b.along([]vg.Point{{X: 0, Y: 100}, {X: 200, Y: 110}, {X: 400, Y: 90}}, 30, 5)
		for i, o := range b.boxes {
			require.True(t, o.Min.X > 0 && o.Max.X < 400 && o.Min.Y > 0 && o.Max.Y < 200)
			require.True(t, clear(o, b.marks))
			for _, p := range b.boxes[:i] {
				require.False(t, o.Min.X < p.Max.X && p.Min.X < o.Max.X && o.Min.Y < p.Max.Y && p.Min.Y < o.Max.Y)
			}
		}
	})
}

// long is a 240 × 60 cm tank with a bar, a panel and a point over it.
func long(t testing.TB, region func(*maps.Region)) Picture {
	light, err := emitter.Beam(math.Pi / 2)
	require.NoError(t, err)
	flat, err := spectrum.Flat(400, 700)
	require.NoError(t, err)
	p := &plan.Plan{Name: "Long", Tank: plan.Tank{Box: tank.Box{Length: 2.4, Width: 0.6, Depth: 0.4}}}
	p.Channels = []plan.Channel{{Name: "all", Spectrum: flat, Flux: plan.Flux{UmolS: 300, TotalUmolS: 300}, Emitters: []emitter.Emitter{
		{Kind: emitter.Line, From: [2]float64{0.1, 0.2}, To: [2]float64{1.5, 0.2}, Height: 0.24, Light: light, Share: 0.5},
		{Kind: emitter.Panel, At: [2]float64{1.8, 0.3}, Size: [2]float64{0.12, 0.08}, Height: 0.3, Light: light, Share: 0.25},
		{At: [2]float64{2.5, 0.3}, Height: 0.3, Light: light, Share: 0.25},
	}}}
	r := maps.Region{Box: p.Tank.Box}
	region(&r)
	g, err := r.Nodes(0.02)
	require.NoError(t, err)
	a, err := maps.Full(p, nil, spectrum.PAR)
	require.NoError(t, err)
	f, problems := surveyed.Survey(p)
	require.Empty(t, problems)
	m, err := maps.OnGrid(context.Background(), f, a, g, nil)
	require.NoError(t, err)
	c := maps.Corals{Ask: a, Places: []maps.Place{{Name: "a <&> b", Total: 120}, {Name: "b", Total: 80}}}
	c.Places[1].At.X, c.Places[1].At.Depth = 0.01, 0.2
	return New(p, r, m, c, "PPFD", "all at full output")
}

func at(v float64) *float64 { return &v }

var regions = map[string]func(*maps.Region){
	"plane":   func(r *maps.Region) { r.Depth = at(0.12) },
	"front":   func(r *maps.Region) { r.Y = at(0.3) },
	"profile": func(r *maps.Region) { r.X = at(1.2) },
}

// The same map gives the same bytes, whatever the number of cores; a picture has
// the shape of its tank.
func TestPicturesAreDeterministic(t *testing.T) {
	sizes := map[string]float64{}
	for name, region := range regions {
		for _, format := range Formats {
			var one, two bytes.Buffer
			require.NoError(t, Write(&one, format, long(t, region)))
			old := runtime.GOMAXPROCS(1)
			require.NoError(t, Write(&two, format, long(t, region)))
			runtime.GOMAXPROCS(old)
			assert.True(t, bytes.Equal(one.Bytes(), two.Bytes()), "%s %s", name, format)
			if format == "png" {
				c, err := png.DecodeConfig(&one)
				require.NoError(t, err)
				sizes[name] = float64(c.Width) / float64(c.Height)
			} else {
				assert.Contains(t, one.String(), "a &lt;&amp;&gt; b")
				assert.NotContains(t, one.String(), "NaN")
			}
		}
	}
	assert.Greater(t, sizes["plane"], 2.0)
	assert.Less(t, sizes["profile"], 1.0)
}

// The data area has one scale for both axes: a centimetre is as long down as across.
func TestOneScale(t *testing.T) {
	for name, region := range regions {
		s := long(t, region).scene()
		w, h := s.size()
		assert.InEpsilon(t, float64(w)/(s.xmax-s.xmin), float64(h)/(s.ymax-s.ymin), 1e-9, name)
		side, under := margins(s.axes(), w, h)
		d := s.axes().DataCanvas(draw.Canvas{Rectangle: vg.Rectangle{Max: vg.Point{X: w + side, Y: h + under}}})
		assert.InDelta(t, float64(w), float64(d.Size().X), 0.5, name)
		assert.InDelta(t, float64(h), float64(d.Size().Y), 0.5, name)
	}
}

func TestRefusals(t *testing.T) {
	p := long(t, regions["plane"])
	assert.ErrorContains(t, Write(&bytes.Buffer{}, "pdf", p), "png or svg")
	p.Region.Depth = nil
	assert.ErrorContains(t, Write(&bytes.Buffer{}, "png", p), "no picture")
}

// One op is a PNG of a plane of 121 × 31 nodes.
func BenchmarkPNGOfPlane240x60cm(b *testing.B) {
	p := long(b, regions["plane"])
	for b.Loop() {
		var out bytes.Buffer
		require.NoError(b, Write(&out, "png", p))
	}
}
