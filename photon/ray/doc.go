// Package ray finds the light ray from a lamp in air to a place under flat
// water, and how much the ray tube around it is thinned on the way.
//
// # Geometry
//
// A lamp hangs h metres over the surface; a place lies d metres under it, at
// the horizontal distance r. With θa and θw the angles from the vertical in
// air and in water and n the refractive index of water (air is 1),
//
//	sin θa = n sin θw                                   (Snell)
//	r = h tan θa + d tan θw
//
// With t = tan θa and w = √(n² + (n²−1) t²) these become
//
//	r(t) = t P(t),   P = h + d/w,   r′(t) = h + d n²/w³ .
//
// For n ≥ 1 r(t) is concave and rising, so Newton's method started left of the
// root climbs to it without ever stepping past it: it cannot fail and needs no
// bracket. r/(h + d/n) is such a start, and so is (r − d/√(n²−1))/h, which is
// the better one near grazing.
//
// # Flux density
//
// A unit intensity in the cone between θa and θa + dθa puts sin θa dθa photons
// per radian of azimuth on the ring r dr of the horizontal plane at the place.
// Per unit intensity the planar flux density on the horizontal is therefore
//
//	sin θa / (r dr/dθa) = cos³θa / (P(t) r′(t))   [1/m²],
//
// which has no 0/0: at r = 0 it is 1/(h + d/n)², the apparent depth of optics
// texts, and for d = 0 it is cos³θa/h², the inverse-square and cosine laws.
//
// # Fresnel
//
// Transmittance and InnerReflectance are the flux ratios of unpolarised light
// at a flat, clean interface (Born and Wolf, Principles of Optics, section
// 1.5.2), for a real index: the absorption of water is far too weak to matter.
//
// Validity: n ≥ 1, h ≥ 0, d ≥ 0, h + d > 0. Left out: waves and ripples,
// polarisation left over by the first interface, surface films.
package ray
