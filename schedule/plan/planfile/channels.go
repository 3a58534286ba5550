package planfile

import (
	"fmt"
	"math"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// The uncertainty of a modelled light: 20 % common to all channels and 15 % of each
// alone, 25 % together (common practice, no source). Of a total that is stated, the
// same share of it is common.
const (
	defaultUncertainty  = 0.25
	commonPart, ownPart = 0.8, 0.6 // √(0.8² + 0.6²) = 1
)

func (r *reader) readChannels(v yamltree.Value) {
	entries := v.Entries("write channels such as bar-blue: {flux: 420 umol/s}")
	if v.IsMap() && len(entries) == 0 {
		v.Error("channels is empty", "a plan needs at least one channel", "")
	}
	r.channels.quiet = len(entries) == 0
	r.channelGroup = v
	for _, c := range entries {
		r.channels.define(c, "a channel")
		if c.Name() == litAll || c.Name() == litNone {
			c.KeyError(fmt.Sprintf("a channel cannot be called %q", c.Name()), "in a table of readings it stands for "+map[string]string{litAll: "all channels", litNone: "no channel"}[c.Name()], "")
		}
		r.plan.Channels = append(r.plan.Channels, r.channel(c))
	}
}

func (r *reader) channel(v yamltree.Value) plan.Channel {
	c := plan.Channel{Name: v.Name(), Pos: pos(v.KeyPlace()), Dimmable: true}
	f, ok := v.Fields()
	if !ok {
		return c
	}
	f = like(f, v, r.channelGroup, "channel", likeChannel)
	c.Tank = r.tankOf(v, f.Get("tank"), "channel")
	c.PowerW = numberOr(f.Get("power"), 0)
	c.Dimmable = yes(f.Get("dimmable"), true)
	usual := defaultUncertainty
	if !f.Has("flux") && !f.Has("efficacy") && f.Has("emitters") {
		usual = genericUncertainty
	}
	c.Uncertainty = uncertainty(f.Get("uncertainty"), usual)
	c.Ageing = ageing(f.Get("ageing"))
	c.HoursRun = number(f.Get("hours_run")) / 3600
	c.Installed = r.date(f.Get("installed"))
	for _, key := range []string{"hours_run", "installed"} {
		if f.Has(key) && !f.Has("ageing") {
			f.Get(key).Warn(key+" does nothing here", "it counts when the channel has ageing", "")
		}
	}
	before := r.errors()
	c.Spectrum, c.HasSpectrum = r.spectrum(f.Get("spectrum"))
	spectrumReads := r.errors() == before
	r.hung = r.racked[c.Name]
	c.Emitters = r.emitters(f.Get("emitters"))
	if f.Has("emitters") && !f.Has("spectrum") {
		v.Warn(fmt.Sprintf("the channel %q has no spectrum", v.Name()), "it is taken as even over 400-700 nm", "give spectrum: {peak: 455 nm, width: 22 nm} or {file: x.csv}")
	}
	if spectrumReads {
		c.Flux = r.flux(f, c)
	}
	if r.errors() == before {
		r.plausible(v, f, c)
	}
	return c
}

// uncertainty reads a total, or {common, own}; what is not given stands at its default.
func uncertainty(v yamltree.Value, usual float64) plan.Uncertainty {
	whole := plan.Uncertainty{Common: commonPart * usual, Own: ownPart * usual}
	if !v.Given() {
		return whole
	}
	if v.IsMap() {
		f, _ := v.Fields()
		return plan.Uncertainty{
			Common: numberOr(f.Get("common"), whole.Common),
			Own:    numberOr(f.Get("own"), whole.Own),
		}
	}
	total := number(v)
	return plan.Uncertainty{Common: commonPart * total, Own: ownPart * total}
}

// flux turns what the plan gives into µmol/s over 400-700 nm.
func (r *reader) flux(f yamltree.Fields, c plan.Channel) plan.Flux {
	v := f.Get("flux")
	if e := f.Get("efficacy"); e.Given() {
		if v.Given() {
			e.Conflict("a channel has a flux or an efficacy", "leave one out", v.Place(), "the flux is here")
			return plan.Flux{}
		}
		v = e
	}
	given, text, ok := fluxOf(v, f)
	if !ok {
		return plan.Flux{}
	}
	if v.Name() == "efficacy" && given.Unit != quantity.PerElectricity {
		v.Error(fmt.Sprintf("%q is not an efficacy", text), "write it such as 2.4 umol/J", "other units go under flux")
		return plan.Flux{}
	}
	total, why, allowed := convert(given, c)
	if why != "" {
		v.Error(why, allowed, "")
	}
	return plan.Flux{
		UmolS: total * c.Spectrum.PhotonShare(spectrum.PAR, spectrum.Total), TotalUmolS: total,
		Given: text, Pos: pos(v.Place()), Derived: given.Unit != quantity.Photons || given.Hi > 0,
	}
}

// fluxOf reads the value of a flux, or where there is none guesses it from the power.
func fluxOf(v yamltree.Value, f yamltree.Fields) (given quantity.Flux, text string, ok bool) {
	if !v.Given() {
		given, text, ok := fromPower(f)
		if !ok && f.Has("emitters") {
			f.Need("flux")
		}
		return given, text, ok
	}
	if text, ok = v.Text("write a flux such as 420 umol/s"); !ok {
		return given, text, false
	}
	given, err := quantity.ParseFlux(text)
	if err != nil {
		bad(v, err)
	}
	return given, text, err == nil
}

// convert is the flux in photons of all wavelengths, µmol/s.
func convert(given quantity.Flux, c plan.Channel) (total float64, why, allowed string) {
	s := c.Spectrum
	needs := "give the channel's spectrum"
	band := spectrum.PAR
	if given.Hi > 0 {
		band = spectrum.Band{Lo: given.Lo, Hi: given.Hi}
	}
	perBand := s.PhotonShare(spectrum.Total, band)
	switch {
	case given.Unit == quantity.Photons && given.Hi == 0:
		total = given.Value * perBand
	case given.Unit == quantity.PerElectricity && c.PowerW > 0:
		total = given.Value * c.PowerW * perBand
	case given.Unit == quantity.PerElectricity && math.IsNaN(c.PowerW):
		return 0, "", "" // the power was reported
	case given.Unit == quantity.PerElectricity:
		return 0, "an efficacy without the channel's power", "give power: such as power: 190 W"
	case !c.HasSpectrum:
		return 0, fmt.Sprintf("%s cannot be turned into photons of 400-700 nm without a spectrum", sortOf(given)), needs
	case given.Unit == quantity.Radiant:
		total = s.UmolFromWatts(given.Value, spectrum.Total)
	case given.Unit == quantity.Lumens:
		total = s.UmolFromLumens(given.Value) * perBand
	default:
		total = given.Value * perBand
	}
	if !(total > 0) || math.IsInf(total, 0) {
		return 0, fmt.Sprintf("the spectrum has no light in %g-%g nm, where this flux is counted", band.Lo, band.Hi),
			"name a band that the spectrum covers, such as 40 umol/s 380-420 nm"
	}
	return total, "", ""
}

func sortOf(f quantity.Flux) string {
	return [...]string{"a flux in another band", "a radiant flux", "a luminous flux", "an efficacy"}[f.Unit]
}

// ageing reads points of running hours and the share of flux that is left.
func ageing(v yamltree.Value) (points []plan.AgePoint) {
	const example = "write points such as [[0 h, 100 %], [4000 h, 88 %]]"
	items := v.Items(example)
	if v.IsList() && len(items) == 0 {
		v.Error("ageing is an empty list", example, "")
	}
	for i, item := range items {
		pair := item.Items(example)
		if item.IsList() && len(pair) != 2 {
			item.Error("an ageing point has two values", example, "")
		}
		if len(pair) != 2 {
			continue
		}
		p := plan.AgePoint{
			Hours: num(pair[0], quantity.Duration, rangeOf(quantity.Duration, "from 0 h to 1000000 h")) / 3600,
			Share: num(pair[1], quantity.Share, rangeOf(quantity.Share, "more than 0 % and at most 100 %")),
		}
		if i == 0 && p.Hours > 0 {
			pair[0].Error("the first ageing point is not at 0 h", "begin with new lamps, such as [0 h, 100 %]", "")
		}
		if len(points) > 0 && p.Hours <= points[len(points)-1].Hours {
			pair[0].Error("the hours of ageing do not rise", "each point must come after the one before", "")
		}
		points = append(points, p)
	}
	return points
}
