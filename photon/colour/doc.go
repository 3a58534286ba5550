// Package colour tells how light looks: its chromaticity, its colour temperature
// where it has one, how true it shows colours, and a swatch for a screen.
//
// # Light
//
// A [Light] is photons at 81 wavelengths, 380 to 780 nm every 5 nm, and adds like
// light: a mix is the weighted sum of its channels. [OfPhotons] puts photons of other
// wavelengths on the two nearest of these by straight-line weights, so that a sum over
// the 81 equals the integral of anything that is straight between them. Photons of
// wavelength λ nm carry 119.63/λ J/µmol, which turns them into power P.
//
// The CIE's own figures are plain sums of a table's rows ([OfPower]). A lamp whose table
// is taken as straight lines between its rows ([Of]) differs a little: over 43
// illuminants of the CIE by at most 0.0006 in u′, v′, 0.9 in Ra and 0.7 in Rf (a sodium
// lamp), and by 0.00035, 0.3 and 0.3 over fluorescent lamps and white LEDs.
//
// # Chromaticity
//
//	X = Σ P x̄, Y = Σ P ȳ, Z = Σ P z̄     CIE 1931 2° observer, CIE 015:2018
//	x = X/(X+Y+Z), y = Y/(X+Y+Z);  u′ = 4X/(X+15Y+3Z), v′ = 9Y/(X+15Y+3Z)
//
// With photons in µmol m⁻² s⁻¹, 683 Y is lux. X, Y and Z are linear in the light too:
// for a day of one mix, work out [Light.XYZ] of each channel once and add those.
//
// # Colour temperature
//
// [Chromaticity.Temperature] is the point of the Planckian locus nearest in CIE 1960
// u, v (v = 2/3 v′), and Duv the distance from it, above the locus (greener) positive.
// The locus has c2 = 1.4388e-2 m K. It is tabled at every reciprocal megakelvin from
// 1000 K to infinite heat with a parabola between, which a test holds to 0.005 mired of
// the exact locus. Beyond |Duv| 0.05 there is no colour temperature (CIE 15), nor below
// 1000 K, nor above 100 000 K, where a number tells nothing any more: the error says in
// words where the light lies.
//
// # Colour rendering, Ra
//
// [Light.Rendering] follows CIE 13.3-1995: samples 1-14 under the light and under a
// reference of the same colour temperature (Planckian below 5000 K, daylight from
// there on), von Kries adaptation in u, v, colour differences in CIE 1964 U*V*W*,
// R = 100 − 4.6 ΔE, Ra the mean of R1-R8. Both sides of 5000 K differ by up to 0.4.
// The method holds while light and reference differ by less than 5.4e-3 in u, v
// (CIE 13.3; the figure is from memory); beyond it [Rendering.Valid] is false.
//
// # Colour fidelity, Rf
//
// [Light.Fidelity] follows CIE 224:2017: 99 samples, the 10° observer of 1964, a
// reference that goes from Planckian at 4000 K to daylight at 5000 K, differences in
// CAM02-UCS (adapting luminance 100 cd/m², background 20 %, full adaptation),
// Rf = 10 ln(exp((100 − 6.73 ΔE)/10) + 1). It is far more work than a
// chromaticity: for single moments.
//
// Ra and Rf exist up to 25 000 K, where the CIE's daylight ends.
//
// # Swatch
//
// [XYZ.Swatch] is sRGB (IEC 61966-2-1) at full brightness, white being D65. Light
// outside the triangle of sRGB, such as all narrow blue and violet, gets as much
// white as brings it to the triangle's edge: its dominant wavelength stays. The swatch
// tells.
//
// # Left out
//
// Adaptation of the eye (a swatch shows warm light as orange), fluorescence of the
// corals themselves, and the light of a room. Everything is for people who look, and
// nothing for what the light does to a coral.
//
// The CIE's tables are embedded from data/, under their own licence: see data/NOTICE.
package colour
