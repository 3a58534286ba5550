package page

import (
	"image/color"
	"math"
	"strconv"
	"strings"

	"dayloom/photon/colour"
)

// Drawings are in two layers: shapes in a box of their own coordinates that is stretched to
// the room there is, and marks and words at percentages of that room. So lines and letters
// keep their size on a phone, a wide screen and paper.

// percent is a share as an SVG length.
func percent(share float64) string { return strconv.FormatFloat(100*share, 'f', 2, 64) + "%" }

// path is lines through points, closed or not, in whole units of the box.
func path(closed bool, lines ...[][2]float64) string {
	var b strings.Builder
	for _, l := range lines {
		x, y := 0, 0
		for i, q := range l {
			nx, ny := int(math.Round(q[0])), int(math.Round(q[1]))
			switch {
			case i == 0:
				pair(&b, 'M', nx, ny)
			case nx == x && ny == y:
				continue
			default:
				pair(&b, 'l', nx-x, ny-y)
			}
			x, y = nx, ny
		}
		if closed && len(l) > 0 {
			b.WriteByte('z')
		}
	}
	return b.String()
}

func pair(b *strings.Builder, letter byte, x, y int) {
	b.WriteByte(letter)
	b.WriteString(strconv.Itoa(x))
	if y >= 0 {
		b.WriteByte(' ')
	}
	b.WriteString(strconv.Itoa(y))
}

// hex is a colour as a page writes it.
func hex(c color.NRGBA) string { return colour.Swatch{R: c.R, G: c.G, B: c.B}.String() }

// legible is the word for text on a colour: the one of "dark" and "pale" with more contrast
// (relative luminance, IEC 61966-2-1; the two are alike at 0.18).
func legible(s colour.Swatch) string {
	linear := func(v uint8) float64 {
		c := float64(v) / 255
		if c <= 0.04045 {
			return c / 12.92
		}
		return math.Pow((c+0.055)/1.055, 2.4)
	}
	if 0.2126*linear(s.R)+0.7152*linear(s.G)+0.0722*linear(s.B) > 0.18 {
		return "dark"
	}
	return "pale"
}

// tick is a number on an axis.
type tick struct{ At, Text string } // At a percentage

// hours are the ticks of a day, every three hours.
func hours() (out []tick) {
	for h := 0; h <= 24; h += 3 {
		out = append(out, tick{percent(float64(h) / 24), strconv.Itoa(h)})
	}
	return out
}

// ruler is a round step with at most most ticks up to a length, and the ticks at it.
func ruler(length float64, most int) (values []float64) {
	step := 1.0
	for k := math.Pow(10, math.Floor(math.Log10(math.Max(length, 1e-9)))-2); ; k *= 10 {
		found := false
		for _, m := range []float64{1, 2, 5} {
			if step = m * k; length/step <= float64(most) {
				found = true
				break
			}
		}
		if found {
			break
		}
	}
	for v := 0.0; v <= length*(1+1e-9); v += step {
		values = append(values, v)
	}
	return values
}

func short(v float64) string { return strconv.FormatFloat(v, 'g', 4, 64) }
