// Package leximin solves linear goals in strict order of rank, and proves each rank.
//
// Given are variables x within finite bounds, limits a·x ≤ h that must hold, and goals
//
//	rank 1  the limits and bounds
//	rank 2  departures g_i(x) = |a_i·x + c_i − T_i| / U_i as small as can be, leximin:
//	        first the greatest, then the next greatest, and so on
//	rank 3  ratios (p·x + p0)/(q·x + q0) within [lo, hi] as nearly as can be
//	rank 4  least c·x, or least Σ|x − from|
//
// A lower rank only chooses among what the higher ones leave.
//
// # Limits
//
// There may be infinitely many limits (one for each moment of a day), or curved convex
// ones. Problem.Limits names some that an x breaks; they are taken in and x is found again, until
// none is broken: cutting planes (Kelley 1960, J. SIAM 8, 703-712). Every cut holds for all x
// allowed, so a bound proved with few of them is a bound for the whole problem.
//
// # Rank 2
//
// The greatest of the departures not yet settled is a Chebyshev approximation, which is a linear
// programme: least d with −d ≤ (a·x + c − T)/U ≤ d. An inequality with a multiplier other than zero is
// tight in every optimum (complementary slackness), so its departure cannot be made smaller:
// it is settled at d and the others go on. Each programme settles one departure at least
// (Ogryczak & Śliwiński 2006, On direct methods for lexicographic min-max optimization, ICCSA,
// LNCS 3982, 802-811).
//
// # Rank 3
//
// v is the greatest amount by which a ratio lies outside its range. Dinkelbach's method for several
// ratios (Crouzeix, Ferland & Schaible 1985, J. Optim. Theory Appl. 47, 35-49): with v fixed, the
// least w such that every range widened by v holds to w·(its denominator at the last x); w = 0 proves v,
// otherwise the new x gives a smaller v.
//
// # Proof and accuracy
//
// Each stage's bound is the dual value of its programme on the numbers as given (package lp checks
// them too); Gap is the greatest excess of a departure over what its stage proves. The first level is
// proved against the limits as they are. Settled departures and ratios are held to 1e-7 of themselves
// + 1e-8, and limits to Cut.Room; without that, rounding alone would decide the lower ranks. What
// lower stages prove holds for what these rooms leave, which curved limits can widen to some 1e-4 of x.
//
// A stage after the first that float64 cannot solve, because what is settled leaves no room to speak of,
// leaves x where it is and proves nothing: its bound is zero, and Gap says so.
package leximin
