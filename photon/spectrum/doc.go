// Package spectrum holds what colour a lamp's light has, and what follows from
// it: how many photons a joule or a lumen carries, and how they are spread over
// bands of wavelength.
//
// # Quantities
//
//	λ        wavelength, nm (in air; the difference from vacuum, 0.03 %, is left out)
//	p(λ)     relative spectral power, W/nm up to a constant factor
//	q(λ)     relative photon density, µmol s⁻¹ nm⁻¹ = p(λ) λ / 119.6265656
//	V(λ)     CIE 1924 photopic luminous efficiency
//
// A photon of wavelength λ carries h c / λ, so a micromole of photons carries
// N_A h c / λ = 119.6265656 / λ joules (λ in nm). h, c and N_A are exact since
// the SI of 2019 (BIPM, SI Brochure, 9th edition, 2019).
//
// # What a spectrum is
//
// A [Spectrum] is a table of spectral power with straight lines between its
// rows and nothing outside them. Its integrals of power, photons, lumens and
// wavelength are those of the straight lines, exact to rounding: each is a
// polynomial of third degree at most between neighbouring rows, for which
// Simpson's rule is exact. Spectra are relative: only ratios leave the package.
//
//   - [ReadCSV], [FromTable]: measured power against wavelength.
//   - [Peak]: power is a Gaussian of wavelength, the usual model of one LED
//     colour, given by its peak and its full width at half maximum (FWHM = 2.3548 σ).
//     It is tabled every σ/40 (at most 1 nm) to 6.5 σ on either side, which
//     leaves out less than 1e-9 of it and places a band's share within 2e-5.
//   - [Peaks]: a sum of such; the shares are shares of the photons, not of the
//     power, and of all photons, whatever their wavelength.
//   - [Flat]: as many photons at each wavelength; it serves when nothing is known.
//
// # Lumens
//
// Luminous flux is 683.002 lm/W ∫ p V dλ: 683 lm/W is exact at 540 THz, and
// 683.002 at the peak of V (CIE 018). V is tabled every 5 nm. Lumens count from
// 380 to 780 nm while the photons that they are set against are those of
// 400-700 nm, [PAR], the waveband of McCree (1972, Agricultural Meteorology 9, 191).
//
// # Left out
//
// Noise and bandwidth of the spectrometer, changes of colour with dimming, age
// and temperature, and weighting by the action of the pigments.
package spectrum
