// Package gauss conditions jointly normal quantities on what was seen of some of
// them, and plans which of them to look at next.
//
// # Conditioning
//
// Let z be n observations with mean 0 and covariance S (noise included), and f a
// quantity of variance v that has covariance k with them. Then (Rasmussen and
// Williams 2006, Gaussian Processes for Machine Learning, eq. 2.25, 2.26, 2.30)
//
//	mean of f       k' S⁻¹ z
//	variance of f   v − k' S⁻¹ k
//	ln p(z)         −½ z' S⁻¹ z − ½ ln det S − (n/2) ln 2π
//
// all by one Cholesky factor S = LL'. Leaving one observation out needs no new
// factor (eq. 5.12): with a = S⁻¹z and B = S⁻¹ the rest expects z[i] − a[i]/B[i,i]
// of it, with variance 1/B[i,i].
//
// A mean that is not known is a constant of very large prior variance added to S
// and k; its limit is ordinary kriging.
//
// # The covariance over space
//
// Matern32 is (1 + √3 r/ℓ) e^(−√3 r/ℓ): a field that is smooth once (eq. 4.17).
//
// # Design
//
// A [Design] picks readings one at a time, each the one that lowers the sum of the
// targets' variances most, and then exchanges each for a better one until none is
// found. With the prediction over a region as targets this is the I-optimal
// design, with the parameters themselves the A-optimal; ByDeterminant asks for the
// D-optimal instead (Atkinson, Donev and Tobias 2007). Exchange stops where no
// single exchange helps, which need not be the best design there is.
package gauss
