// Package water holds the optics of clear water: what it absorbs and how it
// bends light. What its surface lets through is in package ray.
//
// # Absorption
//
// Light that goes a path ℓ (m) through water of absorption coefficient a(λ)
// (1/m) keeps the share e^(−aℓ) at each wavelength (Beer and Lambert). For a
// lamp's photons in a band it keeps
//
//	A(ℓ) = ∫ q(λ) e^(−a(λ) ℓ) dλ / ∫ q(λ) dλ
//
// with q the photon density of its spectrum: [Transmission]. This is no
// exponential of ℓ, since the colours that water takes go first.
//
// Pure water, [Pure]: Pope and Fry (1997, Applied Optics 36, 8710) from 380 to
// 720 nm, then Smith and Baker (1981, Applied Optics 20, 177) from 730 to 800
// nm, straight lines between rows. Below 380 nm the value of 380 nm is held
// (0.0114 per m, an upper bound: later work finds less), above 800 nm that of
// 800 nm. Pope and Fry state a few per cent; other tables differ by 10 to 17 %
// at 730-750 nm and are a third lower about 400 nm, where the loss is small.
//
// Dissolved organic matter, which yellows water, adds a440 e^(−0.014 (λ − 440 nm))
// (Bricaud, Morel and Prieur 1981, Limnology and Oceanography 26, 43; slope
// 0.014 per nm): [Absorption.WithOrganics].
//
// # How Transmission is evaluated
//
// The integral over λ becomes a sum over some hundred wavelengths (two-point
// Gauss-Legendre between the rows of both tables). Since A depends on them
// through a alone, the sum is a set of weights along a, and a Gauss rule of 20
// nodes for those weights (Golub and Welsch 1969, Mathematics of Computation
// 23, 221) replaces it; it keeps the first 40 moments. For sunlight of 400-700
// nm in pure water it agrees with the long sum to 1e-8 over paths up to 150 m,
// far beyond any tank. All weights are positive, so A never leaves 0..1 and
// never rises.
//
// # Refraction
//
// Index of sea water relative to air, λ in nm, S in g/kg, T in °C (Quan and Fry
// 1995, Applied Optics 34, 3477; 400-700 nm, S 0-35, T 0-30; stated to 1.5e-5):
//
//	n = 1.31405 + (1.779e-4 − 1.05e-6 T + 1.6e-8 T²) S − 2.02e-6 T²
//	    + (15.868 + 0.01155 S − 0.00423 T)/λ − 4382/λ² + 1.1455e6/λ³
//
// # Left out
//
// Scattering (0.8 % of the light per m at 400 nm to 0.1 % at 700 nm, Morel 1974),
// particles and algae, waves and ripples, polarisation, change of absorption
// with temperature and salt.
package water
