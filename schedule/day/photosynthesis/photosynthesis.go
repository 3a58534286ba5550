package photosynthesis

import (
	"fmt"
	"math"

	"dayloom/schedule/shape/curve"
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
