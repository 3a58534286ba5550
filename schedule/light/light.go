package light

import (
	"math"

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
	// Relative standard uncertainties: of the model in what it has in common with all
	// channels (one error for all modelled cells), of this channel's model alone, of the
	// meter (one error for all readings), of this reading alone.
	Common, Model, Meter, Own float64
}

// modelCell is the cell of a modelled channel, its light still to be filled in.
func modelCell(c plan.Channel, bands int) Cell {
	return Cell{Source: Model, Common: c.Uncertainty.Common, Model: c.Uncertainty.Own, Bands: make([]float64, bands)}
}

// Deviation is the standard uncertainty of Σ w · light of the cells at one place, by
// first order (JCGM 100:2008, 5.1.2 and 5.2.2): what is common to cells adds straight,
// what is each one's own adds in squares. amounts are the w · PPFD, in any unit, and so
// is the result.
func Deviation(cells []Cell, amounts []float64) float64 {
	var common, meter, own float64
	for i, c := range cells {
		common += amounts[i] * c.Common
		meter += amounts[i] * c.Meter
		own += amounts[i] * amounts[i] * (c.Model*c.Model + c.Own*c.Own)
	}
	return math.Sqrt(common*common + meter*meter + own)
}

// Area is a zone's rectangle as sample points.
type Area struct {
	Zone   int
	Places []Place
	Cells  [][]Cell // [place][channel]
	Mean   []Cell   // [channel]: mean over the places
	Nx, Ny int
	grid   tank.Grid
	moved  float64 // how far its numbers moved when the grid was last made finer

	spacing, sampled []float64 // by channel: of its samples [m], and how far its light still moved by them
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
