// Package balanced answers package acclimate's `by: balance` with package balance:
// on each step, levels that dim the newcomer's corner and leave the others as near
// their own targets as can be.
//
// # What is free
//
// Free are, on the way, the daylight of every channel that can be dimmed and the hours
// of every switched channel, as a share of what the usual day of the date has, whether
// the plan leaves them auto or not:
//
//	least ≤ P_c/P_c,usual ≤ most
//	least = (1+s)^(−k)      k the steps still to come, s the plan's step_max
//	most  = min(1, (1+s)·share of the step before)
//
// No channel gives more than on the usual day, none rises by more than s in a step,
// and all can be back at the usual day with the last one. A coral's light is a sum over
// channels, so its DLI, peak PPFD and violet dose keep to the limit too, everybody's,
// whatever the levels; without these bounds the solver is free to take one colour away
// whole and to bring it back in one step. The steps still to come are found from the
// share of its usual light that the newcomer is to have, since acclimation steps are
// even: k = ln(1/share) / ln q, q the ratio of its steps.
//
// A channel whose entries have different peaks stays as it is, as one number does not
// say them.
//
// # What is asked
//
// The newcomer's target is that of the day, and its DLI never more than that or than
// the step limit allows, whatever it costs the others. All others have their zone's target. What freedom tolerances
// leave goes to the least change from the usual day.
//
// How well it works depends on the lamps: where one channel lights both the newcomer
// and its neighbours, all that light goes. The note of each step says who is furthest
// off.
package balanced
