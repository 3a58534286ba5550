package picture

import (
	"dayloom/photon/colour"
	"dayloom/photon/spectrum"
)

// Own is the colour of a lamp by its spectrum, at full brightness.
func Own(s spectrum.Spectrum) colour.Swatch {
	return colour.OfPhotons(s.Weights(spectrum.Band{Lo: 380, Hi: 780})).XYZ().Swatch()
}
