package picture

import (
	"image/color"
	"math"
)

// The ends of the colour scale in CIE L*a*b*, dark blue-grey and pale yellow. The
// way between is straight, so equal steps of light are equal steps of colour (CIE
// 1976 ΔE), lightness only rises, and hue goes from blue to yellow, the pair that
// the common colour-vision deficiencies keep apart.
var (
	darkest   = lab{24, 2, -24}
	brightest = lab{96, -8, 46}
)

// lab is a colour in CIE 1976 L*a*b* under D65.
type lab struct{ l, a, b float64 }

// Shade is the colour at a share of the scale, 0 dark to 1 bright.
func Shade(share float64) color.NRGBA {
	t := math.Min(1, math.Max(0, share))
	mix := func(x, y float64) float64 { return x + t*(y-x) }
	return lab{mix(darkest.l, brightest.l), mix(darkest.a, brightest.a), mix(darkest.b, brightest.b)}.rgb()
}

// rgb converts by CIE 15:2004 (L*a*b* to XYZ) and IEC 61966-2-1 (XYZ to sRGB);
// what lies outside sRGB is clipped.
func (c lab) rgb() color.NRGBA {
	fy := (c.l + 16) / 116
	inverse := func(f float64) float64 {
		if f > 6.0/29 {
			return f * f * f
		}
		return 3 * (6.0 / 29) * (6.0 / 29) * (f - 4.0/29)
	}
	x, y, z := 0.95047*inverse(fy+c.a/500), inverse(fy), 1.08883*inverse(fy-c.b/200)
	code := func(v float64) uint8 {
		if v <= 0.0031308 {
			v *= 12.92
		} else {
			v = 1.055*math.Pow(v, 1/2.4) - 0.055
		}
		return uint8(math.Round(255 * math.Min(1, math.Max(0, v))))
	}
	return color.NRGBA{
		R: code(3.2404542*x - 1.5371385*y - 0.4985314*z),
		G: code(-0.9692660*x + 1.8760108*y + 0.0415560*z),
		B: code(0.0556434*x - 0.2040259*y + 1.0572252*z),
		A: 255,
	}
}

// bands are the steps of light that share a colour.
type bands struct {
	from, step float64
	n          int
}

// bandsOf covers lo to hi with some 6 to 13 round bands; one band when all is alike.
func bandsOf(lo, hi float64) bands {
	if hi-lo <= 1e-9*math.Abs(hi) {
		return bands{from: lo, step: 0, n: 1}
	}
	raw := (hi - lo) / 9
	ten := math.Pow(10, math.Floor(math.Log10(raw)))
	step := 10 * ten
	for _, m := range []float64{1, 2, 2.5, 5} {
		if m*ten >= 0.8*raw {
			step = m * ten
			break
		}
	}
	first := math.Floor(lo/step + 1e-9)
	return bands{from: first * step, step: step, n: max(1, int(math.Ceil(hi/step-1e-9)-first))}
}

// level is the light at the lower edge of a band.
func (b bands) level(i int) float64 { return b.from + float64(i)*b.step }

// shade is the colour of a band.
func (b bands) shade(i int) color.NRGBA {
	if b.n == 1 {
		return Shade(0.5)
	}
	return Shade(float64(i) / float64(b.n-1))
}
