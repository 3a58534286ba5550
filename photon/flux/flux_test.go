package flux_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/emitter"
	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/photon/water"
)

func lamp(t *testing.T, nm, width float64) flux.Lamp {
	s, err := spectrum.Peak(nm, width)
	require.NoError(t, err)
	beam, err := emitter.Beam(2 * math.Pi / 3)
	require.NoError(t, err)
	return flux.Lamp{Spectrum: s, HasSpectrum: true, TotalUmolS: 100,
		Emitters: []emitter.Emitter{{Kind: emitter.Point, Height: 0.3, Light: beam, Share: 1}}}
}

// A lamp at 660 nm loses 1 − exp(−0.41 · 0.5) = 18.5 % over half a metre by Pope and
// Fry (1997), 0.41 per m at 660 nm, and sea water bends it by n(660) of Quan and Fry (1995).
func TestRedLampInWater(t *testing.T) {
	src, ok := flux.Source(lamp(t, 660, 2), water.Pure(), spectrum.PAR)
	require.True(t, ok)
	assert.InDelta(t, 100, src.Flux, 1e-6)
	assert.InDelta(t, math.Exp(-0.41*0.5), src.Transmit(0.5), 2e-3)
	assert.InDelta(t, water.Index(660), src.Index, 1e-5)
}

// The flux of the bands adds up to the whole lamp; a dark band has no source.
func TestBandsAddUp(t *testing.T) {
	l := lamp(t, 400, 20)
	sum := 0.0
	for _, b := range []spectrum.Band{{Lo: 300, Hi: 380}, spectrum.NearUV, spectrum.PAR} {
		sum += l.InBand(b)
	}
	assert.InDelta(t, 100, sum, 1e-6)
	assert.InDelta(t, 50, l.InBand(spectrum.NearUV), 2, "half of a peak at 400 nm is below it")
	_, ok := flux.Source(l, water.Pure(), spectrum.FarRed)
	assert.False(t, ok)
}

func TestUnknownSpectrumBendsAsOneNumber(t *testing.T) {
	l := lamp(t, 500, 20)
	l.HasSpectrum = false
	src, ok := flux.Source(l, water.Pure(), spectrum.PAR)
	require.True(t, ok)
	assert.Equal(t, 1.34, src.Index)
}
