package water_test

import (
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/photon/water"
)

// Bins add up to what Transmission leaves, path by path; also in a water whose
// absorption rises from 0.5 to 8 per m within one bin.
func TestBinsAddUp(t *testing.T) {
	steep, err := water.ReadCSV(strings.NewReader("nm,1/m\n400,0.5\n451,0.5\n453,1\n455,8\n700,8\n"))
	require.NoError(t, err)
	s, err := spectrum.Peak(453, 8)
	require.NoError(t, err)
	for name, a := range map[string]water.Absorption{"pure": water.Pure(), "steep": steep} {
		whole := water.Transmission(a, s, spectrum.PAR)
		bins := water.Bins(a, s, spectrum.PAR)
		require.Len(t, bins, 60)
		for _, path := range []float64{0, 0.1, 0.3, 0.6} {
			var sum, share float64
			for _, b := range bins {
				share += b.Share
				if b.Share > 0 {
					sum += b.Share * b.Left(path)
				}
			}
			assert.InDelta(t, 1, share, 1e-9)
			assert.InEpsilon(t, whole(path), sum, 1e-8, "%s, %g m", name, path)
		}
	}
	first := water.Bins(water.Pure(), s, spectrum.PAR)[0]
	assert.Equal(t, 402.5, first.NM, "a bin without photons stands at its middle")
}

// Within one bin, to the third moment: a thin layer takes Σ w a, and the next two terms
// of e^(−aℓ) are those of the photons themselves.
func TestBinHoldsThreeMoments(t *testing.T) {
	a, err := water.ReadCSV(strings.NewReader("nm,1/m\n450,0.1\n454,0.1\n455,0.2\n"))
	require.NoError(t, err)
	s, err := spectrum.Flat(450, 455)
	require.NoError(t, err)
	bin := water.Bins(a, s, spectrum.Band{Lo: 450, Hi: 455})[0]
	nm, w := s.Quadrature(spectrum.Band{Lo: 450, Hi: 455}, []float64{454})
	var m [4]float64
	for i, x := range nm {
		for k := range m {
			m[k] += w[i] * math.Pow(a.At(x), float64(k))
		}
	}
	const l = 3
	want := m[0] - m[1]*l + m[2]*l*l/2 - m[3]*l*l*l/6
	assert.InDelta(t, want, bin.Left(l), 2e-3, "what is left out is a⁴ℓ⁴/24")
	var all float64
	for i, x := range nm {
		all += w[i] * math.Exp(-a.At(x)*l)
	}
	assert.InDelta(t, all, bin.Left(l), 1e-6)
	assert.Greater(t, all-math.Exp(-m[1]*l), 5e-4, "where a mean alone would be off")
}
