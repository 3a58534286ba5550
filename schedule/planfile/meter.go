package planfile

import (
	"bytes"

	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
	"dayloom/schedule/quantity"
	"dayloom/schedule/source"
)

const defaultMeterUncertainty = 0.05 // common practice, no source

func (r *reader) meter(v source.Value) {
	m := &r.plan.Meter
	*m = plan.Meter{InWaterFactor: 1, Uncertainty: defaultMeterUncertainty}
	f, ok := v.Fields("in_water_factor", "uncertainty", "spectral")
	if !ok {
		return
	}
	m.Pos = pos(v.KeyPlace())
	m.InWaterFactor = numOr(f.Get("in_water_factor"), quantity.Plain, limits{1, 2, false, "from 1 to 2; leave it out when the meter has it built in"}, 1)
	m.Uncertainty = numOr(f.Get("uncertainty"), quantity.Share, someShare, defaultMeterUncertainty)
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
