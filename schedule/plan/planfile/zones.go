package planfile

import (
	"fmt"
	"math"

	"dayloom/schedule/plan"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) readZones(v yamltree.Value) {
	entries := v.Entries("write zones such as shelf: {dli: 14, corals: {…}}")
	if r.corals.quiet = len(entries) == 0; v.IsMap() && len(entries) == 0 {
		v.Error("zones is empty", "a plan needs at least one zone", "")
	}
	for _, z := range entries {
		r.zones.define(z, "a zone")
		r.zone(z, v)
	}
}

func (r *reader) zone(v, group yamltree.Value) {
	f, ok := v.Fields()
	if !ok {
		return
	}
	if f.Has("corals") {
		f = like(f, v, group, "zone", likeZone)
	} else {
		f = like(f, v, group, "zone", append([]string{"area"}, likeZone...))
	}
	z := plan.Zone{
		Name: v.Name(), Pos: pos(v.KeyPlace()),
		DLI:     number(f.Need("dli")),
		DLIMin:  numberOr(f.Get("dli_min"), 0),
		DLIMax:  numberOr(f.Get("dli_max"), math.Inf(1)),
		Within:  number(f.Get("within")),
		PPFDMax: numberOr(f.Get("ppfd_max"), math.Inf(1)),
		Ek:      numberOr(f.Get("ek"), 0),
	}
	z.Tank = r.tankOf(v, f.Get("tank"), "zone")
	r.here = z.Tank
	if z.DLIMin > z.DLI {
		f.Get("dli_min").Conflict("dli_min is above the target", "dli_min ≤ dli ≤ dli_max", f.Get("dli").Place(), "the target is here")
	}
	if z.DLI > z.DLIMax {
		f.Get("dli_max").Conflict("dli_max is below the target", "dli_min ≤ dli ≤ dli_max", f.Get("dli").Place(), "the target is here")
	}
	if least := z.DLI * 1e6 / 86400; least > z.PPFDMax {
		f.Get("ppfd_max").Warn(fmt.Sprintf("a DLI of %g cannot be had under ppfd_max", z.DLI),
			fmt.Sprintf("even light all day long needs %.0f µmol m⁻² s⁻¹", least), "")
	}
	if !f.Has("corals") && !f.Has("area") {
		v.KeyError(fmt.Sprintf("the zone %q has no place", v.Name()), "a zone needs corals, or an area, or both", "")
	}
	for _, c := range f.Get("corals").Entries("write corals such as staghorn-a: {x: 40 cm, y: 30 cm, depth: 12 cm}") {
		z.Corals = append(z.Corals, len(r.plan.Corals))
		r.corals.define(c, "a coral")
		r.plan.Corals = append(r.plan.Corals, r.coral(c, len(r.plan.Zones), z.Ek))
	}
	if f.Get("corals").IsMap() && len(z.Corals) == 0 {
		f.Get("corals").Error("corals is empty", "name at least one coral, or leave the key out", "")
	}
	z.Area = r.area(f.Get("area"))
	r.plan.Zones = append(r.plan.Zones, z)
}

func (r *reader) coral(v yamltree.Value, zone int, ek float64) plan.Coral {
	c := plan.Coral{Name: v.Name(), Zone: zone, Ek: ek, Pos: pos(v.KeyPlace())}
	if f, ok := v.Fields(); ok {
		at := r.inWater(f)
		c.X, c.Y, c.Depth = at[0], at[1], at[2]
		c.Ek = numberOr(f.Get("ek"), ek)
	}
	return c
}

// inWater reads x, y and depth of a place in the tank.
func (r *reader) inWater(f yamltree.Fields) (at [3]float64) {
	for i, axis := range axes {
		at[i] = num(f.Need(axis.key, axis.example), quantity.Length, r.within(i))
	}
	return at
}

var axes = [3]struct{ key, example, size string }{
	{"x", "40 cm", "long"}, {"y", "30 cm", "wide"}, {"depth", "12 cm", "deep"},
}

// within bounds one coordinate of a place in the tank; without a size, which was
// reported, only the sign is checked.
func (r *reader) within(axis int) limits {
	t := r.plan.TankAt(r.here)
	b := t.Box
	size := [3]float64{b.Length, b.Width, b.Depth}[axis]
	if !(size > 0) {
		return limits{0, 100, false, "0 or more"}
	}
	return limits{0, size + 1e-9, false, fmt.Sprintf("from 0 cm to %s: the tank%s is %s %s", cm(size), spaced(t.Name), cm(size), axes[axis].size)}
}

// spaced is a name after a word, or nothing.
func spaced(name string) string {
	if name == "" {
		return ""
	}
	return " " + name
}

func (r *reader) area(v yamltree.Value) *plan.Area {
	f, ok := v.Fields()
	if !ok {
		return nil
	}
	return &plan.Area{
		X:     span(f.Need("x"), quantity.Length, r.within(0)),
		Y:     span(f.Need("y"), quantity.Length, r.within(1)),
		Depth: num(f.Need("depth"), quantity.Length, r.within(2)),
		Pos:   pos(v.KeyPlace()),
	}
}
