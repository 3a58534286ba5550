package mix

import (
	"dayloom/photon/colour"
	"dayloom/schedule/day"
	"dayloom/schedule/shape/curve"
)

// Peaks are the levels of all channels at the peaks of their daylight, moonlight left out.
// Here and below age is what is left of each channel's new flux (nil: all of it).
func Peaks(d day.Day, age []float64) []float64 {
	return levels(d, age, func(c day.Channel) float64 { return c.Daylight })
}

// Levels are the levels at a moment, s after midnight.
func Levels(d day.Day, age []float64, t float64) []float64 {
	return levels(d, age, at(t))
}

func levels(d day.Day, age []float64, of func(day.Channel) float64) []float64 {
	out := make([]float64, len(d.Channels))
	for i, c := range d.Channels {
		out[i] = of(c) * left(age, i)
	}
	return out
}

func left(age []float64, channel int) float64 {
	if age == nil {
		return 1
	}
	return age[channel]
}

// Moment is the light at a place at a time of day.
type Moment struct {
	T    float64 // s after midnight
	PPFD float64 // µmol m⁻² s⁻¹
	XYZ  colour.XYZ
}

// Course is the light of a day every so many seconds from midnight on, 86400 included.
func (p Place) Course(d day.Day, age []float64, every float64) []Moment {
	var out []Moment
	for t := 0.0; t < curve.Day; t += every {
		out = append(out, p.moment(t, p.levels(d, age, at(t))))
	}
	last := out[0]
	last.T = curve.Day
	return append(out, last)
}

func (p Place) moment(t float64, levels []float64) Moment {
	m := Moment{T: t}
	for i, c := range p.All() {
		m.PPFD += levels[i] * c.PPFD
		m.XYZ = m.XYZ.Plus(levels[i], c.XYZ)
	}
	return m
}

// Drift is how far, in u′, v′, the colour comes from noon's, and when.
type Drift struct {
	Distance float64
	T        float64 // s after midnight
	NoonT    float64 // when PPFD is greatest, s after midnight
}

// The looks of a drift: step, s, and the share of the greatest PPFD that counts as lit.
const (
	look     = 60
	litShare = 0.01
)

// Noon is the moment at which the place has its greatest PPFD; ok is false where it is dark all day.
func (p Place) Noon(d day.Day, age []float64) (t float64, ok bool) {
	full := make([]float64, len(d.Channels))
	for i, c := range p.All() {
		full[i] = c.PPFD * left(age, i)
	}
	ppfd, t := curve.Peak(d.Curves(), full)
	return t, ppfd > 0
}

// OverDay is the drift through the day; ok is false where the day is dark.
func (p Place) OverDay(d day.Day, age []float64) (Drift, bool) {
	noonT, ok := p.Noon(d, age)
	noon := p.moment(noonT, Levels(d, age, noonT))
	white, coloured := noon.XYZ.Chromaticity()
	if !ok || !coloured {
		return Drift{}, false
	}
	out := Drift{T: noonT, NoonT: noonT}
	check := func(m Moment) {
		xy, ok := m.XYZ.Chromaticity()
		if !ok || m.PPFD < litShare*noon.PPFD {
			return
		}
		if away := xy.Distance(white); away > out.Distance {
			out.Distance, out.T = away, m.T
		}
	}
	for _, m := range p.Course(d, age, look) {
		check(m)
	}
	for i, c := range p.All() {
		if c.PPFD > 0 {
			for _, t := range d.Channels[i].Curve.Breaks() {
				check(p.moment(t, p.levels(d, age, before(t)))) // at a switch-off the lamp is still lit
				check(p.moment(t, p.levels(d, age, at(t))))
			}
		}
	}
	return out, true
}

// at and before are a channel's level at a moment and just before it.
func at(t float64) func(day.Channel) float64 {
	return func(c day.Channel) float64 { return c.Curve.At(t) }
}

func before(t float64) func(day.Channel) float64 {
	return func(c day.Channel) float64 { return c.Curve.Before(t) }
}

// levels are those of the place's own channels, among all of the plan.
func (p Place) levels(d day.Day, age []float64, of func(day.Channel) float64) []float64 {
	out := make([]float64, len(d.Channels))
	for i := range p.All() {
		out[i] = of(d.Channels[i]) * left(age, i)
	}
	return out
}

// OverAge is how far noon's colour moves, in u′, v′, when what is left of the channels
// goes from one age to another and the levels stay.
func (p Place) OverAge(d day.Day, from, to []float64) float64 {
	t, ok := p.Noon(d, from)
	a, okA := p.moment(t, p.levels(d, from, at(t))).XYZ.Chromaticity()
	b, okB := p.moment(t, p.levels(d, to, at(t))).XYZ.Chromaticity()
	if !ok || !okA || !okB {
		return 0
	}
	return a.Distance(b)
}

// OverLevels is the drift, in u′, v′, of a day that is known by the levels of the channels at its moments, from the light
// at the moment with the greatest PPFD; ok is false where all are dark.
func (p Place) OverLevels(moments [][]float64, age []float64) (distance float64, ok bool) {
	var list []Moment
	noon := Moment{}
	for _, levels := range moments {
		m := Moment{}
		for i, c := range p.All() {
			share := levels[i] * left(age, i)
			m.PPFD += share * c.PPFD
			m.XYZ = m.XYZ.Plus(share, c.XYZ)
		}
		if list = append(list, m); m.PPFD > noon.PPFD {
			noon = m
		}
	}
	white, ok := noon.XYZ.Chromaticity()
	for _, m := range list {
		if xy, lit := m.XYZ.Chromaticity(); ok && lit && m.PPFD >= litShare*noon.PPFD {
			distance = max(distance, xy.Distance(white))
		}
	}
	return distance, ok
}
