package spectrum

import (
	"errors"
	"math"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadCSVAsPeopleWriteIt(t *testing.T) {
	want, err := FromTable([]float64{400, 500, 600}, []float64{0.5, 2, 1e-3})
	require.NoError(t, err)
	for name, text := range map[string]string{
		"bare":        "400,0.5\n500,2\n600,1e-3\n",
		"heading":     "nm,power\n400,0.5\n500,2\n600,1e-3",
		"semicolons":  "nm;power\n400;0,5\n500;2,0\n600;1e-3\n",
		"comments":    "# a lamp\n\nnm,W\n400,0.5\n  # in between\n500,2\n600,0.001\n",
		"spreadsheet": "\ufeff\"nm\",\"rel\"\r\n\"400\",\"0.5\"\r\n 500 , 2 \r\n600,.001\r\n",
	} {
		s, err := ReadCSV(strings.NewReader(text))
		require.NoError(t, err, name)
		assert.Equal(t, want, s, name)
	}
}

func TestReadCSVGivesTheLine(t *testing.T) {
	for _, c := range []struct {
		text string
		line int
		want string
	}{
		{"", 1, "too few rows (0)"},
		{"nm,power\n400,1\n", 2, "too few rows (1)"},
		{"400,1\n# note\n500,1\n450,1\n", 4, "wavelength 450 nm after 500 nm: sort"},
		{"400,1\n400,2\n", 2, "is given twice"},
		{"nm,p\n400,1\n500,-0.1\n", 3, "is negative"},
		{"400,1\n500,red\n", 2, `power "red" is not a number`},
		{"400,1\nnm,power\n", 2, `wavelength "nm" is not a number`},
		{"nm,power\nnm,power\n400,1\n500,1\n", 2, `wavelength "nm" is not a number`},
		{"400,1\n500,NaN\n", 2, "is not a number"},
		{"nan,1\n500,1\n", 1, "is not a number"},
		{"400,1\n500,1e999\n", 2, "is not a number"},
		{"400 1\n500 1\n", 1, "1 column where two are needed"},
		{"400,1,5\n500,2,5\n", 1, "3 columns where two are needed"},
		{"0.4,1\n0.5,1\n", 1, "between 100 and 100000 nm"},
		{"400,0\n500,0\n", 0, "zero at every wavelength"},
		{"400,1\n5" + strings.Repeat("0", 70_000) + ",1\n", 2, "too long"},
		{"400," + strings.Repeat("9", 5000) + "x\n", 1, "…"},
	} {
		_, err := ReadCSV(strings.NewReader(c.text))
		var fault *TableError
		require.ErrorAs(t, err, &fault, c.want)
		assert.Equal(t, c.line, fault.Line, c.want)
		assert.ErrorContains(t, err, c.want)
		assert.Less(t, len(err.Error()), 250)
	}
	var rows strings.Builder
	for range maxRows + 1 {
		rows.WriteString("400,1\n")
	}
	_, err := ReadCSV(strings.NewReader(rows.String()))
	assert.ErrorContains(t, err, "line 100001: more than 100000 rows")
}

func TestReadCSVPassesOnAReadingFault(t *testing.T) {
	broken := errors.New("the disk is gone")
	_, err := ReadCSV(iotest.ErrReader(broken))
	assert.ErrorIs(t, err, broken)
}

// FuzzReadCSV: whatever is read is refused with a short message, or is a
// spectrum whose figures are finite and in order.
func FuzzReadCSV(f *testing.F) {
	for _, seed := range []string{"nm,power\n400,1\n700,2\n", "400,1\n400,1\n", "#\n\n1e2,0\n1e5,5e-324\n", "\ufeff\"nm\"\n", "380,1e308\n381,1e308\n"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		s, err := ReadCSV(strings.NewReader(text))
		if err != nil {
			require.Less(t, len(err.Error()), 500)
			return
		}
		for _, v := range []float64{s.PhotonsPerJoule(), s.LuxPerUmol(), s.MeanWavelength(Total), s.UmolFromLumens(1), s.UmolFromWatts(1, PAR), s.WattsFromUmol(1, PAR)} {
			require.False(t, math.IsNaN(v) || math.IsInf(v, 0) || v < 0, "%g of %q", v, text)
		}
		if p := s.PhotonsPerJoule(); p < 100/NMJoulePerUmol*0.999 || p > 1e5/NMJoulePerUmol*1.001 {
			t.Fatalf("%g µmol/J is beyond the wavelengths of %q", p, text)
		}
		_, w := s.Weights(PAR)
		var sum float64
		for _, x := range w {
			sum += x
		}
		require.True(t, len(w) == 0 || math.Abs(sum-1) < 1e-9)
	})
}
