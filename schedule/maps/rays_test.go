package maps_test

import (
	"context"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/photon/water"
	"dayloom/schedule/maps"
)

// forward sends rays down from a Lambertian point, each with its part of the flux,
// bends them at the surface (Snell), thins them there (Fresnel) and in the water,
// throws them back at walls (Fresnel, total beyond the critical angle) and counts
// where they cross the depth. It follows light the way it goes, where the model
// looks back from each place, so that the two share no more than the laws of optics.
func forward(n, depth float64, transmit func(float64) float64, wall [4]func(cos float64) float64) (cells [50]float64) {
	const height, length, width, polar, around = 0.3, 1.0, 0.5, 1500, 1200
	for i := range polar {
		sin := math.Sqrt((float64(i) + 0.5) / polar) // equal flux in equal steps of sin²
		cos, sinW := math.Sqrt(1-sin*sin), sin/n
		cosW := math.Sqrt(1 - sinW*sinW)
		into := 100.0 / (polar * around) * (1 - fresnel(cos, cosW, n)) * transmit(depth/cosW)
		for j := range around {
			phi := 2 * math.Pi * (float64(j) + math.Mod(float64(i)*0.618034, 1)) / around
			dx, dy := math.Cos(phi), math.Sin(phi)
			x, y := 0.5+height*sin/cos*dx, 0.25+height*sin/cos*dy
			if x < 0 || x > length || y < 0 || y > width {
				continue
			}
			x, left := bounce(x+depth*sinW/cosW*dx, length, sinW*math.Abs(dx), wall[0], wall[1])
			y, more := bounce(y+depth*sinW/cosW*dy, width, sinW*math.Abs(dy), wall[2], wall[3])
			cells[min(int(y*10), 4)*10+min(int(x*10), 9)] += into * left * more / 0.01
		}
	}
	return cells
}

func fresnel(cos, cosOut, n float64) float64 {
	s, p := (cos-n*cosOut)/(cos+n*cosOut), (cosOut-n*cos)/(cosOut+n*cos)
	return (s*s + p*p) / 2
}

// bounce folds a place back between the walls, and says what they leave.
func bounce(x, length, cos float64, low, high func(float64) float64) (float64, float64) {
	left := 1.0
	for x < 0 || x > length {
		if x < 0 {
			x, left = -x, left*low(cos)
		} else {
			x, left = 2*length-x, left*high(cos)
		}
	}
	return x, left
}

func TestMapIsWhatForwardRaysGive(t *testing.T) {
	dark := func(float64) float64 { return 0 }
	share := func(float64) float64 { return 0.6 }
	for _, depth := range []float64{0.05, 0.2, 0.395} {
		for name, glassy := range map[string]bool{"dark: dark": false, "left: glass, right: 60 %, front: glass, back: glass": true} {
			text := onePoint
			if glassy {
				text = strings.Replace(text, "left: dark, right: dark, front: dark, back: dark", name, 1)
			}
			p := load(t, text)
			lamp := p.Channels[0]
			n := water.Index(lamp.Spectrum.MeanWavelength(spectrum.PAR))
			glass := func(cos float64) float64 {
				out := 1 - n*n*(1-cos*cos)
				if out <= 0 {
					return 1
				}
				return fresnel(cos, math.Sqrt(out), 1/n)
			}
			walls := [4]func(float64) float64{dark, dark, dark, dark}
			if glassy {
				walls = [4]func(float64) float64{glass, share, glass, glass}
			}
			want := forward(n, depth, water.Transmission(p.Tank.Absorption, lamp.Spectrum, spectrum.PAR), walls)

			a, f := full(t, p, "lamp"), survey(t, p)
			g, err := maps.Region{Box: p.Tank.Box, Depth: &depth}.Cells(0.0025)
			require.NoError(t, err)
			m, err := maps.OnGrid(context.Background(), f, a, g, nil)
			require.NoError(t, err)
			var got [50]float64
			for i, v := range m.Totals() {
				at := m.Place(i)
				got[int(at.Y*10)*10+int(at.X*10)] += v / 1600
			}
			for i := range want {
				assert.InEpsilon(t, want[i], got[i], 0.01, "%s, %g m deep, cell %d", name, depth, i)
			}
		}
	}
}
