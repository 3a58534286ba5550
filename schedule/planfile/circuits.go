package planfile

import (
	"fmt"

	"dayloom/schedule/diag"
	"dayloom/schedule/plan"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

const defaultContinuous = 0.80 // of a circuit's rating for continuous load; common practice, the local code decides

func (r *reader) circuits(v source.Value) {
	var known names
	on := map[int]diag.Place{}
	for _, item := range v.Entries("write circuits such as left: {channels: [bar-blue], rating: 10 A, supply: 230 V}") {
		known.define(item, "a circuit")
		f, ok := item.Fields("channels", "rating", "supply", "continuous", "power_factor")
		if !ok {
			continue
		}
		list := f.Need("channels", "[bar-blue]")
		c := plan.Circuit{
			Name: item.Name(), Pos: pos(item.KeyPlace()),
			Channels:    r.channels.findAll(list, "channel"),
			RatingA:     num(f.Need("rating", "10 A"), quantity.Amps, limits{0, 1000, true, "more than 0 A and at most 1000 A"}),
			SupplyV:     num(f.Need("supply", "230 V"), quantity.Volts, limits{0, 1000, true, "more than 0 V and at most 1000 V"}),
			Continuous:  numOr(f.Get("continuous"), quantity.Share, someShare, defaultContinuous),
			PowerFactor: numOr(f.Get("power_factor"), quantity.Plain, limits{0, 1, true, "more than 0 and at most 1"}, 1),
		}
		for _, i := range c.Channels {
			name := r.channels.list[i]
			if r.plan.Channels[i].PowerW == 0 {
				list.Conflict(fmt.Sprintf("the channel %q has no power, so the load is not known", name), "give it power: such as power: 190 W", r.channels.at[i], "the channel is here")
			}
			if other, ok := on[i]; ok {
				list.Conflict(fmt.Sprintf("the channel %q is on another circuit", name), "a channel hangs on one circuit", other, "the other is here")
			}
			on[i] = list.Place()
		}
		r.plan.Circuits = append(r.plan.Circuits, c)
	}
}
