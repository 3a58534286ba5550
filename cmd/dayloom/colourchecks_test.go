package main

import (
	"math"
	"os"
	"testing"

	"github.com/stretchr/testify/require"

	"dayloom/photon/colour"
	"dayloom/photon/pigment"
	"dayloom/photon/spectrum"
	"dayloom/schedule/day/photosynthesis"
	"dayloom/schedule/shape/curve"
)

// illuminant is a light of the CIE from its table at 5 nm.
func illuminant(t *testing.T, name string) colour.Light {
	text, err := os.ReadFile("../../testdata/published/illuminants-cie-5nm.csv")
	require.NoError(t, err)
	_, values := column(t, string(text), name)
	require.Len(t, values, colour.Rows)
	return colour.OfPower([colour.Rows]float64(values))
}

// colourChecks are figures of the colour of light.
func colourChecks() []published {
	const (
		cie15  = "CIE 15:2004, tables T.8.1 and T.8.2"
		tm30   = "IES TM-30 calculator, from 1 nm tables"
		cie224 = "official CIE 224:2017 spreadsheet"
	)
	xy := func(t *testing.T, lamp string) colour.Chromaticity {
		c, ok := illuminant(t, lamp).XYZ().Chromaticity()
		require.True(t, ok)
		return c
	}
	of := func(lamp string, f func(colour.Chromaticity) float64) func(t *testing.T) float64 {
		return func(t *testing.T) float64 { return f(xy(t, lamp)) }
	}
	temperature := func(lamp string, f func(colour.Temperature) float64) func(t *testing.T) float64 {
		return func(t *testing.T) float64 {
			k, err := xy(t, lamp).Temperature()
			require.NoError(t, err)
			return f(k)
		}
	}
	rendering := func(lamp string, f func(colour.Rendering) float64) func(t *testing.T) float64 {
		return func(t *testing.T) float64 {
			r, err := illuminant(t, lamp).Rendering()
			require.NoError(t, err)
			return f(r)
		}
	}
	fidelity := func(lamp string, f func(colour.Fidelity) float64) func(t *testing.T) float64 {
		return func(t *testing.T) float64 {
			r, err := illuminant(t, lamp).Fidelity()
			require.NoError(t, err)
			return f(r)
		}
	}
	ra := func(r colour.Rendering) float64 { return r.Ra }
	rf := func(f colour.Fidelity) float64 { return f.Rf }
	kelvin := func(k colour.Temperature) float64 { return k.K }
	production := func(c curve.Curve, ppfd, ek float64) func(t *testing.T) float64 {
		return func(t *testing.T) float64 {
			d, err := photosynthesis.Of([]curve.Curve{c}, []float64{ppfd}, ek)
			require.NoError(t, err)
			return d.ProductionS / 3600
		}
	}
	halfSine := curve.Sum(curve.Ramp(0, 21600, curve.Solar, 0, 1, 1), curve.Ramp(21600, 43200, curve.Solar, 1, 0, 1))
	return []published{
		{"x of CIE FL2", 0.3721, 6e-5, true, cie15, of("FL2", func(c colour.Chromaticity) float64 { return c.X })},
		{"y of CIE FL2", 0.3751, 6e-5, true, cie15, of("FL2", func(c colour.Chromaticity) float64 { return c.Y })},
		{"colour temperature of CIE FL1, K", 6425, 6, true, tm30, temperature("FL1", kelvin)},
		{"its Duv", 0.0072, 2e-4, true, tm30, temperature("FL1", func(k colour.Temperature) float64 { return k.Duv })},
		{"colour temperature of CIE LED-B3, K", 4103, 1.1, true, "CIE 015:2018, table 12", temperature("LED-B3", kelvin)},
		{"Ra of CIE FL2", 64, 0.5, true, cie15, rendering("FL2", ra)},
		{"Ra of CIE FL7", 90, 0.5, true, cie15, rendering("FL7", ra)},
		{"R9 of CIE FL3.13", 71, 0.5, true, cie15, rendering("FL3.13", func(r colour.Rendering) float64 { return r.R[8] })},
		{"Rf of CIE FL1", 80.6, 0.1, true, cie224, fidelity("FL1", rf)},
		{"Rf of CIE FL2", 70.1, 0.1, true, cie224, fidelity("FL2", rf)},
		{"Rf of CIE FL2, sample 5 alone", 35.8, 0.1, true, cie224, fidelity("FL2", func(f colour.Fidelity) float64 { return f.Special[4] })},
		{"share of 455 nm, 22 nm wide, that excites a cyan protein", 0.8874, 2e-3, true, "FPbase curve, integrated apart from this project", func(t *testing.T) float64 {
			s, err := spectrum.Peak(455, 22)
			require.NoError(t, err)
			nm, w := s.Weights(pigment.Band)
			return pigment.All()[1].Share(nm, w)
		}},
		{"production of 400 for 12 h at Ek 250, h at the ceiling", 12 * math.Tanh(1.6), 1e-9, false, "tanh(E/Ek): Jassby and Platt 1976, Limnol. Oceanogr. 21, 540", production(curve.Hold(0, 43200, 1), 400, 250)},
		{"production of a half-sine day, peak 400, 12 h, Ek 250, h", 8.317446355, 1e-8, false, "the same, by partial fractions of tanh", production(halfSine, 400, 250)},
	}
}
