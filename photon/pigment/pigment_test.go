package pigment_test

import (
	"encoding/csv"
	"fmt"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/pigment"
	"dayloom/photon/spectrum"
)

func published(t testing.TB, name string) [][]string {
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	return rows
}

func number(t testing.TB, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// light is a Gaussian, as gauss_455_22, or an illuminant by the CIE's name.
func light(t testing.TB, name string) spectrum.Spectrum {
	if rest, ok := strings.CutPrefix(name, "gauss_"); ok {
		nm, width, _ := strings.Cut(rest, "_")
		s, err := spectrum.Peak(number(t, nm), number(t, width))
		require.NoError(t, err)
		return s
	}
	file := "illuminants-cie-5nm.csv"
	if name == "D65" {
		file = "illuminant-d65-from-300nm.csv" // the others begin at 380 nm
	}
	rows := published(t, file)
	k := max(slices.Index(rows[0], name), 1)
	require.True(t, name == "D65" || rows[0][k] == name, name)
	var nm, power []float64
	for _, row := range rows[1:] {
		nm, power = append(nm, number(t, row[0])), append(power, number(t, row[k]))
	}
	s, err := spectrum.FromTable(nm, power)
	require.NoError(t, err)
	return s
}

// Shares of 15 lights by another program, from the same curves at 0.1 nm.
func TestShares(t *testing.T) {
	rows := published(t, "coral-pigment-light-checks.csv")
	require.Len(t, rows, 16)
	all := pigment.All()
	require.Len(t, all, 4)
	for _, row := range rows[1:] {
		nm, photons := light(t, row[0]).Weights(pigment.Band)
		for i, p := range all {
			require.Equal(t, "share_"+strings.ReplaceAll(p.Name, " ", "_"), rows[0][i+1])
			assert.InDelta(t, number(t, row[i+1]), p.Share(nm, photons), 2e-3, "%s %s", row[0], p.Name)
		}
	}
}

// Each curve has its peak, 1, within 5 nm of the peak that it is named after, save the red
// one, whose peak stands at 545 nm in the open spectrum and at 558 nm in its paper.
func TestPeaks(t *testing.T) {
	for _, p := range pigment.All() {
		best, at := 0.0, 0.0
		for nm := 350.0; nm <= 700; nm++ {
			if e := p.Excitation(nm); e > best {
				best, at = e, nm
			}
		}
		assert.InDelta(t, 1, best, 0.01, p.Name)
		within := 5.0
		if p.Name == "red 558" {
			within = 13
		}
		assert.InDelta(t, p.PeakNM, at, within, p.Name)
		assert.Zero(t, p.Excitation(349))
		assert.Zero(t, p.Excitation(650))
	}
}

func TestNoLight(t *testing.T) {
	p := pigment.All()[0]
	assert.Zero(t, p.Share(nil, nil))
	assert.Zero(t, p.Share([]float64{300, 800}, []float64{5, 5}))
	assert.Zero(t, pigment.Pigment{}.Excitation(450))
}

func ExamplePigment_Share() {
	blue, _ := spectrum.Peak(455, 22)
	nm, photons := blue.Weights(pigment.Band)
	for _, p := range pigment.All() {
		fmt.Printf("%s: %.2f\n", p.Name, p.Share(nm, photons))
	}
	// Output:
	// teal 462: 0.92
	// cyan 472: 0.89
	// green 492: 0.43
	// red 558: 0.33
}
