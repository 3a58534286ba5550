package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"
	"gonum.org/v1/gonum/optimize"

	"dayloom/photon/gauss"
)

const (
	known            = math.Ln2 // sd of the ln of each size: a factor of two
	shortest, widest = 0.05, 5  // m, of the fields' length
	sizedBy          = 300      // readings that the sizes are found by; of more, evenly spread ones
)

// sizing is the linear problem as a function of the sizes.
type sizing struct {
	n     int
	pairs []pair // row by row of the upper triangle
	rows  []row
	k2    []float64 // the constant errors' variances, in t
	p2    []float64 // the variance of a proportional error of 1, in t
	z     []float64
}

// size sets the fields' sizes where they are most likely after the readings.
func (f *Fit) size() {
	s := f.sizing()
	if s.n == 0 {
		return
	}
	at := []float64{math.Log(f.Fields.Shared), math.Log(f.Fields.Own), math.Log(f.Fields.Length), math.Log(f.Fields.Proportional)}
	cost, slope := 0.0, make([]float64, len(at))
	var last []float64
	eval := func(x []float64) {
		if last == nil || !equal(last, x) {
			last = append(last[:0], x...)
			cost = s.cost(sizes(x), x, slope)
		}
	}
	problem := optimize.Problem{
		Func: func(x []float64) float64 { eval(x); return cost },
		Grad: func(g, x []float64) { eval(x); copy(g, slope) },
	}
	settings := optimize.Settings{MajorIterations: 25, GradientThreshold: 0.02, Converger: &optimize.FunctionConverge{Absolute: 1e-3, Iterations: 3}}
	if r, err := optimize.Minimize(problem, at, &settings, &optimize.BFGS{}); r != nil && (err == nil || r.F < math.Inf(1)) {
		f.Fields = sizes(r.X)
	}
}

func equal(a, b []float64) bool {
	for i := range a {
		if a[i] != b[i] {
			return false
		}
	}
	return true
}

func sizes(x []float64) Fields {
	return Fields{math.Exp(x[0]), math.Exp(x[1]), min(max(math.Exp(x[2]), shortest), widest), math.Exp(x[3])}
}

func (f *Fit) sizing() *sizing {
	s := &sizing{}
	step := (len(f.rows) + sizedBy - 1) / sizedBy
	for i := 0; i < len(f.rows); i += max(step, 1) {
		r := f.rows[i]
		k := f.problem.Readings[r.reading].Constant
		s.rows, s.z = append(s.rows, r), append(s.z, r.z)
		s.k2 = append(s.k2, r.slope*r.slope*k*k)
		s.p2 = append(s.p2, r.slope*r.slope*r.level*r.level)
	}
	s.n = len(s.rows)
	for i := range s.rows {
		for j := i; j < s.n; j++ {
			s.pairs = append(s.pairs, f.problem.pair(&s.rows[i].item, &s.rows[j].item))
		}
	}
	return s
}

// cost is −ln(likelihood × prior) but for constants, with its slope by ln of each size.
func (s *sizing) cost(f Fields, x, slope []float64) float64 {
	cov := mat.NewSymDense(s.n, nil)
	shared, own := f.share()
	matern := make([][2]float64, len(s.pairs))
	for i, n := 0, 0; i < s.n; i++ {
		for j := i; j < s.n; j, n = j+1, n+1 {
			p := s.pairs[n]
			k, d := gauss.Matern32(p.r, f.Length)
			matern[n] = [2]float64{k, d}
			cov.SetSym(i, j, p.common*(1-shared+shared*k)+p.own*(1-own+own*k)+p.rest)
		}
		cov.SetSym(i, i, cov.At(i, i)+s.k2[i]+f.Proportional*f.Proportional*s.p2[i])
	}
	g, err := gauss.Condition(cov, s.z)
	if err != nil {
		return math.Inf(1)
	}
	prior := [4]float64{math.Log(Usual.Shared), math.Log(Usual.Own), math.Log(Usual.Length), math.Log(Usual.Proportional)}
	cost := -g.LogLikelihood()
	for i := range slope {
		d := (x[i] - prior[i]) / known
		cost += d * d / 2
		slope[i] = d / known
	}
	inverse, alpha := g.Inverse(), g.Alpha()
	for i, n := 0, 0; i < s.n; i++ {
		for j := i; j < s.n; j, n = j+1, n+1 {
			w := inverse.At(i, j) - alpha[i]*alpha[j] // the lower triangle too
			if i == j {
				w /= 2
				slope[3] += w * 2 * f.Proportional * f.Proportional * s.p2[i]
			}
			p, m := s.pairs[n], matern[n]
			if shared < mostShare {
				slope[0] += w * p.common * 2 * shared * (m[0] - 1)
			}
			if own < mostShare {
				slope[1] += w * p.own * 2 * own * (m[0] - 1)
			}
			if f.Length > shortest && f.Length < widest {
				slope[2] += w * (p.common*shared + p.own*own) * m[1]
			}
		}
	}
	return cost
}
