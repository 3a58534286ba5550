package spectrum

import (
	"errors"
	"fmt"
	"math"
	"slices"
)

// PeakShare is one colour of a lamp: a Gaussian of spectral power with its peak
// at NM, the full width at half maximum FWHM (both nm), and its share of the
// lamp's photons. Shares may be given in any unit; only their ratios count.
type PeakShare struct{ NM, FWHM, Share float64 }

// Peak is the spectrum of one LED colour: peak wavelength 200-2000 nm and full
// width at half maximum 1-500 nm. A width under 1 nm is refused, as a likely
// slip of unit; 1 nm serves for a spectral line.
func Peak(nm, fwhm float64) (Spectrum, error) {
	return Peaks([]PeakShare{{nm, fwhm, 1}})
}

// Peaks is the sum of Gaussian peaks, each with its share of the photons at all
// wavelengths. The error names the peak, counted from 1.
func Peaks(peaks []PeakShare) (Spectrum, error) {
	var parts []Part
	for i, p := range peaks {
		if err := p.check(); err != nil {
			return Spectrum{}, fmt.Errorf("peak %d: %w", i+1, err)
		}
		parts = append(parts, Part{gaussian(p.NM, p.FWHM), p.Share})
	}
	return Mix(parts)
}

// Part is a spectrum and its share of a mix's photons at all wavelengths. Shares may
// be given in any unit; only their ratios count.
type Part struct {
	Spectrum Spectrum
	Share    float64 // more than 0
}

// Mix is the sum of spectra by their shares of the photons.
func Mix(parts []Part) (Spectrum, error) {
	if len(parts) == 0 {
		return Spectrum{}, errors.New("no peaks: give at least one with its wavelength, width and share")
	}
	var whole float64
	for _, p := range parts {
		whole += p.Share
	}
	var sum Spectrum
	scale := make([]float64, len(parts))
	for i, p := range parts {
		scale[i] = p.Share / whole / p.Spectrum.photons(Total)
		sum.nm = append(sum.nm, p.Spectrum.nm...)
	}
	slices.Sort(sum.nm)
	sum.nm = slices.Compact(sum.nm)
	sum.power = make([]float64, len(sum.nm))
	for i, p := range parts {
		for k, nm := range sum.nm {
			sum.power[k] += scale[i] * p.Spectrum.at(nm)
		}
	}
	return fromChecked(sum.nm, sum.power)
}

func (p PeakShare) check() error {
	switch {
	case !(p.NM >= 200 && p.NM <= 2000):
		return fmt.Errorf("peak wavelength %g nm: it must lie between 200 and 2000 nm", p.NM)
	case !(p.FWHM >= 1 && p.FWHM <= 500):
		return fmt.Errorf("width %g nm: the full width at half maximum must lie between 1 and 500 nm; for a spectral line give 1 nm", p.FWHM)
	case !(p.Share > 0 && p.Share <= 1e9):
		return fmt.Errorf("share %g: it must be more than 0; leave out a peak that gives no light", p.Share)
	}
	return nil
}

// gaussian tables a Gaussian of power, its greatest value 1, ending in zeros.
func gaussian(peak, fwhm float64) Spectrum {
	const reach, fineness = 6.5, 40 // in σ, and steps to a σ
	sigma := fwhm / (2 * math.Sqrt(2*math.Ln2))
	steps := int(math.Ceil(reach * math.Max(fineness, sigma)))
	h := reach * sigma / float64(steps)
	var s Spectrum
	for i := -steps; i <= steps; i++ {
		nm := peak + float64(i)*h
		if nm < minNM {
			continue
		}
		z := (nm - peak) / sigma
		s.nm, s.power = append(s.nm, nm), append(s.power, math.Exp(-z*z/2))
	}
	s.power[len(s.power)-1] = 0
	if s.nm[0] > minNM+h {
		s.power[0] = 0
	}
	return s
}
