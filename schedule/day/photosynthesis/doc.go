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
// Help on the key ek tells means of three reef genera, measured on shallow reefs; the source fitted
// another curve with the same first rise and ceiling, so its Ik is Ek. Single colonies ran
// from 169 to 956 µmol m⁻² s⁻¹: for a colony that was not measured, Ek is a guess
// within a factor of about two either way, and lower for corals from the shade.
//
// # Left out
//
// Respiration, photoinhibition, the colour of the light, and that Ek follows the light
// within weeks.
package photosynthesis
