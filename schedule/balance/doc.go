// Package balance finds the peaks, and the hours of switched channels, that a plan leaves
// to be found (auto) so that every coral gets its daily light, and proves how near it can be had.
//
// # The problem
//
//	E_i(t) = Σ_c F_ic k_c y_c(t)                  PPFD at place i, µmol m⁻² s⁻¹
//	DLI_i  = 10⁻⁶ Σ_c F_ic k_c ∫ y_c dt           mol m⁻² d⁻¹
//	y_c(t) = m_c(t) + P_c u_c(t)                  light fraction
//
// with F the PPFD at full output, k what age has left, u the curve at unit peak and m what
// is not to be found (moonlight, fixed entries). All is linear in the peaks P.
//
//	rank 1  never broken: P within its bounds and y_c(t) ≤ 1; E_i(t) ≤ ppfd_max at every coral and area point;
//	        Σ W_c y_c(t) ≤ power_max; Σ W_c y_c(t)/(V·pf) ≤ continuous·rating for every
//	        circuit, all at every moment
//	rank 2  every target within its tolerance: the least sum of e_i = max(0, |DLI_i − T_i|/T_i − within,
//	        (dli_min − DLI_i)/T_i, (DLI_i − dli_max)/T_i) over corals and area means, then the least greatest
//	        of them; then the same with a part of the tolerances (spend), which later ranks keep to
//	rank 3  the band shares of the PPFD of corals and area means, all channels at their peaks at once and without
//	        moonlight: what they lie outside their ranges, in parts of the light at full output, likewise
//	        and so the sides of the polygon in the circle of a colour that is wished for, 16 in u′, v′ at each place:
//	        linear, as u′ = 4X/(X + 15Y + 3Z) is bounded times its denominator; then, if a spectrum is wished for, the
//	        greatest departure of the photon shares in steps of 20 nm of 400-700 nm from its own, at any place
//	rank 4  the wish: even levels (least difference of the highest and lowest, then of all from their middle), least energy,
//	        least change (sum, then greatest), or closest, which is rank 5 in its place
//	rank 5  the departures |DLI_i/T_i − 1|: least greatest, then least sum
//	rank 6  least electrical energy of the day
//
// A lower rank only chooses among what the higher ones leave. Power is taken as proportional to light fraction, which is
// on the safe side for drivers whose efficiency falls when dimmed little and ignores
// their standby power. A channel without a power counts a hundredth of the least known power.
//
// # Two programmes a rank
//
// A sum of excesses is a linear programme with soft rows (package lp), one row a place and no variable more. By
// complementary slackness every answer as good keeps the places whose multiplier is short of 1 inside, the others at the edge or
// outside, and the sum of those, a linear function, where it is (Schrijver 1986, Theory of Linear and Integer Programming,
// section 7.9): so a rank leaves ranges and one row to the next, whatever the number of corals. The greatest excess
// is a second programme with one variable more. Rows that no answer has broken are left out, and taken in when one does; the
// multipliers of the few that matter prove the bound for all.
//
// A departure of photon shares is quasi-convex: for one number the rows are linear. Bisection closes in on it to 1e-6, each
// programme either finding levels or proving that there are none, within the hours and lit channels of the box.
//
// # Tanks
//
// Tanks share no light, so a plan of several falls into blocks: tanks joined by a port that drives lamps over both. Each
// is solved by itself, its levels and departures only among its own. A limit that blocks share (power_max, a circuit) is kept by
// each alone at first; where all keep it together at what was found, no answer that keeps it is better, and the bounds of the
// blocks add up to the bound of the whole. Where they do not, all is solved as one programme, whose evenness and greatest
// departure are then over all tanks.
//
// # Every moment
//
// The worst moment of a limit is found on the curves themselves. Between breaks a piece is at most its
// chord plus h²·max(−f″)/8 (h its part of the ramp), a sum's greatest value on a chord lies at
// an end, and intervals are halved until that bound is within 5·10⁻⁹ of a value attained
// (branch and bound). The moment becomes a row (Kelley 1960, J. SIAM 8, 703-712: cutting planes).
//
// # Hours, and what ports can show
//
// on or off: auto has hours h from at_least to its window, anywhere in it when both are auto. Dose is linear
// in h, but light is all or nothing. Boxes of hours and of their beginning are solved twice, lit for the longest hours at a
// chosen place (an answer) and only while the lamp is lit whatever is chosen (a bound), and halved until both agree to 10⁻⁴ of a
// target; off is a box of its own. A level below the least light of its port, and not zero, divides a box in
// lit and dark. After 400 boxes, or when the context ends, what is open is told in Certificate. Boxes are compared by ranks 2
// and 3; the later ranks are solved within the best.
//
// # Ports
//
// Channels on one port have one level, asked of the first. What the others give, and what a port that cannot be dark
// gives, is no straight line of it: package reach makes the day at levels tried, lines are laid through it and through the day
// at levels close by, and the search is repeated about what it found until the lines are right to 1e-7 of a dose (Newton's
// method; where a driver has a kink the lines go through the last two levels). Tolerances and limits are then aimed at from
// inside by 2e-5, and the certificate is of the lines. Where they never come right, levels are lowered until limits
// hold, and nothing is proved.
//
// # Proof and accuracy
//
// Each stage's Dual is the dual value of its programme with limits as given. What is settled keeps a room of 1e-7 of itself +
// 1e-8 to the next rank, without which rounding alone would decide those; tolerances and limits are aimed at from inside by 1e-7
// and 4e-8, so that verdicts never hang on rounding. Certificate states rank 2 for all boxes; the stages of later
// ranks are proved for the hours and lit channels of the answer, and for what those rooms leave.
//
// # Uncertainty
//
// With Options.Sure = q the limits on PPFD and dli_max hold, each by itself, with
// probability q: E + z·sd(E) ≤ limit, z the normal quantile and
//
//	sd² = Σ_c (F y)² own² + (Σ_c F y common)²      (JCGM 100:2008, 5.1.2, 5.2.2)
//
// sd is convex and of degree 1 in y, so its tangents are valid cuts, and nothing is approximated. dli_max is a limit of
// rank 1 then. Power and circuits have no uncertainty in a plan.
//
// # Left out
//
// Switching losses, warm-up, the driver's own curve (lowering knows it), and readings' correlation beyond the meter's.
package balance
