package planfile

import (
	"fmt"
	"math"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

func (r *reader) balance(v source.Value) {
	b := &r.plan.Balance
	b.PowerMaxW = math.Inf(1)
	f, ok := v.Fields("shares", "power_max", "prefer")
	if !ok {
		return
	}
	b.Pos = pos(v.KeyPlace())
	b.LeastChange = word(f.Get("prefer"), "least power", "least change") == 1
	b.PowerMaxW = numOr(f.Get("power_max"), quantity.Power, aPower, math.Inf(1))
	if f.Has("power_max") {
		for _, c := range r.plan.Channels {
			if c.PowerW == 0 {
				f.Get("power_max").Warn(fmt.Sprintf("the channel %q has no power and counts as 0 W", c.Name), "give it power: such as power: 190 W", "")
			}
		}
	}
	for _, item := range f.Get("shares").Items("write a list such as [{band: [400 nm, 480 nm], at_least: 50 %}]") {
		if f, ok := item.Fields("band", "at_least", "at_most"); ok {
			b.Shares = append(b.Shares, bandShare(item, f))
		}
	}
}

func bandShare(v source.Value, f source.Fields) plan.BandShare {
	band := span(f.Need("band", "[400 nm, 480 nm]"), quantity.Wavelength, limits{380, 750, false, "from 380 nm to 750 nm"})
	s := plan.BandShare{
		Band:    spectrum.Band{Lo: band[0], Hi: band[1]},
		AtLeast: numOr(f.Get("at_least"), quantity.Share, anyShare, 0),
		AtMost:  numOr(f.Get("at_most"), quantity.Share, anyShare, 1),
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
