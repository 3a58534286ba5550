package planfile

import (
	"bytes"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/text/yamltree"
)

var meterKeys = []string{"in_water_factor", "uncertainty", "spectral"}

// meter reads one meter, or several by name.
func (r *reader) meter(v yamltree.Value) {
	var all []yamltree.Value
	if v.IsMap() {
		all = v.Entries("")
	}
	one := func(e yamltree.Value) bool { return !e.IsMap() || slices.Contains(meterKeys, e.Name()) }
	if len(all) == 0 || slices.ContainsFunc(all, one) {
		r.plan.Meters = []plan.Meter{r.oneMeter(v)}
	} else {
		var known names
		for _, e := range all {
			known.define(e, "a meter")
			m := r.oneMeter(e)
			m.Name = e.Name()
			r.plan.Meters = append(r.plan.Meters, m)
		}
	}
	r.plan.Meter = r.plan.Meters[0]
}

func (r *reader) oneMeter(v yamltree.Value) plan.Meter {
	f, ok := v.Fields(meterKeys...)
	m := plan.Meter{InWaterFactor: number(f.Get("in_water_factor")), Uncertainty: number(f.Get("uncertainty"))}
	if !ok {
		return m
	}
	m.Pos = pos(v.KeyPlace())
	m.FactorGiven = f.Has("in_water_factor")
	if !f.Has("spectral") {
		return m
	}
	r.files.table(f.Get("spectral"), func(data *bytes.Reader) error {
		nm, response, err := spectrum.ReadTable(data, "response")
		for i := range nm {
			m.Spectral = append(m.Spectral, [2]float64{nm[i], response[i]})
		}
		return err
	})
	return m
}
