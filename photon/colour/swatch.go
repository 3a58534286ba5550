package colour

import (
	"fmt"
	"math"
)

// Swatch is a colour for a screen, sRGB.
type Swatch struct {
	R, G, B uint8
	InGamut bool // false: the light is more saturated than sRGB can show
}

// String is the colour as "#rrggbb".
func (s Swatch) String() string { return fmt.Sprintf("#%02x%02x%02x", s.R, s.G, s.B) }

// toSRGB goes from XYZ to linear sRGB (IEC 61966-2-1).
var toSRGB = [3][3]float64{{3.2406, -1.5372, -0.4986}, {-0.9689, 1.8758, 0.0415}, {0.0557, -0.2040, 1.0570}}

// Swatch is the light at full brightness: the strongest of red, green and blue is 255.
// A light outside the gamut is mixed with just the white that brings it to the gamut's
// edge, along a line of constant dominant wavelength. The dark is black.
func (c XYZ) Swatch() Swatch {
	rgb := times(toSRGB, c)
	least, most := min(rgb[0], rgb[1], rgb[2]), max(rgb[0], rgb[1], rgb[2])
	white := max(-least, 0)
	if !(most+white > 0) {
		return Swatch{InGamut: true}
	}
	var byte8 [3]uint8
	for i, v := range rgb {
		byte8[i] = uint8(math.Round(255 * transfer((v+white)/(most+white))))
	}
	return Swatch{byte8[0], byte8[1], byte8[2], white <= 1e-9*most}
}

// transfer is the curve of sRGB from linear to coded, 0..1 (IEC 61966-2-1).
func transfer(v float64) float64 {
	if v <= 0.0031308 {
		return 12.92 * v
	}
	return 1.055*math.Pow(v, 1/2.4) - 0.055
}
