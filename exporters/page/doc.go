// Package page is the report: one HTML file about one date of a plan, to be kept, printed
// or sent.
//
// It works nothing out by itself. Tables are those of package report, cell by cell (newTable,
// cellOf), so that a number on the page is the number that the command prints; drawings are
// of what dli, map, compile, drill, colour and acclimate use: contours and lamps from
// picture.Layout, curves from the day, light played from the timetable, DLI by date from
// picture.Course. Only positions and paths are computed here.
//
// # Drawings
//
// A drawing is an SVG without a view box. In it lies one with a view box, stretched to the room
// there is, for all that is filled or follows a curve; marks, lamps and words lie over it at
// percentages. So letters and lines keep their size from a phone to a wide screen and on
// paper, and nothing needs a script. The light's own colours are those of mix and
// colour.XYZ.Swatch, drawn on deep water, as in picture.Daylight; on paper the ground is
// white and shapes have outlines.
//
// [Tank] is a plane or a section, [Stack] a day channel upon channel, [Output] a port,
// [Year] the DLI by date, [Grid] faults against corals, [Looks] colours. Each writes itself;
// [Styles] sets them all.
//
// # Reading without colour
//
// Verdicts have a sign and a word, faults a sign beside the figure, layers a number, corals a
// letter. Every drawing has a title and a description, and a table tells its figures.
//
// # Large plans
//
// Of more than [MostShown] corals those furthest from their targets are shown in full; all are
// drawn as dots in the tank, and the rest are counted with their verdicts.
//
// # Safety
//
// All text goes through html/template; what is marked as safe is only the style sheet and parts
// that a template of this package has escaped already. The file names no address.
package page
