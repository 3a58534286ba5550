package planfile

import (
	"bytes"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/source"
)

func (r *reader) meter(v source.Value) {
	m := &r.plan.Meter
	f, ok := v.Fields()
	*m = plan.Meter{InWaterFactor: number(f.Get("in_water_factor")), Uncertainty: number(f.Get("uncertainty"))}
	if !ok {
		return
	}
	m.Pos = pos(v.KeyPlace())
	if !f.Has("spectral") {
		return
	}
	r.files.table(f.Get("spectral"), func(data *bytes.Reader) error {
		nm, response, err := spectrum.ReadTable(data, "response")
		for i := range nm {
			m.Spectral = append(m.Spectral, [2]float64{nm[i], response[i]})
		}
		return err
	})
}
