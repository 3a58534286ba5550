package water

import (
	"math"

	"dayloom/photon/spectrum"
)

// Bin is a narrow part of a lamp's spectrum in a water.
type Bin struct {
	NM    float64   // mean over its photons; its middle where it has none
	Share float64   // of the photons of the band
	node  []float64 // absorption, 1/m
	at    []float64 // weights, their sum 1
}

// BinWidth is how much of the spectrum a bin holds, nm. Bins begin at its multiples.
const BinWidth = 5

// Bins parts a lamp's photons in a band into bins of 5 nm; both ends of the band must be
// multiples of 5 nm. It is the same quadrature as that of [Transmission], node by node,
// so that Σ Share · Left(path) is the share that Transmission leaves.
func Bins(a Absorption, s spectrum.Spectrum, b spectrum.Band) []Bin {
	out := make([]Bin, int(math.Round((b.Hi-b.Lo)/BinWidth)))
	nm, w := s.Quadrature(b, a.breaks(b))
	from := 0
	for k := range out {
		out[k].NM = b.Lo + BinWidth*(float64(k)+0.5)
		to := from
		for to < len(nm) && nm[to] < b.Lo+BinWidth*float64(k+1) {
			to++
		}
		out[k].gather(a, nm[from:to], w[from:to])
		from = to
	}
	return out
}

// gentle is the spread of the absorption in a bin, 1/m, up to which two nodes serve: the
// fourth moment that they miss is under sd⁴ℓ⁴/24, 3e-7 over a metre.
const gentle = 0.05

// gather makes of the nodes in a bin two that agree in all moments up to the third (the
// two-point rule of Gauss under any weights, in closed form by mean, spread and
// skewness); in a water that changes within a bin as none does it keeps them all.
func (b *Bin) gather(a Absorption, nm, w []float64) {
	var mean, square, cube, at float64
	for i, x := range nm {
		b.Share += w[i]
		at += w[i] * x
		mean += w[i] * a.At(x)
	}
	if b.Share == 0 {
		return
	}
	b.NM, mean = at/b.Share, mean/b.Share
	for i, x := range nm {
		d := a.At(x) - mean
		square += w[i] / b.Share * d * d
		cube += w[i] / b.Share * d * d * d
	}
	sd := math.Sqrt(square)
	switch {
	case sd <= 1e-9*mean || sd == 0:
		b.node, b.at = []float64{mean}, []float64{1}
		return
	case sd > gentle:
		for i, x := range nm {
			b.node, b.at = append(b.node, a.At(x)), append(b.at, w[i]/b.Share)
		}
		return
	}
	skew := cube / (square * sd) / 2
	root := math.Sqrt(1 + skew*skew)
	low, high := skew-root, skew+root // in units of sd; low · high = −1
	b.node = []float64{math.Max(0, mean+sd*low), mean + sd*high}
	b.at = []float64{high / (high - low), -low / (high - low)}
}

// Left is the share of the bin's photons that is left after a path in water [m].
func (b Bin) Left(path float64) float64 {
	var left float64
	for i, a := range b.node {
		left += b.at[i] * math.Exp(-a*path)
	}
	return left
}
