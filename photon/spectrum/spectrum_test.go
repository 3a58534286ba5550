package spectrum

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// published reads a table of figures from outside this project: its heading and rows.
func published(t testing.TB, name string) (head []string, rows [][]string) {
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(all), 1, "%s must not be empty", name)
	return all[0], all[1:]
}

func number(t testing.TB, s string) float64 {
	v, err := strconv.ParseFloat(s, 64)
	require.NoError(t, err)
	return v
}

// lamp is one column of a table of spectra.
func lamp(t testing.TB, file, column string) Spectrum {
	head, rows := published(t, file)
	k := slices.Index(head, column)
	require.Positive(t, k, "no column %q in %s", column, file)
	var nm, power []float64
	for _, row := range rows {
		nm, power = append(nm, number(t, row[0])), append(power, number(t, row[k]))
	}
	s, err := FromTable(nm, power)
	require.NoError(t, err)
	return s
}

func peak(t testing.TB, nm, fwhm float64) Spectrum {
	s, err := Peak(nm, fwhm)
	require.NoError(t, err)
	return s
}

func TestConstants(t *testing.T) {
	assert.InDelta(t, 119.6265656, NMJoulePerUmol, 5e-8) // SI Brochure 2019: h c N_A
	// One wavelength: 450 nm 3.761706, 555 nm 4.639438, 660 nm 5.517169 µmol/J (the same, computed elsewhere).
	for nm, want := range map[float64]float64{450: 3.761706, 555: 4.639438, 660: 5.517169} {
		assert.InDelta(t, want, nm/NMJoulePerUmol, 5e-7)
	}
}

// CIE 018: V is 1 at 555 nm; the 81 rows sum to 21.3713 (CIE 5 nm table; memory), so a lost row shows.
func TestPhotopicTable(t *testing.T) {
	v := photopicTable()
	require.Len(t, v[0], 81)
	assert.Equal(t, 1.0, Photopic(555))
	var sum float64
	for _, x := range v[1] {
		sum += x
	}
	assert.InDelta(t, 21.3713, sum, 0.0005)
	assert.Zero(t, Photopic(379))
	assert.Zero(t, Photopic(781))
}

// Lux per µmol and µmol per joule of 25 published spectra, computed elsewhere
// by another rule from CIE 015:2018 and Ohno and Davis (2008): within 0.1 %.
func TestLuxPerUmolOfPublishedLamps(t *testing.T) {
	_, rows := published(t, "lux-per-umol.csv")
	require.Len(t, rows, 25)
	for _, row := range rows {
		s := lamp(t, row[3], row[0])
		assert.InEpsilon(t, number(t, row[1]), s.LuxPerUmol(), 0.001, row[0])
		assert.InEpsilon(t, number(t, row[2]), s.UmolFromWatts(1, PAR), 0.001, row[0])
	}
}

// Thimijan and Heins (1983), HortScience 18, 818-822: lux per µmol m⁻² s⁻¹,
// from memory. Their lamps were others of the same kind, hence 5 %.
func TestLuxPerUmolOfThimijanAndHeins(t *testing.T) {
	assert.InEpsilon(t, 54, lamp(t, "lamp-spectra-cie.csv", "CIE D65").LuxPerUmol(), 0.05, "daylight")
	for kind, want := range map[string]float64{
		"cool_white_fluorescent": 74, "incandescent": 50, "high_pressure_sodium": 82, "metal_halide": 71,
	} {
		assert.InEpsilon(t, want, lamp(t, "lamp-spectra-nist.csv", kind).LuxPerUmol(), 0.05, kind)
	}
}

// ASTM G173-03, AM1.5 global: 429.83 W m⁻² within 400-700 nm are 1977.9
// µmol m⁻² s⁻¹ and 55.36 lux per µmol.
func TestSunlight(t *testing.T) {
	s := lamp(t, "sunlight-astm-g173.csv", "w_per_m2_nm")
	_, rows := published(t, "sunlight-astm-g173.csv")
	require.Len(t, rows, 601, "300-400 nm every 0.5 nm, 400-800 nm every 1 nm")
	assert.InDelta(t, 1977.9, s.UmolFromWatts(429.831, PAR), 0.2)
	assert.InDelta(t, 55.36, s.LuxPerUmol(), 0.02)
	assert.InDelta(t, 4.57, s.UmolFromWatts(1, PAR), 0.0457, "Thimijan and Heins 1983, memory: within 1 %")
}

// A narrow peak is light of one wavelength; the normal distribution gives its bands.
func TestPeakIsAGaussianOfPower(t *testing.T) {
	for _, width := range []float64{1, 2.5, 22, 100} {
		s := peak(t, 455.3, width)
		sigma := width / 2.354820045
		assert.InEpsilon(t, 455.3/NMJoulePerUmol, s.PhotonsPerJoule(), 1e-7, "the mean of λ over power is the peak")
		// ⟨λ²⟩/⟨λ⟩ over power
		assert.InDelta(t, 455.3+sigma*sigma/455.3, s.MeanWavelength(Total), 5e-4)
		assert.InDelta(t, 0.5, s.at(455.3+width/2)/s.at(455.3), 1e-3, "half of the greatest power at half the width")
		for _, z := range []float64{-1.3, 0, 0.21, 2} {
			edge := 455.3 + z*sigma
			share := s.watts(Band{0, edge}) / s.watts(Total)
			assert.InDelta(t, 0.5*math.Erfc(-z/math.Sqrt2), share, 2e-5)
		}
	}
}

