// Package tank adds up the light that lamps over a tank send to places in its
// water: the planar photon flux density on the horizontal, facing up.
//
// # The sum
//
// Lines and panels are split into samples, each a point lamp of the share of
// the flux Φ that it stands for. A sample at height h sends to a place at depth
// d and horizontal distance r, by the one ray that package ray finds,
//
//	E = I(ω) T(θa) A(ℓ) · sin θa / (r dr/dθa)      [µmol m⁻² s⁻¹]
//
// with I the photon intensity [µmol/s/sr] towards the ray (package emitter), T
// the Fresnel transmittance into the water, A the share of photons left after
// the path ℓ = d/cos θw [m], and θa the angle from the vertical in air. The
// last factor is the thinning of the ray tube; on the axis it is the apparent
// depth of optics texts, 1/(h + d/n)².
//
// # Walls
//
// Walls are mirrors seen from within. The tank is unfolded by reflecting it in
// its walls; a place at x in a tank of length L has the image kL + x in the even
// cells k and (k+1)L − x in the odd ones. A path counts only if it enters the
// water inside the tank's own surface, and is weighed by the reflectance of
// each wall it meets: for glass that of water against air, at the cosine of
// incidence sin θw |cos φ| for the walls left and right and sin θw |sin φ| for
// front and back, total below √(1 − 1/n²); for a dark wall none; for a share
// that share at every angle. A ray in water lies at most asin(1/n) from the
// vertical, so the images that matter are few, and every one is taken whose
// angle-independent reflectance is over 10⁻⁵.
//
// A lamp beside the tank counts by the rays that come in over the rim. A ray
// exactly on the rim counts unless it leaves the tank there at once; light at a
// wall is the limit of the light beside it. A part of a line or panel that
// straddles the rim counts by the share of it whose rays come in: entries at the share f
// of the way in air are taken as spread evenly between those of the part's ends,
//
//	d(s + f(r)(p − s)) = (1 − f) ds − (p − s) (f′/r) (p − s)·ds ,
//
// so that the sum converges with the square of the spacing there as elsewhere.
//
// # Two ways to the same sum
//
// [Box.At] traces every ray, and samples ever more finely until it settles.
// [Box.Grid] fills a volume. For one height and depth all that a ray needs
// depends on r alone, so it is tabulated in u = r² + c and read by straight
// lines between knots (within 0.1 % of At), as is the beam of a lamp that is
// aimed, by its cosine; next to the rim and to the critical angle, where light
// changes at once, the ray is traced.
// Along a row the share in air rises with the distance and sin θa / r falls, so a row
// falls into runs in which every ray comes in whole, none does, or each must be asked.
//
// A level line along a grid's rows needs no samples. On one row and for one pair of
// mirrors what a piece of it at s sends to x depends on D = x − s alone, K(D), and the
// line from a to b sends the running integral of K at x − a less that at x − b; rims
// cut the range of D where they lie. The integral is kept at an eighth of the spacing
// and read by cubics, within 0.2 % of the limit of ever finer samples. Lines that
// slope or lie across the rows, panels, and rows of few places have samples. A
// grid's spacing settles on its first, middle and last layer, at all places or at some
// thousands of them.
//
// [Box.Paths] gathers the same rays by their path in water, for light by wavelength.
//
// # Limits
//
// At most 20,000 samples of a source and 2,500 images of a place are taken; what needs
// more is an error before any work is done. A line that slopes counts each part as 16
// samples, for each has a height of its own. Sides of a tank lie between 1 mm and 1 km.
//
// # Validity
//
// Flat, clear-cut geometry: a box of water, lamps above the surface, one
// refractive index a source. Left out: ripples, shading by rock, by neighbours
// or by a lamp's body, scattering in the water, light thrown back by floor and
// surface from below, rough walls, braces and lids, and the thickness of panes.
package tank
