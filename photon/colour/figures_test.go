package colour

import (
	"encoding/csv"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/require"
)

// figures is a table of testdata/published: a value by row and heading.
type figures struct {
	t    testing.TB
	head []string
	rows [][]string
}

func published(t testing.TB, name string, rows int) figures {
	f, err := os.Open("../../testdata/published/" + name)
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	all, err := r.ReadAll()
	require.NoError(t, err)
	require.Len(t, all, rows+1, name)
	return figures{t, all[0], all[1:]}
}

// at is a figure; ok is false where the source has none.
func (f figures) at(row []string, heading string) (v float64, ok bool) {
	i := slices.Index(f.head, heading)
	require.GreaterOrEqual(f.t, i, 0, "no column %s", heading)
	if row[i] == "" {
		return 0, false
	}
	v, err := strconv.ParseFloat(row[i], 64)
	require.NoError(f.t, err)
	return v, true
}

func (f figures) must(row []string, heading string) float64 {
	v, ok := f.at(row, heading)
	require.True(f.t, ok, heading)
	return v
}

// column is a whole column as a light.
func (f figures) light(heading string) Light {
	require.Len(f.t, f.rows, Rows)
	var p column
	for k, row := range f.rows {
		require.Equal(f.t, wavelength(k), f.must(row, f.head[0]))
		p[k] = f.must(row, heading)
	}
	return OfPower(p)
}

// illuminant is a light by the CIE's name. Those of the D series follow from the
// package's own daylight at their temperature, T · 1.4388/1.4380 (CIE 015:2018).
func illuminant(t testing.TB, name string) Light {
	if k, ok := map[string]float64{"D50": 5000, "D55": 5500, "D75": 7500}[name]; ok {
		return OfPower(daylight(k * 1.4388 / 1.4380))
	}
	return published(t, "illuminants-cie-5nm.csv", Rows).light(name)
}

func chromaticity(t testing.TB, l Light) Chromaticity {
	c, ok := l.XYZ().Chromaticity()
	require.True(t, ok)
	return c
}
