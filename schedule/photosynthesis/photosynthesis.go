// Package photosynthesis tells what a day's light is worth to a coral: an indication, and
// no promise.
//
// A coral's photosynthesis rises with light and then levels off:
//
//	P / Pmax = tanh(E / Ek)                Jassby and Platt 1976, Limnol. Oceanogr. 21, 540
//
// E is the PPFD and Ek the irradiance at which the first, straight rise would meet the
// ceiling; there the curve is at 76 %. Light above Ek adds little. So two days of equal
// DLI can differ much: 200 for 12 h at an Ek of 200 is worth 9.1 h at the ceiling, 600 for
// 4 h is worth 4.0 h.
//
//	production = ∫ tanh(E/Ek) dt           s at the ceiling
//	above      = ∫ (E − Ek) dt where E > Ek, as part of the DLI
//
// E is the sum of the channels' curves at the coral. Time and light above Ek are exact but
// for the moments of crossing, which are found to milliseconds; production is a quadrature
// with a proven bound of 0.05 ms (curve.Integrate).
//
// # Where Ek comes from
//
// [Genera] lists means of three reef genera, measured on shallow reefs; the source fitted
// another curve with the same first rise and ceiling, so its Ik is Ek. Single colonies ran
// from [LeastColony] to [MostColony]: for a colony that was not measured, Ek is a guess
// within a factor of about two either way, and lower for corals from the shade.
//
// # Left out
//
// Respiration, photoinhibition, the colour of the light, and that Ek follows the light
// within weeks.
package photosynthesis

import (
	"fmt"
	"math"

	"dayloom/schedule/curve"
)

// MinEk and MaxEk are what is taken for a saturation irradiance, µmol m⁻² s⁻¹.
const MinEk, MaxEk = 5, 3000

// Day is what one day's light is worth at one place.
type Day struct {
	AboveS      float64 // time with a PPFD above Ek, s
	AboveDLI    float64 // light that falls above Ek, mol m⁻² d⁻¹
	DLI         float64 // all light, mol m⁻² d⁻¹
	ProductionS float64 // ∫ tanh(E/Ek) dt, s at the ceiling
}

// AboveShare is the share of the DLI that falls above Ek, 0..1; 0 on a dark day.
func (d Day) AboveShare() float64 {
	if !(d.DLI > 0) {
		return 0
	}
	return d.AboveDLI / d.DLI
}

// Of works out a day: the curves of the channels, the PPFD of each at full output at the
// place (µmol m⁻² s⁻¹, 0 or more), and the saturation irradiance of the coral there.
func Of(channels []curve.Curve, full []float64, ek float64) (Day, error) {
	if !(ek >= MinEk && ek <= MaxEk) {
		return Day{}, fmt.Errorf("%g µmol/m²/s is not a valid saturation irradiance; use a value from %d to %d, such as 250", ek, MinEk, MaxEk)
	}
	var d Day
	for i, c := range channels {
		d.DLI += full[i] * c.Dose() * 1e-6
	}
	var beyond float64
	d.AboveS, beyond = curve.Above(channels, full, ek)
	d.AboveDLI = beyond * 1e-6
	d.ProductionS = curve.Integrate(channels, full, ek*math.Pi/4, func(e float64) float64 { return math.Tanh(e / ek) })
	return d, nil
}
