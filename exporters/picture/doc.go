// Package picture draws the light on a plane or a section of the tank, and its course
// over the dates, as PNG or SVG, with gonum/plot.
//
// Bands of equal light are filled, their edges drawn and labelled, over them the
// outlines of the lamps and the corals with their names and light. Both axes have
// one scale and are in cm; a plane is seen from above with the front glass at the
// bottom, a section from the front or from the left with the surface at height 0
// and the lamps above it.
//
// Contours are found by marching squares on the light at grid nodes, straight
// between nodes; where a cell could be read two ways the mean of its corners
// decides. Labels are put where nothing else stands yet: a coral's name next to its
// mark, if need be with a pointer; a contour's number where the line is straightest.
// A name for which no room is left is not drawn, and the picture says so.
//
// The colours are our own: a straight line in CIE L*a*b*, see [Shade].
//
// # Courses
//
// A Course is the DLI of every coral against the date, a panel for each zone with what
// counts as its target shaded and its limits dotted. A day has one DLI, so lines are
// stairs. Names stand at the ends of their lines, pushed apart by least squares where
// lines end together (isotonic regression); steps are told above, where there is room.
// Colours are those of Okabe & Ito (2008), some darkened to be read as text, and dashes
// tell lines apart without them.
//
// # Days
//
// A Daylight is one day at each coral in the light's own colours: the area under the PPFD
// curve is filled with the swatch of each moment (colour.XYZ.Swatch), darker towards its foot, and each
// hour has a bead of it on the curve. Swatches are at full brightness, so height alone tells how strong the light is, and
// every curve has its own height. The page is dark as deep water is: on white, blue light looks
// grey.
//
// The same map, course or day gives the same bytes.
package picture
