package fit

import (
	"math"
	"slices"
)

const (
	farOut   = 5.0    // robust standard deviations beyond which a reading is set aside
	robust   = 0.6745 // median |z| of a standard normal
	mostSide = 4      // at most one reading in so many
)

// screen settles the problem at the usual sizes, setting readings aside, worst first,
// that the others do not expect at all.
func (f *Fit) screen() error {
	p := f.problem
	var rows []row
	for i := range p.Readings {
		rows = append(rows, row{reading: i, start: f.begin(&p.Readings[i])})
	}
	if err := f.settle(rows); err != nil {
		return err
	}
	for range len(p.Readings) / mostSide {
		worst, far := 0, 0.0
		var z []float64
		for i := range f.rows {
			mean, sd := f.given.LeaveOneOut(i)
			z = append(z, math.Abs(f.rows[i].z-mean)/sd)
			if z[i] > far {
				worst, far = i, z[i]
			}
		}
		slices.Sort(z)
		if len(z) == 0 || far <= farOut*max(1, z[len(z)/2]/robust) {
			break
		}
		f.Aside[f.rows[worst].reading] = true
		if err := f.settle(slices.Delete(f.rows, worst, worst+1)); err != nil {
			return err
		}
	}
	return nil
}

// begin is where Gauss-Newton starts: at the model; where there is none, at what was
// read, shared out evenly.
func (f *Fit) begin(q *Reading) []float64 {
	out := make([]float64, len(q.Terms))
	known, unknown := 0.0, 0.0
	for _, t := range q.Terms {
		if f.problem.Channels[t.Channel].Modelled {
			known += t.PPFD
		} else {
			unknown += t.PPFD
		}
	}
	for k, t := range q.Terms {
		if !f.problem.Channels[t.Channel].Modelled {
			out[k] = math.Log(max(q.Value-known, q.Constant) / unknown)
		}
	}
	return out
}
