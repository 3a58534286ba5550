package maps

import (
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
)

// Place is the light of an ask at a coral.
type Place struct {
	Name    string
	Zone    int
	At      light.Place
	Full    []float64      // 400-700 nm at full output, by channel of the ask, µmol m⁻² s⁻¹
	Bands   [][]float64    // the same in each of Corals.Bands: [band][channel]
	Source  []light.Source // by channel
	Channel []float64      // in the band of the ask at its levels, by channel
	Total   float64        // sum of Channel
	SD      float64        // standard uncertainty of Total
}

// Zone is the spread of light in a zone: over its corals, or over its area.
type Zone struct {
	Name string
	Area bool
	Stats
}

// Corals is the light of an ask where the plan has corals and areas.
type Corals struct {
	Ask
	Bands  []spectrum.Band
	Places []Place
	Zones  []Zone
}

// AtCorals gathers the light of an ask from a surveyed field.
func AtCorals(p *plan.Plan, f light.Field, a Ask) (Corals, error) {
	out := Corals{Ask: a, Bands: f.Bands}
	var at []light.Place
	var in []int
	for i, c := range p.Corals {
		in = append(in, p.TankOf(i))
		at = append(at, light.Place{X: c.X, Y: c.Y, Depth: c.Depth})
	}
	values, err := a.of(f, f.Corals, in, at)
	if err != nil {
		return out, err
	}
	for i, c := range p.Corals {
		out.Places = append(out.Places, place(c, at[i], f, i, a, values[i]))
	}
	for z, zone := range p.Zones {
		if len(zone.Corals) > 0 {
			var totals []float64
			for _, i := range zone.Corals {
				totals = append(totals, out.Places[i].Total)
			}
			out.Zones = append(out.Zones, Zone{Name: zone.Name, Stats: Spread(totals)})
		}
		for _, area := range f.Areas {
			if area.Zone != z {
				continue
			}
			values, err := a.of(f, area.Cells, slices.Repeat([]int{zone.Tank}, len(area.Places)), area.Places)
			if err != nil {
				return out, err
			}
			var totals []float64
			for _, v := range values {
				totals = append(totals, sum(v))
			}
			out.Zones = append(out.Zones, Zone{Name: zone.Name, Area: true, Stats: Spread(totals)})
		}
	}
	return out, nil
}

func place(c plan.Coral, at light.Place, f light.Field, i int, a Ask, values []float64) Place {
	pl := Place{Name: c.Name, Zone: c.Zone, At: at, Channel: values, Total: sum(values), Bands: make([][]float64, len(f.Bands))}
	amounts := make([]float64, len(f.Corals[i]))
	for k, ch := range a.Channels {
		amounts[ch] = values[k]
	}
	pl.SD = light.Deviation(f.Corals[i], amounts)
	for _, ch := range a.Channels {
		cell := f.Corals[i][ch]
		pl.Full = append(pl.Full, cell.PPFD)
		pl.Source = append(pl.Source, cell.Source)
		for k := range f.Bands {
			pl.Bands[k] = append(pl.Bands[k], cell.Bands[k])
		}
	}
	return pl
}

// of is the light at places, each in a tank, in the band of the ask at its levels: [place][channel].
func (a Ask) of(f light.Field, cells [][]light.Cell, tanks []int, at []light.Place) ([][]float64, error) {
	band := slices.Index(f.Bands, a.Band)
	if band < 0 {
		var err error
		if cells, err = f.Among(tanks, at, []spectrum.Band{a.Band}); err != nil {
			return nil, err
		}
		band = 0
	}
	out := make([][]float64, len(at))
	for i := range at {
		for k, ch := range a.Channels {
			out[i] = append(out[i], cells[i][ch].Bands[band]*a.Levels[k])
		}
	}
	return out, nil
}

func sum(values []float64) (s float64) {
	for _, v := range values {
		s += v
	}
	return s
}

// Stats is the spread of light over some places, µmol m⁻² s⁻¹.
type Stats struct{ Min, P10, Mean, P90, Max float64 }

// Spread works out the stats of at least one value.
func Spread(values []float64) Stats {
	return Stats{
		Min: slices.Min(values), Max: slices.Max(values), Mean: sum(values) / float64(len(values)),
		P10: light.Percentile(values, 0.1), P90: light.Percentile(values, 0.9),
	}
}