// A peak so wide that its foot lies below the shortest wavelength of a spectrum keeps the rest of its shape.
func TestAWidePeakKeepsItsShape(t *testing.T) {
	s := peak(t, 455, 200)
	assert.InDelta(t, 0.5, s.at(555)/s.at(455), 1e-3)
	assert.InDelta(t, 0.5, s.at(355)/s.at(455), 1e-3)
	// from 355 to 555 nm, ±1.17741 σ, are erf(√ln 2) of all of it, but for the 3 in 100,000 below 100 nm
	assert.InDelta(t, math.Erf(math.Sqrt(math.Ln2)), s.watts(Band{355, 555})/s.watts(Total), 1e-3)
}

// V(450) = 0.038, V(650) = 0.107 (CIE 018): 6.900 and 13.450 lux per µmol of one wavelength.
func TestLuxPerUmolOfNarrowPeaks(t *testing.T) {
	assert.InEpsilon(t, 6.900, peak(t, 450, 1).LuxPerUmol(), 0.002)
	assert.InEpsilon(t, 13.450, peak(t, 650, 1).LuxPerUmol(), 0.002)
	assert.InEpsilon(t, 147.216, peak(t, 555, 1).LuxPerUmol(), 0.002)
}

func TestFlatHasEqualPhotons(t *testing.T) {
	s, err := Flat(400, 700)
	require.NoError(t, err)
	assert.InDelta(t, 0.25, s.PhotonShare(Band{400, 475}, PAR), 1e-6)
	assert.InDelta(t, 1.0/6, s.PhotonShare(Band{650, 800}, Total), 1e-6)
	assert.InDelta(t, 550, s.MeanWavelength(PAR), 1e-3)
	assert.InDelta(t, math.Log(700.0/400)/300*NMJoulePerUmol, s.WattsFromUmol(1, PAR), 1e-6) // ∫dλ/λ
	assert.Zero(t, s.PhotonShare(NearUV, Total))
	assert.Zero(t, s.PhotonShare(PAR, FarRed), "nothing to compare with")
}

func TestSharesArePhotons(t *testing.T) {
	s, err := Peaks([]PeakShare{{450, 20, 60}, {660, 20, 30}, {730, 1, 10}})
	require.NoError(t, err)
	assert.InDelta(t, 0.6, s.PhotonShare(Band{350, 550}, Total), 1e-6)
	assert.InDelta(t, 0.3, s.PhotonShare(Band{550, 720}, Total), 1e-6)
	assert.InDelta(t, 0.1, s.PhotonShare(Band{720, 750}, Total), 1e-6)
}

// A triangle from 400 over 500 to 600 nm, by hand: half its power on each side,
// and photons as (mean λ of the half) = 466.67 and 533.33.
func TestTriangleByHand(t *testing.T) {
	s, err := FromTable([]float64{400, 500, 600}, []float64{0, 7, 0})
	require.NoError(t, err)
	assert.InDelta(t, 500/NMJoulePerUmol, s.PhotonsPerJoule(), 1e-12)
	assert.InDelta(t, 1400.0/3000, s.PhotonShare(Band{300, 500}, Total), 1e-12)
	assert.InDelta(t, 1600.0/3000, s.PhotonShare(Band{500, 900}, Total), 1e-12)
	assert.InDelta(t, 1.0/8*1300/3/500, s.PhotonShare(Band{400, 450}, Total), 1e-12) // 1/8 of the power, at 433.3 nm
}

func TestRefusedSpectra(t *testing.T) {
	_, err := Peak(455, 0.5)
	assert.ErrorContains(t, err, "between 1 and 500 nm")
	for _, p := range []PeakShare{{0, 20, 1}, {math.NaN(), 20, 1}, {455, math.Inf(1), 1}, {455, 20, 0}, {455, 20, -1}, {455, 20, math.NaN()}} {
		_, err := Peaks([]PeakShare{{450, 20, 1}, p})
		assert.ErrorContains(t, err, "peak 2: ")
	}
	_, err = Peaks(nil)
	assert.ErrorContains(t, err, "at least one")
	for _, b := range []Band{{700, 400}, {math.NaN(), 700}, {0, 700}, {400, math.Inf(1)}, {400, 400.5}} {
		_, err = Flat(b.Lo, b.Hi)
		assert.ErrorContains(t, err, "between 100 and 100000 nm")
	}
	_, err = FromTable([]float64{400, 500}, []float64{1})
	assert.ErrorContains(t, err, "one power for each")
	_, err = FromTable([]float64{400, 500, 450}, []float64{1, 1, 1})
	assert.ErrorContains(t, err, "row 3: wavelength 450 nm after 500 nm")
	_, err = FromTable([]float64{400, 500}, []float64{0, 0})
	assert.ErrorContains(t, err, "zero at every wavelength")
}

