package balance

import (
	"fmt"
	"math"
	"slices"

	"dayloom/photon/colour"
	"dayloom/schedule/day/mix"
)

// sides is how many a circle in u′, v′ gets. The polygon lies inside the circle and leaves out
// at most 1 − cos(π/16) = 1.9 % of its radius.
const sides = 16

// colours works out what the wishes of colour need.
func (t *task) colours() {
	b := t.p.Balance
	if b.Colour == nil && b.Spectrum == nil {
		return
	}
	looks, err := mix.At(t.p, t.f)
	if err != nil {
		t.fault = err.Error()
		return
	}
	t.looks = looks
	if w := b.Spectrum; w != nil {
		like, ok := mix.Shares(w.Spectrum, t.p.TankAt(t.p.Zones[w.Zones[0]].Tank).Absorption, w.DepthM)
		if !ok {
			t.fault = fmt.Sprintf("nothing is left of %s at %g m", w.Like, w.DepthM)
			return
		}
		t.like = &like
	}
}

// light is Σ of a number of the channels at a place with all at peak, as a form.
func (s *system) light(place int, of func(mix.Channel) float64) form {
	f := form{coef: make([]float64, len(s.vars)), lo: math.Inf(-1), hi: math.Inf(1)}
	for c, ch := range s.looks[place].All() {
		v := of(*ch) * s.age[c]
		f.base += v * s.top0[c]
		if j := s.varOf[c]; j >= 0 {
			f.coef[j] += v * s.top1[c]
		}
	}
	return f
}

// full is the same with every channel as far up as it may go.
func (s *system) full(place int, of func(mix.Channel) float64) (sum float64) {
	for c, ch := range s.looks[place].All() {
		sum += of(*ch) * s.age[c] * min(1, s.top0[c]+s.top1[c])
	}
	return sum
}

// denominator is X + 15 Y + 3 Z: u′ = 4X and v′ = 9Y over it.
func denominator(c mix.Channel) float64 { return c.XYZ.X + 15*c.XYZ.Y + 3*c.XYZ.Z }

// polygons are the sides of the polygon in the circle wished for, at every place of its zones: how far the colour lies inside
// of each, times the denominator, over the denominator at full output. That is linear in the levels.
func (s *system) polygons() (out []form) {
	w := s.p.Balance.Colour
	if w == nil || s.mute {
		return nil
	}
	u0, v0 := w.Near.Uniform()
	reach := w.Within * math.Cos(math.Pi/sides)
	for i, pl := range s.places {
		full := s.full(i, denominator)
		if !slices.Contains(w.Zones, pl.zone) || full <= 0 {
			continue
		}
		for k := range sides {
			sin, cos := math.Sincos(2 * math.Pi * float64(k) / sides)
			out = append(out, s.light(i, func(c mix.Channel) float64 {
				d := denominator(c)
				return ((reach+cos*u0+sin*v0)*d - cos*4*c.XYZ.X - sin*9*c.XYZ.Y) / full
			}))
		}
	}
	return out
}

// seen is the colour at every place of the wish.
func (s *system) seen(x []float64) (out []Colour) {
	w := s.p.Balance.Colour
	if w == nil {
		return nil
	}
	for i, pl := range s.places {
		xy, lit := s.xyz(i, x).Chromaticity()
		if !slices.Contains(w.Zones, pl.zone) || !lit {
			continue
		}
		away := xy.Distance(w.Near)
		out = append(out, Colour{pl.name, xy.X, xy.Y, away, w.Within, away <= w.Within*(1+1e-6)})
	}
	return out
}

func (s *system) xyz(place int, x []float64) colour.XYZ {
	part := func(of func(colour.XYZ) float64) float64 {
		f := s.light(place, func(c mix.Channel) float64 { return of(c.XYZ) })
		return f.at(x)
	}
	return colour.XYZ{X: part(func(c colour.XYZ) float64 { return c.X }), Y: part(func(c colour.XYZ) float64 { return c.Y }), Z: part(func(c colour.XYZ) float64 { return c.Z })}
}

// offWish says where the colour is farthest from its wish.
func (s *system) offWish(list []Colour) []string {
	worst := Colour{Met: true}
	for _, c := range list {
		if !c.Met && (worst.Met || c.Distance > worst.Distance) {
			worst = c
		}
	}
	if worst.Met {
		return nil
	}
	return []string{fmt.Sprintf("the colour at %s is %.4f (u′v′) from x %g, y %g, beyond %g: the targets come first, and the lamps leave no more freedom",
		worst.Place, worst.Distance, s.p.Balance.Colour.Near.X, s.p.Balance.Colour.Near.Y, worst.Within)}
}

// cost solves without the wishes and tells what holds then.
func (t *task) cost(k *search) *Cost {
	plain := *t
	plain.mute, plain.bends = true, slices.Clone(t.bends)
	free, err := plain.settle(whole)
	if err != nil || free.best == nil {
		return nil
	}
	a := free.answer()
	out := &Cost{Energy: a.Energy, Greatest: a.Greatest, Met: true}
	for _, p := range a.Places {
		out.Met = out.Met && p.Met
	}
	for _, q := range a.Shares {
		out.Met = out.Met && q.Met
	}
	for _, c := range a.Colours {
		out.Distance = max(out.Distance, c.Distance)
	}
	if a.Spectrum != nil {
		out.Spectrum = a.Spectrum.Greatest
	}
	return out
}
