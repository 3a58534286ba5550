// Package light answers one question: how much light does each channel give at full
// output at a place in the water, and how sure is that? Corals, areas, grids,
// pictures, remedies and acclimation by place all ask it, and none rescales on its own.
//
// The answer is the model times what the readings say of it:
//
//	E_c(x) = F_c(x) · exp(mean of the fit at x)
//
// F is the light model (package tank) from the emitters, the water and the walls; the
// fit (package fit, which states it whole) learns from readings.csv the gain of each
// channel, the bias of each meter and smooth fields over the tank. Without readings it
// is the model; at a reading, nearly the reading; between, in between. A channel
// without emitters has no F and is interpolated between its readings; one that has
// neither emitters nor readings is an error that names it: no number is made up.
//
// Readings are corrected for the meter (package meter) and for what age had left of the
// lamps on their date; a reading without a date is taken of new lamps. F at a reading is that of
// the racks as it says they hung, not of where the calendar parks them on its date: a reading
// has no time of day. Gains and
// fields belong to the plan as it is written, so they carry over when a coral moves.
//
// Bands beside 400-700 nm follow the same geometry and the same factor, or the
// spectrum alone where a channel has no emitters.
//
// Of a plan of several tanks each is learnt and worked out by itself, as the plan of it alone
// would be (plan.Part), so that no reading of one says anything of another. Field.Corals and
// Areas have all channels all the same, dark where they hang over another tank. A place alone
// does not say where it is: At, Grid and the others are asked of Field.In, or by tank of
// Field.Among; asked of the field itself they fail.
//
// Uncertainty is that of ln E, first order (JCGM 100:2008). All channels at a place
// have errors in common, the meter's above all; their covariance is kept as one common
// error and one of each channel's own: the common parts are the one-factor fit of it
// (minimum residuals, Harman and Jones 1966), weighed by the light of each channel and
// scaled so that the variance of all of them at full output together is exact.
//
// An area is sampled at the middles of a grid that is halved until neither the
// mean nor the 10th and 90th percentile of any channel moves by more than 0.5 %
// of the mean. On grids the fit is worked out on a lattice of an eighth of the fields'
// length and straight between.
package light
