package fit

import (
	"math"

	"dayloom/photon/gauss"
)

// Design is the choice among readings that could be taken next, all that was read so
// far being known. Targets are sums whose variance is to be least.
func (f *Fit) Design(candidates []Reading, targets []Point) *gauss.Design {
	items := make([]item, 0, len(candidates)+len(targets))
	d := &gauss.Design{Candidates: len(candidates), Targets: len(targets)}
	for i := range candidates {
		q := &candidates[i]
		r := f.linear(q, f.start(q))
		items = append(items, r.item)
		p := f.Fields.Proportional * r.level
		d.Noise = append(d.Noise, r.slope*r.slope*(q.Constant*q.Constant+p*p))
	}
	for _, t := range targets {
		items = append(items, f.item(t))
	}
	seen := make([][]float64, len(items))
	for i := range items {
		seen[i] = f.given.Project(f.with(&items[i]))
		v := f.prior(&items[i])
		for _, x := range seen[i] {
			v -= x * x
		}
		d.Variance = append(d.Variance, math.Max(v, 0))
	}
	known := map[int][]float64{}
	d.Column = func(c int) []float64 {
		if known[c] == nil {
			out := make([]float64, len(items))
			for i := range items {
				out[i] = f.Fields.cov(f.problem.pair(&items[c], &items[i]))
				for k, x := range seen[c] {
					out[i] -= x * seen[i][k]
				}
			}
			known[c] = out
		}
		return known[c]
	}
	return d
}

// start is ln E/F of a reading's terms by what is known.
func (f *Fit) start(q *Reading) []float64 {
	mean := f.Mean(q.At)
	out := make([]float64, len(q.Terms))
	for k, t := range q.Terms {
		out[k] = mean[t.Channel]
	}
	return out
}
