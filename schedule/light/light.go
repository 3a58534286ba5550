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
	Reading Source = "reading" // the channel was read at this very place
	Fitted  Source = "fit"     // the model as readings elsewhere correct it, or between them
	Model   Source = "model"   // nothing was read
)

// Place is a coral or a sample point; x from the left end, y from the front glass,
// depth below the surface, all m.
type Place = tank.Place

// Cell is one channel's light at one place at full output.
type Cell struct {
	PPFD   float64   // µmol m⁻² s⁻¹, 400-700 nm, new lamps
	Bands  []float64 // µmol m⁻² s⁻¹ in each of Field.Bands
	Source Source
	// Relative standard uncertainties: Common is one error of all channels at the place,
	// Own this channel's alone.
	Common, Own float64
}

// Deviation is the standard uncertainty of Σ w · light of the cells at one place, by
// first order (JCGM 100:2008, 5.1.2 and 5.2.2): what is common to cells adds straight,
// what is each one's own adds in squares. amounts are the w · PPFD, in any unit, and so
// is the result.
func Deviation(cells []Cell, amounts []float64) float64 {
	var common, own float64
	for i, c := range cells {
		common += amounts[i] * c.Common
		own += amounts[i] * amounts[i] * c.Own * c.Own
	}
	return math.Sqrt(common*common + own)
}

// DLI is Σ F·τ·10⁻⁶, mol m⁻² d⁻¹: the daily integral of channels that give full
// [µmol m⁻² s⁻¹, age included] at full output and are lit for dose [s] of it.
func DLI(full, dose []float64) (mol float64) {
	for c, v := range full {
		mol += v * dose[c] * 1e-6
	}
	return mol
}

// Full lists the PPFD at full output of every channel, with what age has left of it
// (nil: all of it).
func Full(cells []Cell, age []float64) []float64 {
	out := make([]float64, len(cells))
	for i, c := range cells {
		if out[i] = c.PPFD; age != nil {
			out[i] *= age[i]
		}
	}
	return out
}

// InBand is Full in the k-th of Field.Bands.
func InBand(cells []Cell, k int, age []float64) []float64 {
	out := make([]float64, len(cells))
	for i, c := range cells {
		if c.Bands == nil {
			continue
		}
		if out[i] = c.Bands[k]; age != nil {
			out[i] *= age[i]
		}
	}
	return out
}

// Area is a zone's rectangle as sample points.
type Area struct {
	Zone   int
	Places []Place
	Cells  [][]Cell // [place][channel]
	Mean   []Cell   // [channel]: mean over the places
	Nx, Ny int
	grid   tank.Grid
	rays   float64 // that its light took, of all bands
	moved  float64 // how far its numbers moved when the grid was last made finer

	spacing, sampled []float64 // by channel: of its samples [m], and how far its light still moved by them
}

// Field is the light of all channels where the plan has corals and areas, and, asked
// by At and Grid, anywhere else.
type Field struct {
	Bands  []spectrum.Band
	Corals [][]Cell // [coral][channel], as Plan.Corals and Plan.Channels
	Areas  []Area   // zones with an area, in plan order
	Asides []Aside  // by time, apart: stretches of the day with other light
	lesson *lesson  // nil in a field that was not made by Survey, and in one of several tanks
	parts  []part   // by tank, where there are several
	of     *part    // the tank of the plan that is asked; nil: the only one
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
