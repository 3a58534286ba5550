package planfile

import (
	"bytes"
	"fmt"
	"math"

	"dayloom/photon/spectrum"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

var (
	peakRange  = limits{200, 2000, false, "from 200 nm to 2000 nm"}
	widthRange = limits{1, 500, false, "from 1 nm to 500 nm, full width at half maximum"}
)

// spectrum reads {peak, width}, {file} or a list of peaks with shares; flat over
// 400-700 nm, and false, when it is not given.
func (r *reader) spectrum(v source.Value) (s spectrum.Spectrum, given bool) {
	if !v.Given() {
		s, _ = spectrum.Flat(spectrum.PAR.Lo, spectrum.PAR.Hi)
		return s, false
	}
	if v.IsList() {
		return r.peaks(v), true
	}
	if v.IsText() {
		v.Error("a spectrum is no single value", "write {peak: 455 nm, width: 22 nm}, {file: x.csv} or a list of peaks with shares", "")
		return s, true
	}
	f, ok := v.Fields("peak", "width", "file")
	if !ok {
		return s, true
	}
	file := f.Get("file")
	if file.Given() {
		for _, key := range []string{"peak", "width"} {
			if f.Has(key) {
				f.Get(key).Conflict("a spectrum is a file or a peak", "leave one out", file.KeyPlace(), "the file is here")
			}
		}
		r.files.table(file, func(data *bytes.Reader) (err error) {
			s, err = spectrum.ReadCSV(data)
			return err
		})
		return s, true
	}
	before := r.errors()
	nm := num(f.Need("peak", "455 nm"), quantity.Wavelength, peakRange)
	fwhm := num(f.Need("width", "22 nm"), quantity.Wavelength, widthRange)
	if r.errors() > before {
		return s, true
	}
	s, err := spectrum.Peak(nm, fwhm)
	if err != nil {
		v.Error(err.Error(), "", "")
	}
	return s, true
}

// peaks reads a list of {peak, width, share}.
func (r *reader) peaks(v source.Value) (s spectrum.Spectrum) {
	var peaks []spectrum.PeakShare
	var sum float64
	before := r.errors()
	items := v.Items("")
	for _, item := range items {
		f, ok := item.Fields("peak", "width", "share")
		if !ok {
			continue
		}
		p := spectrum.PeakShare{
			NM:    num(f.Need("peak", "455 nm"), quantity.Wavelength, peakRange),
			FWHM:  num(f.Need("width", "22 nm"), quantity.Wavelength, widthRange),
			Share: num(f.Need("share", "60 %"), quantity.Share, someShare),
		}
		peaks, sum = append(peaks, p), sum+p.Share
	}
	switch {
	case len(items) == 0 || len(items) > 100:
		v.Error(fmt.Sprintf("a list of %s", count(len(items), "peak")), "give from 1 to 100 peaks", "")
	case len(peaks) == len(items) && math.Abs(sum-1) > 0.001:
		v.Error(fmt.Sprintf("the shares of the peaks sum to %s", quantity.Share.Format(sum)), "they are shares of the photons and must sum to 100 %", "")
	}
	if r.errors() > before {
		return s
	}
	s, err := spectrum.Peaks(peaks)
	if err != nil {
		v.Error(err.Error(), "", "")
	}
	return s
}
