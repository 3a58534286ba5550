package mix

import (
	"dayloom/photon/colour"
	"dayloom/schedule/day"
	"dayloom/schedule/plan"
)

// Dated is the day of one date, with the places as they are then.
type Dated struct {
	Date   plan.Date
	Day    day.Day
	Age    []float64 // what is left of each channel; nil: all
	Places []Place
}

// Drifts are the farthest, in u′, v′, that colours come over several dates.
type Drifts struct {
	Day  Farthest    // over a day's ramps, from that day's noon
	Noon Farthest    // noon's from that of the first date: by the lamps' age, steps and moves
	Left []plan.Date // on which racks hang elsewhere for part of the day, in which nobody looked
}

// Farthest is a distance with where and when it was.
type Farthest struct {
	Distance float64
	Place    string
	Date     plan.Date
	T        float64 // s after midnight
}

// Watch looks at the colours of dates in their order; every date has the same places.
func Watch(dates []Dated) (out Drifts) {
	first := map[int]colour.Chromaticity{} // only looked up, never walked
	for _, d := range dates {
		for i, pl := range d.Places {
			v, ok := pl.OverDay(d.Day, d.Age)
			if !ok {
				continue
			}
			out.Day = out.Day.or(Farthest{v.Distance, pl.Name, d.Date, v.T})
			noon, _ := pl.moment(v.NoonT, Levels(d.Day, d.Age, v.NoonT)).XYZ.Chromaticity()
			from, known := first[i]
			if !known {
				first[i], from = noon, noon
			}
			out.Noon = out.Noon.or(Farthest{noon.Distance(from), pl.Name, d.Date, v.NoonT})
		}
	}
	return out
}

// or is the farther of two, the first of equal ones.
func (f Farthest) or(g Farthest) Farthest {
	if g.Distance > f.Distance || f.Place == "" {
		return g
	}
	return f
}
