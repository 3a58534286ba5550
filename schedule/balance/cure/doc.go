// Package cure finds what would cure a plan whose targets cannot all be met.
//
// The multipliers of a balance (package balance) say which limits, full channels and targets stand in
// the way, and so what is worth trying; nothing that has no price can help at the first order. Each
// remedy is then really tried: the plan is changed and balanced again, and only what meets every target
// is told, with the smallest amount, found by bisection and rounded up to
// a number that can be written into a plan. More flux or a wider limit never makes a balance worse,
// so bisection is exact for them; for minutes and places the trial alone counts.
//
//	flux       more light from full channels, one or all of them, with power in proportion
//	limit      ppfd_max, dli_max, power_max or a circuit's rating
//	minutes    a later sunset, its length kept: the day gets longer at full light
//	place      another place for one coral, the nearest on a coarse grid of the tank
//	tolerance  the zones' `within`, wide enough for what can be had
//
// When no single change of the first three is enough, pairs of them are tried. Light at other places comes from
// the model, scaled by reading/model of the coral's own place where it was read: readings of
// a coral that moves do not move with it, and the text says so. Without emitters no place can be tried.
package cure
