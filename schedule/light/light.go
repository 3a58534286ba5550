package light

import (
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/schedule/plan"
)

// Source says where a number comes from.
type Source string

// The sources.
const (
	Reading Source = "reading"
	Model   Source = "model"
)

// Place is a coral or a sample point of an area; x from the left end, y from the
// front glass, depth below the surface, all m.
type Place struct{ X, Y, Depth float64 }

// Cell is one channel's light at one place at full output.
type Cell struct {
	PPFD   float64   // µmol m⁻² s⁻¹, 400-700 nm, new lamps
	Bands  []float64 // µmol m⁻² s⁻¹ in each of Field.Bands
	Source Source
	// Relative standard uncertainties: of this channel's model, of the meter (one
	// error for all readings), of this reading alone.
	Model, Meter, Own float64
}

// Area is a zone's rectangle as sample points.
type Area struct {
	Zone   int
	Places []Place
	Cells  [][]Cell // [place][channel]
	Mean   []Cell   // [channel]: mean over the places
	Nx, Ny int
	grid   tank.Grid
}

// Field is the light of all channels where the plan has corals and areas.
type Field struct {
	Bands  []spectrum.Band
	Corals [][]Cell // [coral][channel], as Plan.Corals and Plan.Channels
	Areas  []Area   // zones with an area, in plan order
}

// Violet is the band of near UV and violet that an acclimation limits on its own.
var Violet = spectrum.Band{Lo: 380, Hi: 430}

// Bands lists the bands a plan is asked about beside PPFD: near UV, far red, violet
// where there are newcomers, and those its balance names.
func Bands(p *plan.Plan) []spectrum.Band {
	bs := []spectrum.Band{spectrum.NearUV, spectrum.PAR, spectrum.FarRed}
	if len(p.Acclimation) > 0 {
		bs = append(bs, Violet)
	}
	for _, s := range p.Balance.Shares {
		known := false
		for _, b := range bs {
			known = known || b == s.Band
		}
		if !known {
			bs = append(bs, s.Band)
		}
	}
	return bs
}

// Full lists the PPFD at full output of every channel.
func Full(cells []Cell) []float64 {
	out := make([]float64, len(cells))
	for i, c := range cells {
		out[i] = c.PPFD
	}
	return out
}
