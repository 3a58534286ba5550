package gauss

import (
	"math"
	"slices"

	"gonum.org/v1/gonum/mat"
)

// Design is a choice among candidate readings of jointly normal quantities.
// Items are numbered: candidates first, then targets.
type Design struct {
	Candidates, Targets int
	Variance            []float64                // prior, of each item
	Column              func(item int) []float64 // prior covariance of an item with each item; it is not changed
	Noise               []float64                // variance of a candidate's own error
	Weight              []float64                // of each target's variance; nil: all equal
	ByDeterminant       bool                     // most information on all of it, whatever the targets
	// Prefer, if set, is the share of the best gain that a candidate must have to be
	// taken before it for another reason; it gets a candidate and those chosen.
	Prefer func(candidate int, chosen []int) float64
}

// state is the knowledge after some readings.
type state struct {
	d        *Design
	chosen   []int
	variance []float64   // of each item, all of chosen read
	cross    [][]float64 // [target][candidate], the same
}

func (d *Design) start() *state {
	s := &state{d: d, variance: slices.Clone(d.Variance)}
	if !d.ByDeterminant {
		s.cross = make([][]float64, d.Targets)
		for t := range s.cross {
			s.cross[t] = slices.Clone(d.Column(d.Candidates + t)[:d.Candidates])
		}
	}
	return s
}

// inverse is that of the covariance of the readings chosen.
func (s *state) inverse() *mat.SymDense {
	n := len(s.chosen)
	out := mat.NewSymDense(n, nil)
	for i, c := range s.chosen {
		column := s.d.Column(c)
		for j := range n {
			out.SetSym(i, j, column[s.chosen[j]])
		}
		out.SetSym(i, i, column[c]+s.d.Noise[c])
	}
	var chol mat.Cholesky
	chol.Factorize(out) // positive definite by the noise
	_ = chol.InverseTo(out)
	return out
}

// combined is the sum of the chosen readings' prior columns, each times w.
func (s *state) combined(w []float64, scale float64) []float64 {
	out := make([]float64, len(s.variance))
	for j, c := range s.chosen {
		k := w[j] * scale
		for i, x := range s.d.Column(c) {
			out[i] += k * x
		}
	}
	return out
}

// shift adds sign·v v' to what is known.
func (s *state) shift(v []float64, sign float64) {
	for i, x := range v {
		s.variance[i] += sign * x * x
	}
	for t := range s.cross {
		k := sign * v[s.d.Candidates+t]
		for i := range s.cross[t] {
			s.cross[t][i] += k * v[i]
		}
	}
}

// read takes off what a reading of candidate c tells.
func (s *state) read(c int) {
	v := slices.Clone(s.d.Column(c))
	if len(s.chosen) > 0 {
		b, w := s.inverse(), make([]float64, len(s.chosen))
		for i := range w {
			for j, k := range s.chosen {
				w[i] -= b.At(i, j) * v[k]
			}
		}
		for i, x := range s.combined(w, 1) {
			v[i] += x
		}
	}
	root := math.Sqrt(v[c] + s.d.Noise[c])
	for i := range v {
		v[i] /= root
	}
	s.shift(v, -1)
	s.chosen = append(s.chosen, c)
}

// unread puts back what the i-th reading told.
func (s *state) unread(i int) {
	b := s.inverse()
	w := make([]float64, len(s.chosen))
	for j := range w {
		w[j] = b.At(i, j)
	}
	v := s.combined(w, 1/math.Sqrt(b.At(i, i)))
	// The reading's own column is that of the light and not of what the meter shows of
	// it, so the sum is right for every item, itself included.
	s.shift(v, 1)
	s.chosen = slices.Delete(s.chosen, i, i+1)
}

// gains is what one more reading of each candidate would better.
func (s *state) gains() []float64 {
	out := make([]float64, s.d.Candidates)
	if s.d.ByDeterminant {
		for c := range out {
			out[c] = math.Log1p(s.variance[c] / s.d.Noise[c])
		}
		return out
	}
	for t := range s.cross {
		w := s.d.weight(t)
		for c, k := range s.cross[t] {
			out[c] += w * k * k
		}
	}
	for c := range out {
		out[c] /= s.variance[c] + s.d.Noise[c]
	}
	return out
}

func (d *Design) weight(t int) float64 {
	if d.Weight == nil {
		return 1
	}
	return d.Weight[t]
}

// best is the candidate with the greatest gain, or one that is preferred and nearly
// as good; ties go to the first.
func (s *state) best() (int, float64) {
	g := s.gains()
	best := 0
	for c := range g {
		if g[c] > g[best]*(1+1e-12) {
			best = c
		}
	}
	if s.d.Prefer == nil {
		return best, g[best]
	}
	top, pick := g[best], best
	for c := range g {
		if share := s.d.Prefer(c, s.chosen); share < 1 && g[c] >= share*top && (pick == best && c != best || g[c] > g[pick]) {
			pick = c
		}
	}
	return pick, g[pick]
}

// most is the number of rounds of exchanges.
const most = 12

// Choose picks n readings, by greed and then by exchanges from there. from, if not
// nil, is where to begin in place of greed.
func (d *Design) Choose(n int, from []int) []int {
	s := d.start()
	for _, c := range from {
		s.read(c)
	}
	for len(s.chosen) < n && d.Candidates > 0 {
		c, _ := s.best()
		s.read(c)
	}
	for range most {
		if !s.exchange() {
			break
		}
	}
	return s.chosen
}

// exchange takes each reading away in turn and puts the best in its place.
func (s *state) exchange() (better bool) {
	for range s.chosen { // the first goes, and what is better comes last
		old := s.chosen[0]
		s.unread(0)
		g := s.gains()[old]
		c, gain := s.best()
		if gain <= g*(1+1e-6) {
			c = old
		}
		better = better || c != old
		s.read(c)
	}
	return better
}

// Left is the variance of each target after readings of these candidates.
func (d *Design) Left(chosen []int) []float64 {
	s := d.start()
	for _, c := range chosen {
		s.read(c)
	}
	return s.variance[d.Candidates:]
}
