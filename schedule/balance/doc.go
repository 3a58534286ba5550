// Package balance finds the peaks, and the hours of switched channels, that a plan leaves
// to be found (auto) so that every coral gets its daily light, and proves that nothing better exists.
//
// # The problem
//
//	E_i(t) = Σ_c F_ic k_c y_c(t)                  PPFD at place i, µmol m⁻² s⁻¹
//	DLI_i  = 10⁻⁶ Σ_c F_ic k_c ∫ y_c dt           mol m⁻² d⁻¹
//	y_c(t) = m_c(t) + P_c u_c(t)                  light fraction
//
// with F the PPFD at full output, k what age has left, u the curve at unit peak and m what
// is not to be found (moonlight, fixed entries). All is linear in the peaks P, so the ranks
// of package leximin apply:
//
//	rank 1  never broken: 0 ≤ P ≤ 1 and y_c(t) ≤ 1; E_i(t) ≤ ppfd_max at every coral and area point;
//	        Σ W_c y_c(t) ≤ power_max; Σ W_c y_c(t)/(V·pf) ≤ continuous·rating for every
//	        circuit, all at every moment; DLI_i ≤ dli_max
//	rank 2  the relative departures |DLI_i − T_i|/T_i of corals and area means, leximin
//	rank 3  the band shares of the PPFD of corals and area means, all channels at their peaks
//	        at once and without moonlight, inside their ranges as nearly as can be
//	rank 4  least electrical energy of the day, or least sum of changes of the peaks
//
// A tolerance (within) only decides whether a target is met: rank 2 goes on inside it, and the spectrum
// gets what freedom exact targets leave. dli_min is no limit of rank 1; falling
// below it counts as not met. Power is taken as proportional to light fraction, which is
// on the safe side for drivers whose efficiency falls when dimmed little and ignores
// their standby power. A channel without a power counts a hundredth of the least known power in rank 4.
//
// # Every moment
//
// The worst moment of a limit is found on the curves themselves. Between breaks a piece is at most its
// chord plus h²·max(−f″)/8 (h its part of the ramp), a sum's greatest value on a chord lies at
// an end, and intervals are halved until that bound is within 5·10⁻⁹ of a value attained
// (branch and bound). The moment becomes a cut for package leximin.
//
// # Switched channels
//
// on or off: auto has hours h from at_least to its window, centred in it when both are auto. Dose is linear
// in h, but light is all or nothing: limits see the lamp lit during all the hours h may
// have. Boxes of hours are solved twice, lit for the longest (an answer) and for the shortest
// hours (a bound), and halved until both agree (branch and bound); off is a box of its own. Where many lengths of
// the hours are worth the same, halving is given up after 400 boxes, and Certificate.Gap tells what is open.
//
// # Uncertainty
//
// With Options.Sure = q the limits on PPFD and dli_max hold, each by itself, with
// probability q: E + z·sd(E) ≤ limit, z the normal quantile and
//
//	sd² = Σ_c (F y)² own² + (Σ_c F y common)²      (JCGM 100:2008, 5.1.2, 5.2.2)
//
// sd is convex and of degree 1 in y, so its tangents are valid cuts, and nothing is approximated.
// Power and circuits have no uncertainty in a plan.
//
// # Left out
//
// Switching losses, warm-up, the driver's own curve (lowering knows it), and readings' correlation beyond the meter's.
package balance
