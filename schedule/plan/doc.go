// Package plan holds the types of a plan of format 1 after it was read: units
// resolved to SI (and nm, µmol, degrees of latitude), names resolved to indexes,
// defaults filled in, everything checked. The package planfile makes them; later
// stages read them and never change them.
//
// Lists keep the order of the file, and an index points into the list that its
// comment names. Times of day are seconds after midnight on the day's own clock.
// What a plan leaves out is the zero value where zero means nothing, and otherwise
// said at the field (an unlimited maximum is +Inf).
//
// A plan may hold several tanks. Channels, zones and readings then say theirs, and light of
// one comes to no other, so whoever works on light takes the plan of one tank: its Part,
// which is a plan like any other, and Kept says where its things stand in the whole.
package plan
