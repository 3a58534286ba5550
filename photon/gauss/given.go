package gauss

import (
	"errors"
	"math"

	"gonum.org/v1/gonum/mat"
)

// ErrNotPositive is returned for a covariance that is not positive definite.
var ErrNotPositive = errors.New("the covariance of the observations is not positive definite: two of them say the same without error")

// Given is what n observations say.
type Given struct {
	chol    mat.Cholesky
	z       []float64
	alpha   *mat.VecDense // S⁻¹ z
	inverse *mat.SymDense // S⁻¹, once asked for
}

// Condition factors the covariance of the observations z, whose mean is 0.
func Condition(s mat.Symmetric, z []float64) (*Given, error) {
	g := &Given{z: z}
	if s.SymmetricDim() != len(z) {
		return nil, errors.New("the covariance must have a row for each observation")
	}
	if len(z) == 0 {
		return g, nil
	}
	if !g.chol.Factorize(s) {
		return nil, ErrNotPositive
	}
	g.alpha = mat.NewVecDense(len(z), nil)
	return g, g.chol.SolveVecTo(g.alpha, mat.NewVecDense(len(z), z))
}

// Len is the number of observations.
func (g *Given) Len() int { return len(g.z) }

// Mean is what is expected of a quantity that has covariance k with the observations.
func (g *Given) Mean(k []float64) float64 {
	if len(k) == 0 {
		return 0
	}
	return mat.Dot(mat.NewVecDense(len(k), k), g.alpha)
}

// Project solves L v = k, so that the covariance of two quantities is what it was
// before less v·w.
func (g *Given) Project(k []float64) []float64 {
	v := append([]float64(nil), k...)
	if len(k) == 0 {
		return v
	}
	u := g.chol.RawU() // L' with its upper triangle
	raw := u.(*mat.TriDense).RawTriangular()
	for i := range v {
		x := v[i] / raw.Data[i*raw.Stride+i]
		v[i] = x
		for j, c := range raw.Data[i*raw.Stride+i+1 : i*raw.Stride+raw.N] {
			v[i+1+j] -= c * x
		}
	}
	return v
}

// Variance is that of a quantity of prior variance v with covariance k.
func (g *Given) Variance(v float64, k []float64) float64 {
	for _, x := range g.Project(k) {
		v -= x * x
	}
	return math.Max(v, 0)
}

// LogLikelihood is ln p(z).
func (g *Given) LogLikelihood() float64 {
	if len(g.z) == 0 {
		return 0
	}
	return -0.5*g.Mean(g.z) - 0.5*g.chol.LogDet() - 0.5*float64(len(g.z))*math.Log(2*math.Pi)
}

// LeaveOneOut is what all observations but the i-th expect of it, and how surely.
func (g *Given) LeaveOneOut(i int) (mean, sd float64) {
	b := g.Inverse().At(i, i)
	return g.z[i] - g.alpha.AtVec(i)/b, 1 / math.Sqrt(b)
}

// Inverse is S⁻¹; it is kept and must not be changed.
func (g *Given) Inverse() *mat.SymDense {
	if g.inverse == nil {
		g.inverse = &mat.SymDense{}
		_ = g.chol.InverseTo(g.inverse) // the condition was seen when it was factored
	}
	return g.inverse
}

// Alpha is S⁻¹ z.
func (g *Given) Alpha() []float64 {
	if g.alpha == nil {
		return nil
	}
	return g.alpha.RawVector().Data
}

// Matern32 is the correlation at a distance r of a field of length l, and its
// derivative by ln l.
func Matern32(r, l float64) (k, slope float64) {
	x := math.Sqrt(3) * r / l
	if x > 700 { // beyond any float, and an infinite distance
		return 0, 0
	}
	e := math.Exp(-x)
	return (1 + x) * e, x * x * e
}

// Without is by how much observation i raised the mean of a quantity with covariance
// k, and lowered its variance.
func (g *Given) Without(i int, k []float64) (mean, variance float64) {
	b := g.Inverse()
	dot := 0.0
	for j, x := range k {
		dot += x * b.At(i, j)
	}
	return dot * g.alpha.AtVec(i) / b.At(i, i), dot * dot / b.At(i, i)
}
