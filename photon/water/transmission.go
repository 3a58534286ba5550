package water

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/floats"
	"gonum.org/v1/gonum/mat"

	"dayloom/photon/spectrum"
)

// ruleNodes is the number of nodes of the Gauss rule along absorption.
const ruleNodes = 20

// stepNM is the widest step in wavelength over which exp(-a ℓ) is integrated
// where neither table has rows.
const stepNM = 5

// Transmission gives the share of a lamp's photons in a band that is left after
// a straight path (m, 0 or more) through the water, as a function of the path:
// 1 at no path, never rising. For a band in which the lamp has no light it is 1.
// Making the function takes about a millisecond; calling it, well under a
// microsecond. It may be called from several goroutines at once.
func Transmission(a Absorption, s spectrum.Spectrum, b spectrum.Band) func(pathM float64) float64 {
	nm, w := s.Quadrature(b, a.breaks(b))
	perM := make([]float64, len(nm))
	for i, x := range nm {
		perM[i] = a.At(x)
	}
	node, weight := gaussRule(perM, w)
	return func(pathM float64) float64 {
		if len(node) == 0 {
			return 1
		}
		var sum float64
		for i, perM := range node {
			sum += weight[i] * math.Exp(-perM*pathM)
		}
		return sum
	}
}

// breaks lists the wavelengths of the table, and more where organics curve
// between its rows.
func (a Absorption) breaks(b spectrum.Band) []float64 {
	out := slices.Clone(a.nm)
	for x := stepNM * math.Ceil(math.Max(b.Lo, 200)/stepNM); x < math.Min(b.Hi, 1200); x += stepNM {
		out = append(out, x)
	}
	return out
}

// gaussRule shortens Σ w f(x) to ruleNodes terms that agree for every
// polynomial f of degree below 2·ruleNodes. The Lanczos process gives the
// Jacobi matrix of the polynomials that are orthogonal under the weights w; its
// eigenvalues are the nodes, and the squares of the first components of its
// eigenvectors the weights (Golub and Welsch 1969). Weights must sum to 1.
func gaussRule(x, w []float64) (node, weight []float64) {
	if len(x) == 0 {
		return nil, nil
	}
	scale := floats.Max(x)
	if scale == 0 {
		return []float64{0}, []float64{1}
	}
	q := make([]float64, len(x))
	for i := range q {
		q[i] = math.Sqrt(w[i])
	}
	basis := [][]float64{q}
	var diagonal, beside []float64
	for {
		last := basis[len(basis)-1]
		next := make([]float64, len(x))
		for i := range next {
			next[i] = x[i] / scale * last[i]
		}
		diagonal = append(diagonal, floats.Dot(next, last))
		for range 2 { // once is not enough against rounding
			for _, v := range basis {
				floats.AddScaled(next, -floats.Dot(next, v), v)
			}
		}
		size := floats.Norm(next, 2)
		if len(basis) == ruleNodes || size < 1e-13 { // as many nodes as there are different x
			break
		}
		floats.Scale(1/size, next)
		basis, beside = append(basis, next), append(beside, size)
	}
	if node, weight, ok := eigenRule(diagonal, beside, scale); ok {
		return node, weight
	}
	return x, w
}

// eigenRule turns a Jacobi matrix into nodes and weights; ok tells whether its
// eigenvalues were found.
func eigenRule(diagonal, beside []float64, scale float64) (node, weight []float64, ok bool) {
	n := len(diagonal)
	jacobi := mat.NewSymDense(n, nil)
	for i, d := range diagonal {
		jacobi.SetSym(i, i, d)
		if i < len(beside) {
			jacobi.SetSym(i, i+1, beside[i])
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(jacobi, true) {
		return nil, nil, false
	}
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	node, weight = eigen.Values(nil), make([]float64, n)
	for i := range node {
		node[i] = math.Max(0, node[i]*scale) // rounding must not make water give light
		first := vectors.At(0, i)
		weight[i] = first * first
	}
	floats.Scale(1/floats.Sum(weight), weight)
	return node, weight, true
}
