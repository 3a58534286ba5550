package planfile

import (
	"bytes"
	"fmt"
	"math"

	"dayloom/photon/spectrum"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// spectrum reads {peak, width}, {file}, a plain word or a list of parts with shares;
// flat over 400-700 nm, and false, when it is not given.
func (r *reader) spectrum(v yamltree.Value) (s spectrum.Spectrum, given bool) {
	switch {
	case !v.Given():
		s, _ = spectrum.Flat(spectrum.PAR.Lo, spectrum.PAR.Hi)
		return s, false
	case v.IsList():
		return r.parts(v), true
	case v.IsText():
		return generic(v), true
	}
	if f, ok := v.Fields(); ok {
		s = r.part(v, f)
	}
	return s, true
}

// part reads {peak, width} or {file}; the zero spectrum for what is bad.
func (r *reader) part(v yamltree.Value, f yamltree.Fields) (s spectrum.Spectrum) {
	if file := f.Get("file"); file.Given() {
		for _, key := range []string{"peak", "width"} {
			if f.Has(key) {
				f.Get(key).Conflict("a spectrum is a file or a peak", "leave one out", file.KeyPlace(), "the file is here")
			}
		}
		r.files.table(file, func(data *bytes.Reader) (err error) {
			s, err = spectrum.ReadCSV(data)
			return err
		})
		return s
	}
	before := r.errors()
	nm := number(f.Need("peak"))
	fwhm := number(f.Need("width"))
	if r.errors() > before {
		return s
	}
	s, err := spectrum.Peak(nm, fwhm)
	if err != nil {
		v.Error(err.Error(), "", "")
	}
	return s
}

// parts reads a list of {peak, width, share} and {file, share}.
func (r *reader) parts(v yamltree.Value) (s spectrum.Spectrum) {
	var parts []spectrum.Part
	var sum float64
	before := r.errors()
	items := v.Items("")
	for _, item := range items {
		f, ok := item.Fields()
		if !ok {
			continue
		}
		p := spectrum.Part{Spectrum: r.part(item, f), Share: number(f.Need("share"))}
		parts, sum = append(parts, p), sum+p.Share
	}
	switch {
	case len(items) == 0 || len(items) > 100:
		v.Error(fmt.Sprintf("a list of %s", count(len(items), "peak")), "give from 1 to 100 peaks", "")
	case len(parts) == len(items) && math.Abs(sum-1) > 0.001:
		v.Error(fmt.Sprintf("the shares of the peaks sum to %s", quantity.Share.Format(sum)), "they are shares of the photons and must sum to 100 %", "")
	}
	if r.errors() > before {
		return s
	}
	s, err := spectrum.Mix(parts)
	if err != nil {
		v.Error(err.Error(), "", "")
	}
	return s
}
