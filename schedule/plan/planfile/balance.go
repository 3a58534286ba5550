package planfile

import (
	"fmt"
	"math"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) balance(v yamltree.Value) {
	b := &r.plan.Balance
	b.PowerMaxW, b.Spend = math.Inf(1), plan.HalfSpent
	f, ok := v.Fields()
	if !ok {
		return
	}
	b.Pos = pos(v.KeyPlace())
	b.Prefer = plan.Prefer(word(f.Get("prefer"), "even", "least power", "least change", "closest"))
	b.Spend = number(f.Get("spend"))
	if b.Prefer == plan.LeastPower && !f.Has("spend") {
		f.Get("prefer").Warn("least power now uses half of each tolerance: corals may stand up to that far below their target",
			"that is so for every wish but closest", "write spend: 50 % to say that it is meant, or spend: 0 % to stay at the targets")
	}
	b.PowerMaxW = numberOr(f.Get("power_max"), math.Inf(1))
	if f.Has("power_max") {
		for _, c := range r.plan.Channels {
			if c.PowerW == 0 {
				f.Get("power_max").Warn(fmt.Sprintf("the channel %q has no power and counts as 0 W", c.Name), "give it power: such as power: 190 W", "")
			}
		}
	}
	b.Colour, b.Spectrum = r.colourWish(f.Get("colour")), r.spectrumWish(f.Get("spectrum"))
	for _, item := range f.Get("shares").Items("write a list such as [{band: [400 nm, 480 nm], at_least: 50 %}]") {
		if f, ok := item.Fields(); ok {
			b.Shares = append(b.Shares, bandShare(item, f))
		}
	}
}

func bandShare(v yamltree.Value, f yamltree.Fields) plan.BandShare {
	at := f.Need("band")
	k, l, _ := measure(at)
	band := span(at, k, l)
	s := plan.BandShare{
		Band:    spectrum.Band{Lo: band[0], Hi: band[1]},
		AtLeast: number(f.Get("at_least")),
		AtMost:  number(f.Get("at_most")),
		Pos:     pos(v.Place()),
	}
	switch {
	case !f.Has("at_least") && !f.Has("at_most"):
		v.Error("the band has no bound", "give at_least, at_most or both", "")
	case s.AtLeast > s.AtMost:
		f.Get("at_least").Conflict("at_least is above at_most", "at_least ≤ at_most", f.Get("at_most").Place(), "at_most is here")
	}
	return s
}
