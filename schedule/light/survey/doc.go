// Package survey says where to measure next: at which spots to hold the sensor, and with
// which channels lit, so that so many readings tell most of what the corals get.
//
// What is to be known is ln DLI at every coral and over every area. To first order it is
// Σ_c (share of channel c in the DLI) · ln E_c, and its variance after a set of readings
// does not depend on what they will show (package fit), so the best set can be found
// before any is taken: the I-optimal design of package gauss, by greed and exchanges, the
// readings there already being known. Exchanges stop where no single one helps; that need
// not be the best set there is.
//
// Candidates are each channel alone, and all together where power and circuits allow it,
// at full output (which is above any cut-in), at every coral and on a grid over the water,
// as far as the sensor reaches; the grid has 250 spots at most, and fewer where lamps of
// many metres or many images in the walls make each a long sum.
// Both errors of a reading count, the constant one as of a meter that shows whole
// numbers. A spot where something is read already is taken before one that would tell up
// to a tenth more, so that the sensor moves little.
package survey
