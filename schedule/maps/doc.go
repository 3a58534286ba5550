// Package maps maps the light of a plan: at its corals and areas, over a plane, a
// section or the whole volume of the tank, and in its zones while one number of
// the plan is swept.
//
// What is mapped is an [Ask]: some channels, each at a light fraction, in one band
// of wavelengths. Everywhere the numbers are those of package light, the model as the
// readings correct it, so that a coral and the grid under it say the same.
//
// A grid has its places in the middle of equal cells no wider than the spacing
// asked for, half a cell from every wall, from the surface and from the floor, so
// that the mean over the places is the mean over the tank. A picture is drawn from
// nodes instead, which reach from wall to wall.
//
// A grid lies in one tank: of a plan of several it is made from the plan.Part and the field
// of it. The light at corals is told of all.
//
// All lamps are new: ageing belongs to a date, and a map has none.
//
// Percentiles are straight between order statistics (light.Percentile).
package maps
