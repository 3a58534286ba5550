package light

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"dayloom/photon/fit"
)

// sure fills in the uncertainties of the cells at a place.
func (s *lesson) sure(at Place, cells []Cell) {
	if len(s.rows) == 0 {
		for ch, c := range s.p.Channels {
			cells[ch].Common, cells[ch].Own = c.Uncertainty.Common, c.Uncertainty.Own
		}
		return
	}
	split(s.fit.At(at), cells)
}

// Sure is the relative standard uncertainty of Σ w · light at a place, by the whole
// covariance; amounts are the w · PPFD of every channel.
func (f Field) Sure(at Place, amounts []float64) float64 {
	amounts = f.of.narrow(amounts)
	total, w := 0.0, make([]float64, len(amounts))
	for _, v := range amounts {
		total += v
	}
	if f.lesson == nil || total <= 0 {
		return 0
	}
	for ch, v := range amounts {
		w[ch] = v / total
	}
	return math.Sqrt(f.lesson.fit.Covariance([]fit.Point{{At: at, Weight: w}}).At(0, 0))
}

const rounds = 12 // of the one-factor fit; it settles in a few

// split keeps a covariance as one common error and an own one of each channel.
func split(cov *mat.SymDense, cells []Cell) {
	n := len(cells)
	w, load := make([]float64, n), make([]float64, n)
	most := 0.0
	for i := range w {
		w[i] = cells[i].PPFD
		most = max(most, w[i])
		load[i] = math.Sqrt(cov.At(i, i) / 2)
	}
	for range rounds {
		for i := range load {
			num, den := 0.0, 0.0
			for j := range load {
				if j != i {
					u := (w[j] + 1e-3*most) * (w[j] + 1e-3*most) * load[j]
					num += u * cov.At(i, j)
					den += u * load[j]
				}
			}
			if den > 0 {
				edge := math.Sqrt(cov.At(i, i))
				load[i] = min(max(num/den, -edge), edge)
			}
		}
	}
	// The sum's covariances, by the loads and as they are.
	byLoad, exact := 0.0, 0.0
	for i := range load {
		for j := range i {
			byLoad += w[i] * w[j] * load[i] * load[j]
			exact += w[i] * w[j] * cov.At(i, j)
		}
	}
	scale := 0.0
	if byLoad > 0 && exact > 0 {
		scale = math.Sqrt(exact / byLoad)
	}
	for i := range cells {
		edge := math.Sqrt(cov.At(i, i))
		cells[i].Common = min(max(scale*load[i], -edge), edge)
		cells[i].Own = math.Sqrt(max(0, cov.At(i, i)-cells[i].Common*cells[i].Common))
	}
}

// representatives are at most so many along each side of an area, whose uncertainty
// stands for the places around them.
const representatives = 5

// sureOver fills in the uncertainties of an area's cells and of their mean.
func (s *lesson) sureOver(a *Area) {
	if len(s.rows) == 0 {
		for i := range a.Cells {
			s.sure(a.Places[i], a.Cells[i])
		}
		s.sure(Place{}, a.Mean)
		return
	}
	every := func(n int) int { return (n + representatives - 1) / representatives }
	dx, dy := every(a.Nx), every(a.Ny)
	at := func(i int) int { // the representative of a place
		x, y := i%a.Nx, i/a.Nx
		return min(y/dy*dy+dy/2, a.Ny-1)*a.Nx + min(x/dx*dx+dx/2, a.Nx-1)
	}
	known := map[int]bool{}
	for i := range a.Cells {
		r := at(i)
		if !known[r] {
			known[r] = true
			s.sure(a.Places[r], a.Cells[r])
		}
	}
	sums := make([][]fit.Point, len(s.p.Channels))
	for i := range a.Cells {
		r := at(i)
		for ch := range a.Cells[i] {
			a.Cells[i][ch].Common, a.Cells[i][ch].Own = a.Cells[r][ch].Common, a.Cells[r][ch].Own
		}
		if i != r {
			continue
		}
		for ch := range sums {
			w := make([]float64, len(sums))
			w[ch] = 1 / float64(len(known))
			if m := a.Mean[ch].PPFD; m > 0 {
				w[ch] *= a.Cells[i][ch].PPFD / m
			}
			sums[ch] = append(sums[ch], fit.Point{At: a.Places[i], Weight: w})
		}
	}
	split(s.fit.Covariance(sums...), a.Mean)
}
