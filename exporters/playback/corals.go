package playback

import (
	"math"
	"slices"

	"dayloom/photon/spectrum"
	"dayloom/schedule/calendar/acclimate"
	"dayloom/schedule/light"
	"dayloom/schedule/plan"
	"dayloom/schedule/plan/clock"
	"dayloom/schedule/shape/curve"
)

// What may differ and still counts as kept, relative to what was asked.
const (
	Allowed     = 0.01 // of a coral's DLI, and of its greatest PPFD over a limit
	AllowedBand = 0.02 // of the dose of a band
	AllowedMoon = 0.10 // of moonlight
)

// Coral is what one coral was to get and what it gets.
type Coral struct {
	Name                     string
	Zone                     int
	AskedDLI, DeliveredDLI   float64       // mol m⁻² d⁻¹
	AskedPeak, DeliveredPeak float64       // µmol m⁻² s⁻¹
	Band                     spectrum.Band // the band whose dose is furthest off, by BandOff of what was asked
	BandOff                  float64
	AskedMoon, DeliveredMoon float64 // mol m⁻² d⁻¹ of moonlight
	Violet                   float64 // delivered in 380-430 nm, mol m⁻² d⁻¹; NaN: the field does not know
	OverLimit                bool    // brighter than ppfd_max by more than Allowed, and brighter than asked
}

// Departure is the delivered DLI less the asked, relative to the asked.
func (c Coral) Departure() float64 { return relative(c.DeliveredDLI, c.AskedDLI) }

func relative(got, asked float64) float64 {
	if asked == 0 {
		return got // nothing asked: any light is a departure
	}
	return got/asked - 1
}

// measure is what a rise of it is judged by.
func (c Coral) measure() acclimate.Measure {
	return acclimate.Measure{DLI: c.DeliveredDLI, Peak: c.DeliveredPeak, Violet: c.Violet}
}

// nothing is a dose, mol m⁻² d⁻¹, that is told from none by rounding alone.
const nothing = 1e-12

// Off, BandIsOff and MoonIsOff say in what the coral does not get what was asked.
func (c Coral) Off() bool {
	return math.Abs(c.DeliveredDLI-c.AskedDLI) > Allowed*c.AskedDLI+nothing
}

// BandIsOff is that of the dose of any band.
func (c Coral) BandIsOff() bool { return math.Abs(c.BandOff) > AllowedBand }

// MoonIsOff is that of moonlight.
func (c Coral) MoonIsOff() bool {
	return math.Abs(c.DeliveredMoon-c.AskedMoon) > AllowedMoon*c.AskedMoon+nothing
}

// Kept reports whether the coral gets what was asked and no more than its limit.
func (c Coral) Kept() bool { return !c.Off() && !c.BandIsOff() && !c.MoonIsOff() && !c.OverLimit }

// coral is what one coral gets over the day: moments are the light of every channel where
// it may be greatest.
func (pl player) coral(p *plan.Plan, c plan.Coral, a Asked, i int, got []channelPlay, spans [][2]float64, moments [][]float64) Coral {
	out := Coral{Name: c.Name, Zone: c.Zone, Violet: math.NaN()}
	cells := a.Field.Corals[i]
	full, delivered := light.Full(cells, a.Age), make([]float64, len(cells))
	n := len(got)
	passes := clock.Of(p.Clock).Stretches(a.Day.Date) // the seconds of the day that pass on its date
	moonAsked, moon := make([]float64, len(cells)), make([]float64, len(cells))
	for k := range cells {
		delivered[k] += got[k%n].dose
		if k >= n { // while a rack hangs elsewhere, and not where the plan has it
			delivered[k] = pl.between(got[k%n], spans[k/n-1][0], spans[k/n-1][1])
			delivered[k%n] -= delivered[k]
		}
		for _, s := range passes {
			moonAsked[k] += a.Day.Channels[k].Moon.Integral(s[0], s[1])
		}
		for _, piece := range a.Day.Channels[k].Moon.Pieces() {
			moon[k] += pl.between(got[k%n], piece.From, piece.To)
		}
	}
	doses := a.Day.Doses()
	out.AskedDLI, out.DeliveredDLI = light.DLI(full, doses), light.DLI(full, delivered)
	out.AskedMoon, out.DeliveredMoon = light.DLI(full, moonAsked), light.DLI(full, moon)
	for b, band := range a.Field.Bands {
		in := light.InBand(cells, b, a.Age)
		asked, gets := light.DLI(in, doses), light.DLI(in, delivered)
		if band == light.Violet {
			out.Violet = gets
		}
		if off := relative(gets, asked); math.Abs(gets-asked) > nothing && math.Abs(off) > math.Abs(out.BandOff) {
			out.Band, out.BandOff = band, off
		}
	}
	out.AskedPeak, _ = curve.Peak(a.Day.Curves(), full)
	for _, m := range moments {
		sum := 0.0
		for k, y := range m {
			sum += full[k] * y
		}
		out.DeliveredPeak = max(out.DeliveredPeak, sum)
	}
	limit := max(p.Zones[c.Zone].PPFDMax, out.AskedPeak) // what the plan itself breaks is not the timetable's doing
	out.OverLimit = out.DeliveredPeak > limit*(1+Allowed)
	return out
}

func anyCoral(cs []Coral, is func(Coral) bool) bool { return slices.ContainsFunc(cs, is) }
