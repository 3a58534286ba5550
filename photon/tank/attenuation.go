package tank

import "math"

// attenuation is ln A(ℓ) as a Chebyshev series over the paths that occur at
// one depth. The share of photons left is a sum of exponentials, so its
// logarithm is all but straight and few terms serve; the spectrum is integrated
// once for each of them instead of once for each ray.
type attenuation struct {
	mid, half float64
	coef      [terms]float64
	clear     bool
}

const terms = 10

func attenuate(transmit func(float64) float64, from, to float64) attenuation {
	if transmit == nil || to <= 0 {
		return attenuation{clear: true}
	}
	a := attenuation{mid: (from + to) / 2, half: math.Max((to-from)/2, 1e-12)}
	for k := range terms {
		at := math.Pi * (float64(k) + 0.5) / terms
		// The floor keeps opaque water at a number, far below any light.
		y := math.Log(math.Max(transmit(a.mid+a.half*math.Cos(at)), 1e-200))
		for j := range terms {
			a.coef[j] += y * math.Cos(float64(j)*at) * 2 / terms
		}
	}
	a.coef[0] /= 2
	return a
}

// at is the share of photons left after the path [m], by Clenshaw's recurrence.
func (a *attenuation) at(path float64) float64 {
	if a.clear {
		return 1
	}
	x := (path - a.mid) / a.half
	var b1, b2 float64
	for j := terms - 1; j > 0; j-- {
		b1, b2 = a.coef[j]+2*x*b1-b2, b1
	}
	return math.Exp(a.coef[0] + x*b1 - b2)
}
