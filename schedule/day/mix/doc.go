// Package mix tells the colour of the light where corals stand: the sum of the channels'
// spectra, each after the water on its own way (light.Spectra) and as strong as dli says.
//
// A Place holds each channel's light at full output; Under is the light at some levels.
// Everything but colour temperature, rendering and the swatch is linear in the levels,
// so a day's colours are sums of tristimulus values, worked out once for each channel.
//
// # Drift
//
// A day's colour is not one colour: channels rise and fall apart, and lamps fade apart.
// Drift is the greatest distance in u′, v′ from noon's light, that is the light when PPFD
// is greatest. Over a day it is looked for every minute and at the ends of ramps while
// PPFD is at least a hundredth of its greatest, which is what counts as lit elsewhere:
// so the first blue glow counts, the moon's does not. Over the lamps' age the levels
// are noon's, and only what is left of each channel changes.
//
// # Left out
//
// Light of the room, what the coral itself reflects and glows, and ripples.
package mix