func TestZeroValueIsDark(t *testing.T) {
	var s Spectrum
	assert.Zero(t, s.PhotonShare(PAR, Total))
	assert.Zero(t, s.LuxPerUmol())
	assert.Zero(t, s.UmolFromLumens(5))
	nm, w := s.Weights(PAR)
	assert.Empty(t, nm)
	assert.Empty(t, w)
}

func TestCallersTableIsNotTouched(t *testing.T) {
	nm, power := []float64{400, 700}, []float64{2, 4}
	s, err := FromTable(nm, power)
	require.NoError(t, err)
	assert.Equal(t, []float64{2, 4}, power)
	power[1] = 0
	assert.Equal(t, 1.0, s.at(700))
}

// anySpectrum draws a table or a few peaks.
func anySpectrum(t *rapid.T) Spectrum {
	if rapid.Bool().Draw(t, "peaks") {
		var p []PeakShare
		for range rapid.IntRange(1, 3).Draw(t, "n") {
			p = append(p, PeakShare{
				rapid.Float64Range(380, 720).Draw(t, "nm"),
				rapid.Float64Range(1, 60).Draw(t, "fwhm"), rapid.Float64Range(0.1, 1).Draw(t, "share")})
		}
		s, err := Peaks(p)
		require.NoError(t, err)
		return s
	}
	var nm, power []float64
	x := rapid.Float64Range(300, 500).Draw(t, "first")
	for range rapid.IntRange(2, 30).Draw(t, "rows") {
		nm, power = append(nm, x), append(power, rapid.Float64Range(0.01, 50).Draw(t, "power"))
		x += rapid.Float64Range(0.5, 40).Draw(t, "step")
	}
	s, err := FromTable(nm, power)
	require.NoError(t, err)
	return s
}

func TestConversionsGoBothWays(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, v := anySpectrum(t), rapid.Float64Range(0.001, 1000).Draw(t, "value")
		assert.InEpsilon(t, v, s.WattsFromUmol(s.UmolFromWatts(v, Total), Total), 1e-12)
		if s.LuxPerUmol() > 0 {
			assert.InEpsilon(t, v, s.LumensFromUmol(s.UmolFromLumens(v)), 1e-12)
		}
	})
}

func TestBandsAddUp(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		s, cut := anySpectrum(t), rapid.Float64Range(300, 800).Draw(t, "cut")
		assert.InDelta(t, 1, s.PhotonShare(Band{0, cut}, Total)+s.PhotonShare(Band{cut, 5000}, Total), 1e-9)
	})
}

// Both quadratures against the spectrum's own integrals and against each other
// for attenuation in 2 m of something that absorbs more in the red.
func TestWeights(t *testing.T) {
	var quarters []float64 // of a nm
	for x := 400.0; x < 700; x += 0.25 {
		quarters = append(quarters, x)
	}
	rapid.Check(t, func(t *rapid.T) {
		s := anySpectrum(t)
		if s.PhotonShare(PAR, Total) == 0 {
			return
		}
		mean := func(nm, w []float64, f func(float64) float64) (sum float64) {
			for i := range nm {
				sum += w[i] * f(nm[i])
			}
			return sum
		}
		nm, w := s.Weights(PAR)
		fineNM, fineW := s.Quadrature(PAR, quarters)
		assert.LessOrEqual(t, len(nm), 301)
		assert.InDelta(t, 1, mean(nm, w, func(float64) float64 { return 1 }), 1e-9)
		assert.True(t, slices.IsSorted(nm))
		identity := func(x float64) float64 { return x }
		assert.InDelta(t, s.MeanWavelength(PAR), mean(nm, w, identity), 1e-6)
		assert.InDelta(t, s.MeanWavelength(PAR), mean(fineNM, fineW, identity), 1e-6)
		beer := func(x float64) float64 { return math.Exp(-2 * math.Exp((x-700)/60)) }
		assert.InDelta(t, mean(fineNM, fineW, beer), mean(nm, w, beer), 2e-5)
	})
}

func TestNarrowPeakHasFewNodes(t *testing.T) {
	nm, _ := peak(t, 455, 22).Weights(PAR)
	assert.Less(t, len(nm), 80)
	flat, err := Flat(400, 700)
	require.NoError(t, err)
	nm, _ = flat.Weights(PAR)
	assert.Len(t, nm, 300)
}

func BenchmarkPeaks3Colours(b *testing.B) {
	for b.Loop() {
		_, _ = Peaks([]PeakShare{{450, 20, 60}, {530, 35, 10}, {660, 20, 30}})
	}
}

func BenchmarkPhotonShare5nmTable(b *testing.B) {
	s := lamp(b, "lamp-spectra-cie.csv", "CIE LED-B3")
	for b.Loop() {
		s.PhotonShare(FarRed, PAR)
	}
}

func BenchmarkWeightsPeak22nm(b *testing.B) {
	s := peak(b, 455, 22)
	for b.Loop() {
		s.Weights(PAR)
	}
}
