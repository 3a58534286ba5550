package planfile

import (
	"bytes"
	"fmt"

	"dayloom/photon/colour"
	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/yamltree"
)

// colourWish reads the colour that balance is to come near.
func (r *reader) colourWish(v yamltree.Value) *plan.ColourWish {
	f, ok := v.Fields()
	if !ok {
		return nil
	}
	near := pair(f.Need("near"))
	if near[0]+near[1] >= 1 {
		f.Get("near").Error(fmt.Sprintf("no light has x %g and y %g", near[0], near[1]), "x and y of a light sum to less than 1; daylight at noon has [0.31, 0.33]", "")
	}
	return &plan.ColourWish{Near: colour.Chromaticity{X: near[0], Y: near[1]}, Within: number(f.Get("within")), Zones: r.zonesOr(f.Get("zones")), Pos: pos(v.KeyPlace())}
}

// spectrumWish reads the spectrum that balance is to come near.
func (r *reader) spectrumWish(v yamltree.Value) *plan.SpectrumWish {
	f, ok := v.Fields()
	if !ok {
		return nil
	}
	out := &plan.SpectrumWish{DepthM: number(f.Get("at")), Zones: r.zonesOr(f.Get("zones")), Pos: pos(v.KeyPlace())}
	like := f.Need("like")
	if out.Like, _ = like.Text("write daylight, or the name of a file"); out.Like == "daylight" {
		out.Spectrum = spectrum.Sunlight()
		return out
	}
	before := r.errors()
	r.files.table(like, func(data *bytes.Reader) (err error) {
		out.Spectrum, err = spectrum.ReadCSV(data)
		return err
	})
	if r.errors() == before && like.Given() && out.Spectrum.PhotonShare(spectrum.PAR, spectrum.Total) == 0 {
		like.Error("the spectrum to be like has no light at 400-700 nm", "shares are of the photons there", "")
	}
	return out
}

// zonesOr reads a list of zones; all where it is not given.
func (r *reader) zonesOr(v yamltree.Value) []int {
	if v.Given() {
		return r.zones.findAll(v, "zone")
	}
	all := make([]int, len(r.plan.Zones))
	for i := range all {
		all[i] = i
	}
	return all
}
