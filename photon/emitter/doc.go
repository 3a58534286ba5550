// Package emitter describes the lamps over a tank: where a light source
// hangs, how large it is, where it is aimed, and how its photon intensity
// depends on direction.
//
// # Axes
//
// Lengths in metres, angles in radians. x runs to the right, y to the back,
// z upward with z = 0 at the water surface, so an emitter's height is its z.
// Every emitter has an axis, straight down unless aimed elsewhere. A direction
// is given by γ, the angle from the axis, and φ, the angle about it. For a lamp
// aimed straight down φ = 0 points to +x and φ = 90° to +y. Any other aim
// carries those two directions with it by the shortest rotation that takes
// straight down to the aim (Rodrigues' rotation formula), and Turn then
// rotates φ = 0 towards φ = 90° about the axis, and a panel's body about the vertical.
//
// # Intensity
//
// A [Distribution] gives intensity per unit flux, in 1/sr: over the whole
// sphere it integrates to one. [Beam] is the cosine-power law of lighting texts,
//
//	I(γ) = Φ (m+1)/(2π) cosᵐγ   for γ < 90°,   m = ln ½ / ln cos(B/2),
//
// where B is the full angle between the two directions of half intensity;
// B = 120° gives m = 1, the Lambertian emitter.
//
// # Bodies
//
// A line or panel is a sum of equal samples at the middles of equal parts (the
// midpoint rule), each with the intensity of the whole. Each sample knows the
// extent of the part it stands for, so that whoever cuts light off at an
// edge can count the share of the part that is let by.
//
// Left out: near-field optics (a sample shines as a point), the shadow of a
// lamp's own body, and tilted bodies: Axis aims the light, a panel itself stays level
// and a line runs from its one end to the other.
package emitter
