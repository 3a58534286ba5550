package spectrum

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// Constants of the SI (2019), exact.
const (
	planck     = 6.62607015e-34 // J s
	lightSpeed = 299792458      // m/s
	avogadro   = 6.02214076e23  // 1/mol
)

// NMJoulePerUmol divided by a wavelength in nm is the energy in J of 1 µmol of
// photons: 119.6265656 nm J/µmol, from h c N_A.
const NMJoulePerUmol = planck * lightSpeed * avogadro * 1e9 / 1e6

// Wavelengths that a spectrum may hold, nm.
const minNM, maxNM = 100, 100_000

// Spectrum is the relative spectral power of a lamp. The zero value is dark.
// A Spectrum never changes once made and may be shared.
type Spectrum struct {
	nm    []float64 // strictly increasing
	power []float64 // W/nm up to a factor; at least 0, greatest 1
}

// Band is a range of wavelength in nm, Lo to Hi.
type Band struct{ Lo, Hi float64 }

// The bands in which light is counted, nm.
var (
	NearUV = Band{380, 400}
	PAR    = Band{400, 700} // photosynthetically active radiation
	FarRed = Band{700, 750}
	Total  = Band{0, maxNM} // all that a spectrum holds
)

// FromTable makes a spectrum from rows of wavelength (nm, rising) and relative
// spectral power (per nm, any unit). The error names the row, counted from 1.
func FromTable(nm, power []float64) (Spectrum, error) {
	if len(nm) != len(power) {
		return Spectrum{}, fmt.Errorf("%d wavelengths but %d powers: give one power for each wavelength", len(nm), len(power))
	}
	if row, problem := checkRows(nm, power, "power"); problem != "" {
		return Spectrum{}, fmt.Errorf("row %d: %s", row+1, problem)
	}
	return fromChecked(slices.Clone(nm), slices.Clone(power))
}

// fromChecked takes rows that are in order and scales their greatest power to 1.
func fromChecked(nm, power []float64) (Spectrum, error) {
	most := slices.Max(power)
	if most == 0 {
		return Spectrum{}, errors.New("the spectrum is zero at every wavelength: at least one row must have power")
	}
	for i := range power {
		power[i] /= most
	}
	return Spectrum{nm, power}, nil
}

// Flat is a spectrum with as many photons at each wavelength from lo to hi nm.
// It stands for a lamp of which nothing is known. Both must lie in 100-100000
// nm, hi at least 1 nm above lo.
func Flat(lo, hi float64) (Spectrum, error) {
	if !(lo >= minNM && hi <= maxNM && hi-lo >= 1) {
		return Spectrum{}, fmt.Errorf("a flat spectrum from %g to %g nm: both ends must lie between %d and %d nm, the second at least 1 nm above the first", lo, hi, minNM, maxNM)
	}
	steps := int(math.Ceil(hi - lo))
	s := Spectrum{make([]float64, steps+1), make([]float64, steps+1)}
	for i := range s.nm {
		s.nm[i] = lo + (hi-lo)*float64(i)/float64(steps)
		s.power[i] = lo / s.nm[i]
	}
	return s, nil
}

// at is the relative spectral power at a wavelength, 0 outside the table.
func (s Spectrum) at(nm float64) float64 { return interpolate(s.nm, s.power, nm) }

// interpolate is the straight line between the rows of a table, 0 outside it.
func interpolate(xs, ys []float64, x float64) float64 {
	n := len(xs)
	if n == 0 || !(x >= xs[0] && x <= xs[n-1]) {
		return 0
	}
	i, found := slices.BinarySearch(xs, x)
	if found {
		return ys[i]
	}
	t := (x - xs[i-1]) / (xs[i] - xs[i-1])
	return ys[i-1] + t*(ys[i]-ys[i-1])
}

// clip is the part of a band that the spectrum's table covers.
func (s Spectrum) clip(b Band) (Band, bool) {
	if len(s.nm) == 0 {
		return Band{}, false
	}
	c := Band{math.Max(b.Lo, s.nm[0]), math.Min(b.Hi, s.nm[len(s.nm)-1])}
	return c, c.Hi > c.Lo
}

// nodes lists the ends of the band, the rows within it and the breaks within
// it, in order and without repeats.
func (s Spectrum) nodes(b Band, breaks []float64) []float64 {
	inside := func(out, in []float64) []float64 {
		for _, x := range in {
			if x > b.Lo && x < b.Hi {
				out = append(out, x)
			}
		}
		return out
	}
	out := append(make([]float64, 0, 2+len(s.nm)+len(breaks)), b.Lo, b.Hi)
	out = inside(inside(out, s.nm), breaks)
	slices.Sort(out)
	return slices.Compact(out)
}

// integral is ∫ p(λ) f(λ) dλ over a band, by Simpson's rule between rows:
// exact where f is a quadratic at most between rows and breaks.
func (s Spectrum) integral(b Band, breaks []float64, f func(nm float64) float64) float64 {
	b, ok := s.clip(b)
	if !ok {
		return 0
	}
	xs := s.nodes(b, breaks)
	g := func(x float64) float64 { return s.at(x) * f(x) }
	var sum float64
	before := g(xs[0])
	for i := 1; i < len(xs); i++ {
		a, c := xs[i-1], xs[i]
		here := g(c)
		sum += (c - a) / 6 * (before + 4*g((a+c)/2) + here)
		before = here
	}
	return sum
}

// photons is the relative photon flux in a band, µmol/s up to the factor of p.
func (s Spectrum) photons(b Band) float64 {
	return s.integral(b, nil, func(nm float64) float64 { return nm / NMJoulePerUmol })
}

// watts is the relative radiant flux in a band, W up to the factor of p.
func (s Spectrum) watts(b Band) float64 {
	return s.integral(b, nil, func(float64) float64 { return 1 })
}
