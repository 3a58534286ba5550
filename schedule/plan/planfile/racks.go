package planfile

import (
	"fmt"
	"math"
	"slices"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

// onRacks notes the channels that hang on a rack: the places of their emitters are counted from it.
func (r *reader) onRacks(v yamltree.Value) {
	r.racked = map[string]bool{}
	if !v.IsMap() {
		return
	}
	for _, rack := range v.Entries("") {
		if list := rack.Child("channels"); list.IsList() {
			for _, c := range list.Items("") {
				if name, ok := c.Text(""); ok {
					r.racked[name] = true
				}
			}
		}
	}
}

// height is how high an emitter is: above the water, or above its rack.
func (r *reader) height(v yamltree.Value) float64 {
	k, l := r.heights(v)
	return num(v, k, l)
}

func (r *reader) heights(v yamltree.Value) (quantity.Kind, limits) {
	k, l, _ := measure(v)
	if r.hung {
		l = limits{-100, 100, false, "from -100 m to 100 m, counted from the rack"}
	}
	return k, l
}

// racks reads the frames that lamps hang on, and puts the lamps where these are.
func (r *reader) racks(v yamltree.Value) {
	if !v.Given() {
		return
	}
	var known names
	hangs := map[int]string{}
	for _, item := range v.Entries("write racks such as main: {channels: [bar-blue], at: [0 cm, 0 cm], height: 25 cm}") {
		known.define(item, "a rack")
		f, ok := item.Fields()
		if !ok {
			continue
		}
		k := plan.Rack{Name: item.Name(), Channels: r.channels.findAll(f.Need("channels"), "channel"), Pos: pos(item.KeyPlace())}
		for _, c := range k.Channels {
			first := k.Channels[0]
			if a, b := r.plan.Channels[c].Tank, r.plan.Channels[first].Tank; a >= 0 && b >= 0 && a != b {
				f.Get("channels").Error(fmt.Sprintf("the rack %q holds channels of two tanks: %q lights %s and %q lights %s", k.Name,
					r.channels.list[first], r.plan.TankAt(r.plan.Channels[first].Tank).Name, r.channels.list[c], r.plan.TankAt(r.plan.Channels[c].Tank).Name),
					"a rack hangs over one tank", "make a rack for each tank")
				break
			}
			if c >= 0 && hangs[c] != "" {
				f.Get("channels").Error(fmt.Sprintf("the channel %q hangs on the rack %q already", r.channels.list[c], hangs[c]), "a channel hangs on one rack", "")
			}
			hangs[c] = item.Name()
		}
		by := [3]float64{0, 0, number(f.Need("height"))}
		if at := f.Get("at"); at.Given() {
			p := pair(at)
			by[0], by[1] = p[0], p[1]
		}
		k.Slide, k.Along = slide(f.Get("slide"), by)
		r.plan.Racks = append(r.plan.Racks, k)
		if r.errors() == 0 {
			hung := r.plan.Moved(len(r.plan.Racks)-1, by)
			hung.AsRead = nil
			*r.plan = *hung
			r.aboveWater(f.Get("height"), k)
		}
	}
}

// rackMove reads where a rack hangs for a while on one date.
func (r *reader) rackMove(v yamltree.Value) {
	f, ok := v.Fields("rack", "on", "x", "y", "height", "from", "to", "name")
	if !ok {
		return
	}
	m := plan.RackMove{On: r.date(f.Need("on")), From: clockTime(f.Need("from", `"14:00"`)), To: clockTime(f.Need("to", `"15:30"`)), Pos: pos(v.Place())}
	m.Name, _ = f.Get("name").Text("write a name such as service")
	name, _ := f.Get("rack").Text("write the name of a rack")
	m.Rack = slices.IndexFunc(r.plan.Racks, func(k plan.Rack) bool { return k.Name == name })
	if m.To <= m.From {
		f.Get("to").Error("the rack is back before it is moved", "to must be later than from, on the same day", "")
	}
	if m.Rack < 0 {
		f.Get("rack").Error(fmt.Sprintf("no rack is called %q", name), "the name of one of racks", "")
		return
	}
	to := [3]float64{number(f.Get("x")), number(f.Get("y")), number(f.Get("height"))}
	moved, why, axis := r.plan.Parked(m, to)
	switch {
	case why == "":
		r.plan.RackMoves = append(r.plan.RackMoves, moved)
	case axis < 0:
		v.Error(why, "", "")
	default:
		f.Get([]string{"x", "y", "height"}[axis]).Error(why, "", "")
	}
}

func slide(v yamltree.Value, at [3]float64) (ends *[2]float64, along int) {
	f, ok := v.Fields()
	if !ok {
		return nil, 0
	}
	along = word(f.Get("along"), "x", "y")
	ends = &[2]float64{number(f.Need("from")), number(f.Need("to"))}
	if ends[1] < ends[0] {
		f.Get("to").Error("the rack's slide ends before it begins", "to must not be less than from", "")
	}
	if at[along] < ends[0]-1e-9 || at[along] > ends[1]+1e-9 {
		v.Error("the rack hangs outside its slide", "at must lie between from and to", "")
	}
	return ends, along
}

// aboveWater reports a rack that holds a lamp in the water.
func (r *reader) aboveWater(v yamltree.Value, k plan.Rack) {
	for _, c := range k.Channels {
		for _, e := range r.plan.Channels[c].Emitters {
			if math.Min(e.Height, e.Height+e.Rise) <= 0 {
				v.Error(fmt.Sprintf("at this height a lamp of %q hangs in the water", r.plan.Channels[c].Name), "rack and lamp together must be above the water", "")
				return
			}
		}
	}
}
