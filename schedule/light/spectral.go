package light

import (
	"math"

	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/schedule/plan"
)

// Spectral is one channel's light at one place by wavelength: Photons[i] µmol m⁻² s⁻¹
// around NM[i] nm, at full output.
type Spectral struct{ NM, Photons []float64 }

// Seen is the band that a Spectral covers, nm: what people see or corals glow by.
var Seen = spectrum.Band{Lo: 350, Hi: 780}

// sum is the light in a band, µmol m⁻² s⁻¹.
func (s Spectral) sum(b spectrum.Band) (total float64) {
	for i, nm := range s.NM {
		if nm >= b.Lo && nm <= b.Hi {
			total += s.Photons[i]
		}
	}
	return total
}

// Toward is the same light made as strong as a cell: its 400-700 nm are the cell's PPFD.
// A channel without light there stays as it is.
func (s Spectral) Toward(c Cell) Spectral {
	par := s.sum(spectrum.PAR)
	if !(par > 0) {
		return s
	}
	out := Spectral{NM: s.NM, Photons: make([]float64, len(s.Photons))}
	for i, v := range s.Photons {
		out.Photons[i] = v * c.PPFD / par
	}
	return out
}

// Spectra is the model's light of every channel at places, [place][channel], after the
// water on each ray's own way: with the rays of the PPFD and the one refractive index of
// 400-700 nm, so that it sums to the PPFD. A channel without emitters has the bare lamp's
// spectrum, of a strength of 1 µmol m⁻² s⁻¹.
func Spectra(p *plan.Plan, places []Place) ([][]Spectral, error) {
	out := make([][]Spectral, len(places))
	for i := range out {
		out[i] = make([]Spectral, len(p.Channels))
	}
	var whole []float64
	for x := Seen.Lo; x <= Seen.Hi; x++ {
		whole = append(whole, x)
	}
	for ch, c := range p.Channels {
		nm, share := c.Spectrum.Quadrature(Seen, whole)
		left := func(int, float64) float64 { return 1 }
		total := 1.0
		if Modelled(c) {
			total = Lamp(c).InBand(Seen)
			var err error
			if left, err = thinned(p, c, nm, places); err != nil {
				return nil, err
			}
		}
		for i := range places {
			s := Spectral{NM: nm, Photons: make([]float64, len(nm))}
			for k, x := range nm {
				s.Photons[k] = total * share[k] * left(i, p.Tank.Absorption.At(x))
			}
			out[i][ch] = s
		}
	}
	return out, nil
}

// nodes is how many absorptions the geometry is worked out for. Over all rays to a place
// the light that is left is M(a) = Σ w exp(−a ℓ): a Laplace transform of the paths' lengths,
// whose logarithm is all but straight in a. So a polynomial through few of its values has
// the others; a test holds their sum to the PPFD to 1e-5, in clear and in very yellow water.
const nodes = 9

// thinned is the light at the i-th place for each µmol/s where the water absorbs a per m,
// for absorptions in the range of the wavelengths.
func thinned(p *plan.Plan, c plan.Channel, nm []float64, places []Place) (func(i int, a float64) float64, error) {
	if len(nm) == 0 {
		return func(int, float64) float64 { return 0 }, nil
	}
	src, ok := flux.Source(Lamp(c), p.Tank.Absorption, spectrum.PAR)
	if !ok {
		src, _ = flux.Source(Lamp(c), p.Tank.Absorption, spectrum.Total)
	}
	settled, err := p.Tank.Box.At(src, places)
	if err != nil {
		return nil, err
	}
	lo, hi := math.Inf(1), 0.0
	for _, x := range nm {
		a := p.Tank.Absorption.At(x)
		lo, hi = math.Min(lo, a), math.Max(hi, a)
	}
	var knots [nodes]float64
	logs := make([][nodes]float64, len(places))
	src.Flux = 1
	for k := range knots {
		knots[k] = (lo+hi)/2 - (hi-lo)/2*math.Cos(math.Pi*float64(k)/(nodes-1))
		src.Transmit = func(path float64) float64 { return math.Exp(-knots[k] * path) }
		left, err := p.Tank.Box.AtSpacing(src, places, settled.Spacing)
		if err != nil {
			return nil, err
		}
		for i, v := range left {
			logs[i][k] = math.Log(math.Max(v, math.SmallestNonzeroFloat64))
		}
	}
	return func(i int, a float64) float64 { return math.Exp(through(&knots, &logs[i], a)) }, nil
}

// through is the polynomial through values at the extrema of a Chebyshev polynomial, by
// the barycentric formula (Berrut and Trefethen 2004, SIAM Review 46, 501).
func through(knots, values *[nodes]float64, a float64) float64 {
	var above, below float64
	for k, x := range knots {
		if a == x {
			return values[k]
		}
		w := 1 / (a - x)
		if k == 0 || k == nodes-1 {
			w /= 2
		}
		if k%2 == 1 {
			w = -w
		}
		above, below = above+w*values[k], below+w
	}
	return above / below
}
