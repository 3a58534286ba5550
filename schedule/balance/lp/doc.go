// Package lp solves small dense linear programmes and proves the answer.
//
// # The problem
//
// Least (or greatest) c·x subject to l ≤ x ≤ u and, for each row i, lo_i ≤ a_i·x ≤ hi_i, with any
// of the limits missing. A soft row may be broken at a price for each unit. It is meant for up to some 200 variables and any
// number of rows up to many thousands: the work of a pivot grows with variables × rows, that of a factorisation with the cube
// of the variables.
//
// # The method
//
// A vertex x is fixed by n active constraints out of the m + n: B x = v, where the rows of B are gradients
// of rows or unit vectors of bounds. The same B gives the multipliers of the cost in force, Σ y_k B_k: the given cost and the
// gradients of all excess there is. Only the inverse of this n×n matrix is kept, so thousands of rows cost no more than one
// multiplication with them in a pivot.
//
// The primal simplex method (Dantzig 1951) lets go the constraint whose edge falls most steeply (Goldfarb & Reid, Math.
// Programming 12 (1977) 361-371) and goes along it over soft limits while the cost still falls beyond them (Bartels, Conn &
// Sinclair 1978, SIAM J. Numer. Anal. 15, 224-241), with Bland's rule (1977) when it makes no way. A feasible vertex
// is found by the same method with every hard limit soft and no other cost; where some excess is left, its multipliers are Farkas'.
//
// The ratio test is that of Harris (1973). Rows and columns are scaled by powers of two (Curtis & Reid
// 1972), which rounds nothing and makes units indifferent; the inverse is made afresh every 40 pivots and at the end, with one step
// of iterative refinement.
//
// # The proof
//
// Nothing in the answer rests on the scaled numbers or the inverse: an optimum is reported only if X and the
// multipliers, put into the caller's own numbers, agree to 1e-7 (strong duality; Chvátal 1983, Linear Programming,
// ch. 5), infeasibility only with multipliers that prove it (Farkas' lemma), an unbounded cost only
// with a direction that shows it. Whatever can't be proved is Stalled, with the best point known.
//
// # Left out
//
// Sparsity, presolving and integers. A row without coefficients for most variables costs as much as a full one.
// Limits count as kept within 1e-9 of 1 + their (scaled) size; contradictions smaller than that are not seen.
package lp
