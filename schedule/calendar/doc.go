// Package calendar says, for any date, how that day departs from the usual one
// and how much of its flux each channel has left.
//
// # Layers
//
// A date's day is a sum of layers. Each is a pure function from a date to a [Change] whose zero value
// is nothing, and they add in this order:
//
//	season         the lit day follows the sun's
//	age            what lamps have left of their flux; new ones are held back by steps
//	rules          one calendar rule, the most particular
//	racks          a rack that hangs elsewhere for a while: the light of its lamps, not the day played
//	steps          acclimations that change the lamps        (package acclimate, from here on)
//	places         corals that stand, or shine, other than the plan has it
//	outage         the way back after the tank was dark
//
// Shares multiply, stretches of the lit day add, a named day replaces the entries of the usual one,
// moves and notes are listed. What one layer needs of another it is given as a value: the age counts
// hours by season and rules, new lamps are told the spans in which light rises for another cause.
//
// # Which rule wins
//
// On a date exactly one calendar rule applies, the most particular one:
//
//	one-off date  >  day pattern within a date range  >  date range  >  day pattern
//
// and among rules of the same kind the one further down in the plan. Scale and
// named day come from the winner alone, nothing is multiplied. Every rule that
// fits the date is listed with why it won or lost, and check names those that give way
// on dates on which their place in the plan, or being a mere pattern, decides (Yields).
//
// A dip of a few days is not followed by steps up: a coral keeps its tolerance for
// longer than that. A range of seven days and more from whose end the light would rise
// by more than 15 % is a warning.
//
// # Season
//
//	stretch(date) = share · (D(φ, date) − mean of D over that calendar year)
//
// with D the time for which the sun's upper limb is above a sea horizon at the
// latitude φ (package sky). The lit day grows by the stretch, half at either end.
//
// # Ageing
//
// The hours that a channel has run are added up from the schedule, day by day:
// the time its daylight burns at any level, from the day it was installed or last
// relamped. Its share of new flux is read from the plan's table by straight lines
// and held beyond either end. A channel without an installed date stands still at
// the hours the plan gives until it is relamped; a note says so.
//
// Left out: moonlight does not count as running (a few per cent of current wear
// little), nor are shorter hours of an acclimation or of new lamps that are held back
// taken off. Dirt and heat are not modelled.
//
// # Relamping
//
// On the relamp day the flux jumps from share k₀ to k₁ of new. The channel's scale
// drops to r = k₀/k₁ times what it was, so that it gives what it gave, and returns
// to 1 in n = ⌈ln(1/r) / ln(1+step)⌉ even ratio steps, the first on that very day,
// one a week. A coral's light is a sum over channels of which one rises by at most
// 1+step, so no coral's DLI rises by more, whatever share that channel has in it.
// Lamps that cannot be dimmed have their hours shortened instead: DLI and violet
// dose then keep to the step, their peak PPFD jumps, and a note says so.
// While the light is being raised for another cause (Book.Rising) the scale stands.
//
// One step a week is common practice, no source; the default of 15 % a step is
// argued from bleaching after sudden rises in package acclimate.
package calendar
