// Package ies reads photometric files of the form ANSI/IES LM-63, in which
// makers of lamps give luminous intensity by direction, and serves the shape of
// that light.
//
// # The file
//
// A line that names the edition (1991, 1995, 2002, 2019; the edition of 1986
// has none), lines of keywords, a line TILT=, then only numbers, parted by
// blanks, commas and line ends: ten of the lamp, three of its ballast, V
// vertical angles, H horizontal angles, and V candela values for each of the H.
// A candela value counts times the multiplier and the ballast factor.
//
// Read are type C photometry (vertical angle γ from straight down, 0 to 180°;
// horizontal angle φ about the vertical) and TILT=NONE. The horizontal list
// says the symmetry:
//
//	0           the same all round
//	0 to 90     four equal quarters
//	0 to 180    mirrored at the plane 0-180
//	90 to 270   mirrored at the plane 90-270
//	0 to 360    none
//
// # The light
//
// Between listed angles the intensity I(γ, φ) is linear in each angle; outside
// the vertical list it is zero. Its flux is integrated exactly: with the
// trapezoid over φ, then for vertical angles a to b with half width d and
// middle m
//
//	∫ I sin γ dγ = (I(a) + I(b)) sin m sin d + (I(b) − I(a)) cos m (sin d − d cos d)/d
//
// and [Photometry.PerSteradian] is I over that flux, so its own integral over
// the sphere is 1. It is used for photons as it stands: the colour of the
// light is taken to be the same in all directions, and the absolute candela
// values do not matter.
//
// [Photometry.Lumens] is the total by the usual rule of zones (Illuminating
// Engineering Society, Lighting Handbook: zonal constants), 2π (cos a − cos b)
// times the mean intensity of the zone, as photometric reports print it. It
// differs from the exact flux of the straight lines by about 0.1 %.
//
// # Left out
//
// Types A and B, TILT of a lamp's position, the keywords' contents, near-field
// effects: the lamp is a point, however large its opening, which is given so
// that a caller may spread it.
package ies
