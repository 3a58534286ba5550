// Package balanced answers package acclimate's `by: balance` with package balance:
// on each step, levels that dim the newcomer's corner and leave the others as near
// their own targets as can be.
//
// # What is free
//
// On the way no channel gives more than on the usual day. Free are the daylight peak
// of every channel that can be dimmed, from nothing to the usual one, and the hours
// of every switched channel, from none to the usual ones:
//
//	0 ≤ P_c ≤ P_c,usual        0 ≤ h_c ≤ h_c,usual
//
// whether the plan leaves them auto or not. A channel whose entries have different
// peaks stays as it is: one number does not say them. So nobody's light rises above
// the usual day's, and what rises from step to step is checked by package acclimate.
//
// # What is asked
//
// The newcomer's target is that of the day, and its DLI never more than the step
// limit allows, which is a limit that balance keeps whatever it costs the others. All
// others have their zone's target. Among equally good answers the one with the least
// change from the usual day is taken.
//
// How well it works depends on the lamps: where one channel lights both the newcomer
// and its neighbours, all that light goes. The note says who is furthest off.
package balanced
