// Package light says how much light each channel gives at full output at each
// coral and over each area of a plan, where the number comes from and how sure it is.
//
// Two sources exist. A reading of the channel lit alone at that very place,
// corrected for the meter and divided by the light fraction it was lit at, wins.
// Otherwise the light model works it out from the emitters, the water and the
// walls. A place that has neither is an error that names the channel: no number
// is made up.
//
// Uncertainty (JCGM 100:2008, first order), all relative: a modelled value has two
// parts, each the same error at all places: 20 % common to all channels (height, water,
// glass) and 15 % of the channel alone, unless the plan says otherwise, so that one lamp
// split into several channels is hardly any surer; a reading has the meter's,
// common to all readings of all channels, and the scatter of repeated readings.
//
// Bands beside 400-700 nm follow the same geometry. Where a reading replaced the
// model its bands are scaled by reading/model, or by the spectrum alone when the
// channel has no emitters.
//
// An area is sampled at the middles of a grid that is halved until neither the
// mean nor the 10th and 90th percentile of any channel moves by more than 0.5 %
// of the mean.
package light
