package tank

import (
	"context"
	"math"
)

// Paths is the light that comes to a place before the water has taken its part, by the
// length of the way in the water: the same rays as those of [Box.At], gathered as the
// moments of a Chebyshev series over the paths that occur, so that any smooth function
// of the path is summed over all rays at once.
type Paths struct {
	from, to float64
	moment   [terms]float64
}

// Paths gathers the paths of a source's light to the places, lines and panels sampled
// at the spacing given [m], such as that of [Box.At]. The source's Transmit is not used.
func (b Box) Paths(s Source, places []Place, spacing float64) ([]Paths, error) {
	s.Transmit = nil
	if _, err := b.ready(s, places); err != nil {
		return nil, err
	}
	if n := count(s.Emitters, spacing); n > mostSamples {
		return nil, tooMany(n)
	}
	lamps := s.lamps(spacing, false)
	out := make([]Paths, len(places))
	_ = each(context.Background(), len(places), nil, func(i int) {
		p := &out[i]
		p.from = places[i].Depth
		views := make([]view, len(lamps))
		for k, l := range lamps {
			views[k] = b.view(l, s, p.from)
			p.to = math.Max(p.to, views[k].longest())
		}
		for k := range views {
			views[k].gather(places[i], p)
		}
	})
	return out, nil
}

// longest is the longest path in the water that a ray of the view can take [m].
func (v *view) longest() float64 {
	x, y, _ := v.farthest(v.box)
	return v.depth / v.cosine(math.Hypot(x, y))
}

func (v *view) gather(p Place, out *Paths) {
	mid, half := (out.from+out.to)/2, math.Max((out.to-out.from)/2, 1e-12)
	for _, my := range v.my {
		y := my.off + my.sign*p.Y
		for _, mx := range v.mx {
			x := mx.off + mx.sign*p.X
			for _, s := range v.samples {
				e, path, walls := v.ray(s, mx, my, x, y)
				if e *= walls; e == 0 {
					continue
				}
				u := math.Min(1, math.Max(-1, (path-mid)/half))
				a, c := e, e*u
				for j := range out.moment {
					out.moment[j] += a
					a, c = c, 2*u*c-a
				}
			}
		}
	}
}

// Sum is Σ e f(path) over all rays: with f the share of photons that the water leaves,
// the flux density at the place [µmol m⁻² s⁻¹]. f must be smooth and positive, such as
// a sum of exponentials; then the sum is as exact as that of [Box.At].
func (p Paths) Sum(f func(path float64) float64) float64 {
	if p.to <= 0 {
		return p.moment[0] * f(0)
	}
	mid, half := (p.from+p.to)/2, math.Max((p.to-p.from)/2, 1e-12)
	var sum float64
	for k := range terms {
		at := math.Pi * (float64(k) + 0.5) / terms
		y := f(mid+half*math.Cos(at)) * 2 / terms
		sum += y * p.moment[0] / 2
		for j := 1; j < terms; j++ {
			sum += y * nodes[k][j] * p.moment[j]
		}
	}
	return sum
}

// nodes[k][j] is T_j at the k-th Chebyshev node.
var nodes = func() (out [terms][terms]float64) {
	for k := range terms {
		for j := range terms {
			out[k][j] = math.Cos(float64(j) * math.Pi * (float64(k) + 0.5) / terms)
		}
	}
	return out
}()
