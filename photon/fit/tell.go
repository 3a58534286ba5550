package fit

import (
	"math"

	"gonum.org/v1/gonum/mat"

	"dayloom/photon/gauss"
	"dayloom/photon/tank"
)

// Estimate is a logarithm and its standard deviation before and after the readings.
type Estimate struct{ Mean, SD, Before float64 }

// Gain is ln of what the readings make of a channel's model over the whole tank, g + γ.
// For a channel without a model it is ln of its mean PPFD.
func (f *Fit) Gain(channel int) Estimate {
	it := f.far(channel)
	return f.estimate(&it)
}

// Meter is ln of a meter's bias.
func (f *Fit) Meter(m int) Estimate { return f.estimate(&item{meter: m, room: -1, meterW: 1}) }

// Common is g, the gain that all channels share.
func (f *Fit) Common() Estimate {
	nowhere := tank.Place{X: math.Inf(1)}
	shared, _ := f.Fields.share()
	it := item{at: nowhere, common: commonSD * math.Sqrt(1-shared), meter: -1, room: -1}
	return f.estimate(&it)
}

// Room is the light of the room on a date, µmol m⁻² s⁻¹.
func (f *Fit) Room(date int) Estimate { return f.estimate(&item{meter: -1, room: date, roomW: 1}) }

// far is a channel at a place that no field joins to any other.
func (f *Fit) far(channel int) item {
	return newItem(f.problem.Channels, tank.Place{X: math.Inf(1)}, []weight{{channel, 1}})
}

func (f *Fit) estimate(it *item) Estimate {
	mean, v := f.known(it)
	return Estimate{mean, math.Sqrt(v), math.Sqrt(f.prior(it))}
}

// prior is an item's variance before any reading. A place at infinity has no field.
func (f *Fit) prior(it *item) float64 {
	p := f.problem.pair(it, it)
	return f.Fields.cov(p)
}

// Mean is ln of E/F of every channel at a place (ln E without a model).
func (f *Fit) Mean(at tank.Place) []float64 {
	out := make([]float64, len(f.problem.Channels))
	shared, own := f.Fields.share()
	alpha := f.given.Alpha()
	common := 0.0
	for i := range f.rows {
		it := &f.rows[i].item
		r := distance(at, it.at)
		k, _ := gauss.Matern32(r, f.Fields.Length)
		common += alpha[i] * it.common * (1 - shared + shared*k)
		for _, w := range it.w {
			c := f.problem.Channels[w.channel]
			if c.Modelled {
				out[w.channel] += alpha[i] * w.w * c.Own * c.Own * (1 - own + own*k)
			} else {
				u, _ := gauss.Matern32(r, freeLength)
				out[w.channel] += alpha[i] * w.w * (meanSD*meanSD + freeSD*freeSD*u)
			}
		}
	}
	for c := range out {
		if f.problem.Channels[c].Modelled {
			out[c] += common * f.problem.Channels[c].Common
		}
	}
	return out
}

// Point is a weighted sum of ln E of the channels at one place.
type Point struct {
	At     tank.Place
	Weight []float64 // by channel
}

// Covariance is that of sums of points.
func (f *Fit) Covariance(sums ...[]Point) *mat.SymDense {
	out := mat.NewSymDense(len(sums), nil)
	items, seen := make([][]item, len(sums)), make([][]float64, len(sums))
	for a, sum := range sums {
		k := make([]float64, len(f.rows))
		for _, p := range sum {
			items[a] = append(items[a], f.item(p))
			for i, c := range f.with(&items[a][len(items[a])-1]) {
				k[i] += c
			}
		}
		seen[a] = f.given.Project(k)
		for b := range a + 1 {
			v := 0.0
			for i := range items[a] {
				for j := range items[b] {
					v += f.Fields.cov(f.problem.pair(&items[a][i], &items[b][j]))
				}
			}
			for i := range seen[a] {
				v -= seen[a][i] * seen[b][i]
			}
			out.SetSym(b, a, v)
		}
	}
	return out
}

// At is the covariance of ln E of all channels at a place.
func (f *Fit) At(place tank.Place) *mat.SymDense {
	sums := make([][]Point, len(f.problem.Channels))
	for c := range sums {
		w := make([]float64, len(sums))
		w[c] = 1
		sums[c] = []Point{{place, w}}
	}
	return f.Covariance(sums...)
}

func (f *Fit) item(p Point) item {
	var ws []weight
	for c, w := range p.Weight {
		if w != 0 {
			ws = append(ws, weight{c, w})
		}
	}
	return newItem(f.problem.Channels, p.At, ws)
}

// Expected is what a reading should have been by all others.
type Expected struct {
	Value, SD float64 // µmol m⁻² s⁻¹
	Z         float64 // how far the reading is from it, in standard deviations, own error included
}

// Expect is what all readings but one (-1: all of them) expect of a reading, which
// need not be one of the problem's.
func (f *Fit) Expect(q Reading, without int) Expected {
	r := f.linear(&q, f.start(&q))
	k := f.with(&r.item)
	v := f.Fields.cov(f.problem.pair(&r.item, &r.item))
	z, v := f.given.Mean(k), f.given.Variance(v, k)
	for i := range f.rows {
		if f.rows[i].reading == without {
			dz, dv := f.given.Without(i, k)
			z, v = z-dz, v+dv
		}
	}
	noise := r.slope * r.slope * (q.Constant*q.Constant + f.Fields.Proportional*f.Fields.Proportional*r.level*r.level)
	sd := math.Sqrt(v + noise)
	t := r.m + z - (r.z - r.t + r.m)
	value := unstable(t, q.Constant)
	_, slope := stable(value, q.Constant)
	return Expected{Value: max(value, 0), SD: sd / slope, Z: (r.t - t) / sd}
}
