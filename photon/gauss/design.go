package gauss

import (
	"math"
	"slices"
)

// Design is a choice among candidate readings of jointly normal quantities.
// Items are numbered: candidates first, then targets.
type Design struct {
	Candidates, Targets int
	Variance            []float64                // prior, of each item
	Column              func(item int) []float64 // prior covariance of a candidate with each item; may be kept by the callee
	Noise               []float64                // variance of a candidate's own error
	Weight              []float64                // of each target's variance; nil: all equal
	Before              []int                    // candidates that were read already; never exchanged
	ByDeterminant       bool                     // most information on all of it, whatever the targets
	// Prefer, if set, is the share of the best gain that a candidate must have to be
	// taken before it for another reason; it gets a candidate and those chosen.
	Prefer func(candidate int, chosen []int) float64
}

// state is the knowledge after some readings.
type state struct {
	d        *Design
	variance []float64
	cross    [][]float64 // [target][candidate]
	seen     [][]float64 // what each reading took off: by item
}

func (d *Design) start() *state {
	s := &state{d: d, variance: slices.Clone(d.Variance)}
	if !d.ByDeterminant {
		s.cross = make([][]float64, d.Targets)
		for t := range s.cross {
			s.cross[t] = make([]float64, d.Candidates)
		}
		for c := range d.Candidates {
			for t, v := range d.Column(c)[d.Candidates:] {
				s.cross[t][c] = v
			}
		}
	}
	for _, c := range d.Before {
		s.read(c)
	}
	return s
}

func (s *state) clone() *state {
	out := &state{d: s.d, variance: slices.Clone(s.variance), seen: slices.Clone(s.seen), cross: make([][]float64, len(s.cross))}
	for t := range s.cross {
		out.cross[t] = slices.Clone(s.cross[t])
	}
	return out
}

// read takes off what a reading of candidate c tells.
func (s *state) read(c int) {
	v := slices.Clone(s.d.Column(c))
	for _, u := range s.seen {
		k := u[c]
		if k == 0 {
			continue
		}
		for i, x := range u {
			v[i] -= k * x
		}
	}
	root := math.Sqrt(v[c] + s.d.Noise[c])
	for i := range v {
		v[i] /= root
		s.variance[i] -= v[i] * v[i]
	}
	s.seen = append(s.seen, v)
	for t := range s.cross {
		k := v[s.d.Candidates+t]
		for i := range s.cross[t] {
			s.cross[t][i] -= k * v[i]
		}
	}
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
func (s *state) best(chosen []int) (int, float64) {
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
		if share := s.d.Prefer(c, chosen); share < 1 && g[c] >= share*top && (pick == best && c != best || g[c] > g[pick]) {
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
	base := d.start()
	chosen := slices.Clone(from)
	s := base.clone()
	for _, c := range chosen {
		s.read(c)
	}
	for len(chosen) < n && d.Candidates > 0 {
		c, _ := s.best(chosen)
		chosen = append(chosen, c)
		s.read(c)
	}
	for range most {
		if !d.exchange(base, chosen) {
			break
		}
	}
	return chosen
}

// exchange replaces each reading in turn by the best in its place.
func (d *Design) exchange(base *state, chosen []int) (better bool) {
	for i, old := range chosen {
		s := base.clone()
		rest := slices.Delete(slices.Clone(chosen), i, i+1)
		for _, c := range rest {
			s.read(c)
		}
		g := s.gains()[old]
		if c, gain := s.best(rest); gain > g*(1+1e-9) {
			chosen[i], better = c, true
		}
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
