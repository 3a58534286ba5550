package water

import (
	_ "embed"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"
	"sync"

	"dayloom/photon/spectrum"
)

//go:embed pure.csv
var pureCSV string

// organicSlope is how fast absorption by dissolved organic matter falls with
// wavelength, 1/nm (Bricaud, Morel and Prieur 1981).
const organicSlope = 0.014

// Limits that tell a slip of unit from water, 1/m.
const maxAbsorption, maxOrganics = 10_000, 100

// Absorption is the absorption coefficient of a water. The zero value absorbs
// nothing. It never changes once made and may be shared.
type Absorption struct {
	nm, perM []float64 // rows, rising; straight lines between, held beyond
	organics float64   // 1/m at 440 nm
}

var pure = sync.OnceValue(func() Absorption {
	a, err := ReadCSV(strings.NewReader(pureCSV))
	if err != nil {
		panic("the built-in table of water: " + err.Error()) // the file is part of the program, not data
	}
	return a
})

// Pure is the absorption of pure water.
func Pure() Absorption { return pure() }

// ReadCSV reads a table to use in place of pure water: two columns, wavelength
// in nm (rising) and absorption coefficient in 1/m, by the rules of
// spectrum.ReadCSV. Its end values are held beyond its ends. A fault in the
// table is a *spectrum.TableError with its line.
func ReadCSV(r io.Reader) (Absorption, error) {
	nm, perM, err := spectrum.ReadTable(r, "absorption")
	if err != nil {
		return Absorption{}, err
	}
	if i := slices.IndexFunc(perM, func(v float64) bool { return v > maxAbsorption }); i >= 0 {
		return Absorption{}, &spectrum.TableError{Problem: fmt.Sprintf("absorption %g per m at %g nm: it must be %d or less", perM[i], nm[i], maxAbsorption)}
	}
	return Absorption{nm: nm, perM: perM}, nil
}

// WithOrganics is the same water with dissolved organic matter that absorbs
// a440 (1/m, 0 to 100) at 440 nm, in place of any it had.
func (a Absorption) WithOrganics(a440 float64) (Absorption, error) {
	if !(a440 >= 0 && a440 <= maxOrganics) {
		return Absorption{}, fmt.Errorf("dissolved organics of %g per m at 440 nm: it must lie between 0 and %d; clear aquarium water has less than 1", a440, maxOrganics)
	}
	a.organics = a440
	return a, nil
}

// Covers is the range of the table's rows, nm; both are 0 for water that has none.
// Beyond it the values at its ends are held.
func (a Absorption) Covers() (lo, hi float64) {
	if len(a.nm) == 0 {
		return 0, 0
	}
	return a.nm[0], a.nm[len(a.nm)-1]
}

// At is the absorption coefficient in 1/m at a wavelength in nm.
func (a Absorption) At(nm float64) float64 {
	return a.table(nm) + a.organics*math.Exp(-organicSlope*(nm-440))
}

func (a Absorption) table(nm float64) float64 {
	n := len(a.nm)
	switch {
	case n == 0:
		return 0
	case nm <= a.nm[0]:
		return a.perM[0]
	case nm >= a.nm[n-1]:
		return a.perM[n-1]
	}
	i, found := slices.BinarySearch(a.nm, nm)
	if found {
		return a.perM[i]
	}
	t := (nm - a.nm[i-1]) / (a.nm[i] - a.nm[i-1])
	return a.perM[i-1] + t*(a.perM[i]-a.perM[i-1])
}
