package planfile

import (
	"fmt"
	"regexp"
	"strconv"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/diag"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) circuits(v yamltree.Value) {
	var known names
	on := map[int]diag.Place{}
	for _, item := range v.Entries("write circuits such as left: {channels: [bar-blue], rating: 10 A, supply: 230 V}") {
		known.define(item, "a circuit")
		f, ok := item.Fields()
		if !ok {
			continue
		}
		list := f.Need("channels")
		c := plan.Circuit{
			Name: item.Name(), Pos: pos(item.KeyPlace()),
			Channels:    r.channels.findAll(list, "channel"),
			RatingA:     number(f.Need("rating")),
			SupplyV:     number(f.Need("supply")),
			Continuous:  number(f.Get("continuous")),
			PowerFactor: number(f.Get("power_factor")),
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

var price = regexp.MustCompile(`^([0-9]+(?:\.[0-9]+)?) ?([A-Za-z]{1,8}|[€£$¥])/kWh$`)

// tariff reads a price such as 0.25 EUR/kWh.
func (r *reader) tariff(v yamltree.Value) {
	const allowed = "write a price and a currency, such as 0.25 EUR/kWh"
	if !v.Given() {
		return
	}
	text, ok := v.Text(allowed)
	m := price.FindStringSubmatch(text)
	if m == nil {
		if ok {
			v.Error(fmt.Sprintf("%q is not a price", text), allowed, "")
		}
		return
	}
	per, err := strconv.ParseFloat(m[1], 64)
	if err != nil || per > 1e6 {
		v.Error(fmt.Sprintf("%q is not a price", text), "at most 1000000 for a kWh", "")
		return
	}
	r.plan.Tariff = plan.Tariff{PerKWh: per, Currency: m[2]}
}
