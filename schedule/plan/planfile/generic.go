package planfile

import (
	"fmt"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// lamp is a sort of lamp known by a plain word: its generic spectrum, and what a
// whole fixture of it gives for its electricity, µmol of all wavelengths to the joule.
type lamp struct {
	word     string
	peaks    []spectrum.PeakShare
	efficacy float64
	source   string // of the efficacy
}

const (
	practice = "common practice, no source"
	fixtures = "PLoS ONE 2014 9(6) e99010, whole fixtures"
)

// lamps are the plain words for a spectrum. The shapes are common practice, no
// source: what single-colour LEDs, phosphor-converted whites and three-band tubes
// look like. The efficacies are those of PLoS ONE 2014 9(6) e99010 (the best LED
// fixtures 1.66-1.70, the better fluorescent one 0.95 µmol/J) where it speaks of the
// sort, else common practice, no source.
var lamps = []lamp{
	{"near-uv", []spectrum.PeakShare{{NM: 390, FWHM: 14, Share: 1}}, 1.1, practice},
	{"violet", []spectrum.PeakShare{{NM: 415, FWHM: 16, Share: 1}}, 1.4, practice},
	{"blue", []spectrum.PeakShare{{NM: 455, FWHM: 22, Share: 1}}, 1.7, fixtures},
	{"cyan", []spectrum.PeakShare{{NM: 495, FWHM: 30, Share: 1}}, 1.2, practice},
	{"green", []spectrum.PeakShare{{NM: 525, FWHM: 35, Share: 1}}, 1.0, practice},
	{"amber", []spectrum.PeakShare{{NM: 595, FWHM: 16, Share: 1}}, 0.8, practice},
	{"red", []spectrum.PeakShare{{NM: 635, FWHM: 18, Share: 1}}, 1.7, fixtures},
	{"warm white", []spectrum.PeakShare{{NM: 450, FWHM: 22, Share: 0.10}, {NM: 605, FWHM: 130, Share: 0.90}}, 1.7, fixtures},
	{"cool white", []spectrum.PeakShare{{NM: 450, FWHM: 22, Share: 0.30}, {NM: 560, FWHM: 120, Share: 0.70}}, 1.7, fixtures},
	{"fluorescent", []spectrum.PeakShare{{NM: 440, FWHM: 40, Share: 0.35}, {NM: 545, FWHM: 14, Share: 0.35}, {NM: 612, FWHM: 12, Share: 0.30}}, 0.95, fixtures},
}

func lampWords() (words []string) {
	for _, l := range lamps {
		words = append(words, l.word)
	}
	return words
}

// lampOf is the sort of lamp that the text of a spectrum names.
func lampOf(v yamltree.Value) (lamp, bool) {
	if !v.IsText() {
		return lamp{}, false
	}
	text, _ := v.Text("")
	i := slices.IndexFunc(lamps, func(l lamp) bool { return l.word == text })
	if i < 0 {
		return lamp{}, false
	}
	return lamps[i], true
}

// generic is the spectrum of a plain word.
func generic(v yamltree.Value) (s spectrum.Spectrum) {
	l, ok := lampOf(v)
	if !ok {
		text, _ := v.Text("")
		v.Error(fmt.Sprintf("%q is not a known spectrum", text),
			"write {peak: 455 nm, width: 22 nm}, {file: x.csv}, a list of peaks with shares, or one of the words "+diag.Words(lampWords()),
			diag.DidYouMean(text, lampWords()))
		return s
	}
	s, _ = spectrum.Peaks(l.peaks) // the table above is whole
	return s
}

// genericUncertainty is that of a flux guessed from the sort of lamp and its power:
// common practice, no source.
const genericUncertainty = 0.40

// fromPower is the flux of a channel that gives its power and a plain word for its
// spectrum, by what such fixtures give for their electricity.
func fromPower(f yamltree.Fields) (quantity.Flux, string, bool) {
	l, ok := lampOf(f.Get("spectrum"))
	power := f.Get("power")
	if !ok || !power.Given() {
		return quantity.Flux{}, "", false
	}
	given := fmt.Sprintf("%.3g umol/J of electricity (%s)", l.efficacy, l.source)
	power.Warn("a power and no flux",
		"it is taken to give "+given+", with an uncertainty of 40 %", "give the flux of the data sheet, or measure it")
	return quantity.Flux{Value: l.efficacy, Unit: quantity.PerElectricity, Lo: 300, Hi: 800}, given, true
}
