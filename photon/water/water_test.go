package water

import (
	"encoding/csv"
	"math"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/spectrum"
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

func lamp(t testing.TB, file, column string) spectrum.Spectrum {
	head, rows := published(t, file)
	k := slices.Index(head, column)
	require.Positive(t, k, "no column %q in %s", column, file)
	var nm, power []float64
	for _, row := range rows {
		nm, power = append(nm, number(t, row[0])), append(power, number(t, row[k]))
	}
	s, err := spectrum.FromTable(nm, power)
	require.NoError(t, err)
	return s
}

func peak(t testing.TB, nm, fwhm float64) spectrum.Spectrum {
	s, err := spectrum.Peak(nm, fwhm)
	require.NoError(t, err)
	return s
}

// Pope and Fry (1997), Smith and Baker (1981): figures of their printed tables.
// Count and sum show a lost row.
func TestPureWaterAtItsOwnWavelengths(t *testing.T) {
	a := Pure()
	for nm, want := range map[float64]float64{
		380: 0.01137, 417.5: 0.00442, 440: 0.00635, 500: 0.0204, 550: 0.0565, 600: 0.2224, 660: 0.410, 700: 0.624, // Pope and Fry
		750: 2.47, 760: 2.55, 800: 2.07, // Smith and Baker
	} {
		assert.Equal(t, want, a.At(nm), "at %g nm", nm)
	}
	require.Len(t, a.nm, 129+10, "380-700 every 2.5 nm, 710-800 every 10 nm")
	assert.InDelta(t, (0.0204+0.0228)/2, a.At(501.25), 1e-12)
	assert.Equal(t, 0.01137, a.At(300), "held below 380 nm")
	assert.Equal(t, 2.07, a.At(900), "held above 800 nm")
}

// Bricaud, Morel and Prieur (1981): a falls by e^(-0.014 Δλ) from 440 nm.
func TestOrganics(t *testing.T) {
	a, err := Absorption{}.WithOrganics(0.05)
	require.NoError(t, err)
	assert.InDelta(t, 0.05, a.At(440), 1e-15)
	assert.InDelta(t, 0.025, a.At(440+math.Ln2/0.014), 1e-15, "half, 49.5 nm on")
	a, err = Pure().WithOrganics(0.05)
	require.NoError(t, err)
	assert.InDelta(t, 0.05635, a.At(440), 1e-15)
	for _, bad := range []float64{-0.1, 101, math.NaN(), math.Inf(1)} {
		_, err = Pure().WithOrganics(bad)
		assert.ErrorContains(t, err, "between 0 and 100")
	}
}

// Photons left after 0.1 to 5 m of pure water, twelve spectra, computed
// elsewhere by the 1 nm trapezoid: within 2e-4.
func TestPhotonsLeftInPureWater(t *testing.T) {
	head, rows := published(t, "pure-water-photons-left.csv")
	require.Len(t, rows, 12)
	for _, row := range rows {
		var s spectrum.Spectrum
		switch part := strings.Split(row[0], "_"); part[0] {
		case "gauss":
			s = peak(t, number(t, part[1]), number(t, part[2]))
		case "cie":
			s = lamp(t, "lamp-spectra-cie.csv", "CIE "+strings.ToUpper(part[1]))
		default:
			s = lamp(t, "sunlight-astm-g173.csv", "w_per_m2_nm")
		}
		left := Transmission(Pure(), s, spectrum.PAR)
		for i, name := range head[1:] {
			path := number(t, strings.TrimPrefix(name, "m_"))
			assert.InDelta(t, number(t, row[i+1]), left(path), 2e-4, "%s after %g m", row[0], path)
		}
	}
}

// anySpectrum draws a peak or a coarse table.
func anySpectrum(t *rapid.T) spectrum.Spectrum {
	var s spectrum.Spectrum
	var err error
	if rapid.Bool().Draw(t, "peak") {
		s, err = spectrum.Peak(rapid.Float64Range(390, 740).Draw(t, "nm"), rapid.Float64Range(1, 80).Draw(t, "fwhm"))
	} else {
		power := rapid.SliceOfN(rapid.Float64Range(0.01, 9), 2, 20).Draw(t, "power")
		nm := make([]float64, len(power))
		for i := range nm {
			nm[i] = 385 + 380*float64(i)/float64(len(nm)-1)
		}
		s, err = spectrum.FromTable(nm, power)
	}
	require.NoError(t, err)
	return s
}

// The short rule against the integral itself on steps of 0.1 nm, to 1e-6.
func TestTransmissionIsTheIntegral(t *testing.T) {
	var tenths []float64
	for x := 400.0; x < 700; x += 0.1 {
		tenths = append(tenths, x)
	}
	tenths = append(tenths, Pure().nm...)
	rapid.Check(t, func(t *rapid.T) {
		s := anySpectrum(t)
		a, err := Pure().WithOrganics(rapid.Float64Range(0, 2).Draw(t, "a440"))
		require.NoError(t, err)
		nm, w := s.Quadrature(spectrum.PAR, tenths)
		left := Transmission(a, s, spectrum.PAR)
		path := rapid.Float64Range(0, 10).Draw(t, "path")
		var sum float64
		for i, x := range nm {
			sum += w[i] * math.Exp(-a.At(x)*path)
		}
		if len(nm) > 0 {
			assert.InDelta(t, sum, left(path), 1e-6)
		}
		assert.InDelta(t, 1, left(0), 1e-12)
		assert.LessOrEqual(t, left(path+rapid.Float64Range(0, 5).Draw(t, "more")), left(path))
	})
}

// Water that absorbs all colours alike follows Beer and Lambert exactly.
func TestGreyWaterIsExponential(t *testing.T) {
	grey, err := ReadCSV(strings.NewReader("nm,a\n300,0.3\n800,0.3\n"))
	require.NoError(t, err)
	left := Transmission(grey, lamp(t, "lamp-spectra-cie.csv", "CIE LED-B3"), spectrum.PAR)
	for _, path := range []float64{0, 0.2, 1, 10, 100} {
		assert.InDelta(t, math.Exp(-0.3*path), left(path), 1e-12)
	}
	clear := Transmission(Absorption{}, peak(t, 455, 20), spectrum.PAR)
	assert.Equal(t, 1.0, clear(1000))
	dark := Transmission(Pure(), peak(t, 455, 20), spectrum.FarRed)
	assert.Equal(t, 1.0, dark(1), "no light in the band")
}

// 150 m and 1e-8 are what the package's doc states.
func TestTransmissionOverLongPaths(t *testing.T) {
	s := lamp(t, "sunlight-astm-g173.csv", "w_per_m2_nm")
	nm, w := s.Quadrature(spectrum.PAR, Pure().nm)
	left := Transmission(Pure(), s, spectrum.PAR)
	for path := 0.0; path <= 150; path += 2.5 {
		var sum float64
		for i, x := range nm {
			sum += w[i] * math.Exp(-Pure().At(x)*path)
		}
		assert.InDelta(t, sum, left(path), 1e-8, "%g m", path)
	}
}

func TestReadCSVGivesTheLine(t *testing.T) {
	_, err := ReadCSV(strings.NewReader("nm,1/m\n400,0.1\n500,-1\n"))
	var fault *spectrum.TableError
	require.ErrorAs(t, err, &fault)
	assert.Equal(t, 3, fault.Line)
	assert.ErrorContains(t, err, "absorption -1 at 500 nm is negative")
	_, err = ReadCSV(strings.NewReader("400,0.1\n500,1e5\n"))
	require.ErrorAs(t, err, &fault)
	assert.ErrorContains(t, err, "absorption 100000 per m at 500 nm: it must be 10000 or less")
}

func FuzzReadCSV(f *testing.F) {
	f.Add("nm,1/m\n400,0.005\n700,0.6\n")
	f.Add("100,0\n100000,1e4\n")
	f.Add("400,1\n399,1\n")
	s, err := spectrum.Flat(400, 700)
	require.NoError(f, err)
	f.Fuzz(func(t *testing.T, text string) {
		a, err := ReadCSV(strings.NewReader(text))
		if err != nil {
			require.Less(t, len(err.Error()), 500)
			return
		}
		left := Transmission(a, s, spectrum.PAR)
		require.InDelta(t, 1, left(0), 1e-9)
		before := 1 + 1e-9
		for _, path := range []float64{0.01, 1, 1e3, 1e9} {
			v := left(path)
			require.True(t, v >= 0 && v <= before, "%g after %g m of %q", v, path, text)
			before = v
		}
	})
}

// Quan and Fry (1995), computed elsewhere: within 2e-5. Handbooks give 1.33299
// for fresh water at 20 °C, 589.3 nm (memory).
func TestIndex(t *testing.T) {
	head, rows := published(t, "seawater-refractive-index.csv")
	require.Len(t, rows, 13)
	for _, row := range rows {
		nm := number(t, row[0])
		for i, name := range head[1:] {
			salinity, tempC, _ := strings.Cut(strings.TrimPrefix(name, "S"), "_T")
			assert.InDelta(t, number(t, row[i+1]), IndexAt(nm, number(t, salinity), number(t, tempC)), 2e-5, "%s at %g nm", name, nm)
		}
		assert.Equal(t, IndexAt(nm, 35, 25), Index(nm))
	}
	assert.InDelta(t, 1.33299, IndexAt(589.3, 0, 20), 5e-5)
	assert.Equal(t, Index(300), Index(0), "held below 300 nm")
}
