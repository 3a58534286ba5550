package meter_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/meter"
	"dayloom/photon/spectrum"
)

func TestFactor(t *testing.T) {
	blue, err := spectrum.Peak(455, 20)
	require.NoError(t, err)
	// A response of one everywhere in 400-700 nm needs no mending.
	ideal := meter.Meter{InWaterFactor: 1.32, Spectral: [][2]float64{{399.9, 0}, {400, 1}, {700, 1}, {700.1, 0}}}
	f, err := ideal.Factor(blue)
	require.NoError(t, err)
	assert.InEpsilon(t, 1.32, f, 1e-4)
	// A sensor that sees 80 % of this colour reads low by that.
	low := meter.Meter{InWaterFactor: 1, Spectral: [][2]float64{{300, 0.8}, {800, 0.8}}}
	f, err = low.Factor(blue)
	require.NoError(t, err)
	assert.InEpsilon(t, 1.25, f, 1e-4)
	// One that rises straight from nothing at 400 nm to all at 500 nm sees 60 % of 460 nm.
	line, err := spectrum.Peak(460, 1)
	require.NoError(t, err)
	f, err = meter.Meter{InWaterFactor: 1, Spectral: [][2]float64{{400, 0}, {500, 1}}}.Factor(line)
	require.NoError(t, err)
	assert.InEpsilon(t, 1/0.6, f, 1e-3)
	// And a sensor blind to it cannot be mended.
	_, err = meter.Meter{InWaterFactor: 1, Spectral: [][2]float64{{600, 1}, {700, 1}}}.Factor(blue)
	assert.ErrorIs(t, err, meter.ErrBlind)
	f, err = meter.Meter{InWaterFactor: 1.1}.Factor(blue)
	require.NoError(t, err)
	assert.Equal(t, 1.1, f)
}

// The GUM's own rule (JCGM 100:2008, 4.2.3): s²(q̄) = s²(q)/n. Values 9, 10, 11
// have s = 1, so the mean of three has 1/√3.
func TestMean(t *testing.T) {
	mean, rel := meter.Mean([]float64{9, 10, 11})
	assert.Equal(t, 10.0, mean)
	assert.InDelta(t, 0.1/1.7320508, rel, 1e-8)
	_, rel = meter.Mean([]float64{7})
	assert.Zero(t, rel)
}
