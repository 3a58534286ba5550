package picture

import (
	"fmt"

	"dayloom/photon/colour"
	"dayloom/schedule/day"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// Daylight is the colour of one day's light at several corals.
type Daylight struct {
	Title, Subtitle string
	Rows            []DayRow
	Pale            bool // some light is more saturated than a screen can show
}

// DayRow is the light of the day at one coral.
type DayRow struct {
	Name     string
	Moments  []mix.Moment // every 5 min, 0 to 86400 s
	Noon     colour.Swatch
	Peak     float64 // greatest PPFD, µmol m⁻² s⁻¹
	PeakAt   float64 // s after midnight
	NoonText string  // what its colour is called
}

// slice is the time from one colour to the next, s.
const slice = 300

// NewDaylight works out the colours of a day at places; age is what is left of each channel.
func NewDaylight(p *plan.Plan, d day.Day, age []float64, places []mix.Place) Daylight {
	out := Daylight{Title: p.Name, Subtitle: fmt.Sprintf("the light of %s in its own colours, hour by hour", d.Date)}
	for _, pl := range places {
		r := DayRow{Name: pl.Name, Moments: pl.Course(d, age, slice), NoonText: "dark all day"}
		if t, ok := pl.Noon(d, age); ok {
			s := pl.Under(mix.Levels(d, age, t))
			r.Noon, r.Peak, r.PeakAt = s.Swatch, s.PPFD, t
			r.NoonText = s.NoTemperature
			if s.Temperature != nil {
				r.NoonText = fmt.Sprintf("%.0f K, Duv %+.3f", s.Temperature.K, s.Temperature.Duv)
			}
		}
		for _, m := range r.Moments {
			out.Pale = out.Pale || m.PPFD > 0 && !m.XYZ.Swatch().InGamut
		}
		out.Rows = append(out.Rows, r)
	}
	return out
}

// at is the moment of a row at s after midnight, straight between moments.
func (r DayRow) at(t float64) mix.Moment {
	at := t / curve.Day * float64(len(r.Moments)-1)
	i := min(int(at), len(r.Moments)-2)
	a, b, share := r.Moments[i], r.Moments[i+1], at-float64(i)
	return mix.Moment{T: t, PPFD: a.PPFD + share*(b.PPFD-a.PPFD),
		XYZ: colour.XYZ{}.Plus(1-share, a.XYZ).Plus(share, b.XYZ)}
}
