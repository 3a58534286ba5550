package departure

import (
	"math"
	"slices"

	"dayloom/schedule/shape/curve"
)

// Width is how near to each other the two sides of a bracket are, in light fractions.
const Width = 1e-6

// Light is a light fraction over one day, t in seconds after midnight.
type Light interface {
	At(t float64) float64          // at a jump the light that follows
	Before(t float64) float64      // at a jump the light that went before
	Breaks() []float64             // rising, from 0 to 86400: smooth between them
	Bend(from, to float64) float64 // no less than |d²y/dt²| between neighbouring breaks, s⁻²
}

// Norm is what a port's clock allows it at jumps.
type Norm struct {
	Step float64 // s: the port's points are at multiples of it
	Hold bool    // commands are held between points
}

// Supremum is a greatest departure: no less than Low, which is reached at At (s of the
// day), and no more than High.
type Supremum struct{ Low, High, At float64 }

// Jump is a time at which asked light steps from one value to another, with the time
// step in which both count as asked: from From for Length seconds; none has length 0.
type Jump struct{ At, Before, After, From, Length float64 }

// Holds reports whether t is inside the jump's time step.
func (j Jump) Holds(t float64) bool {
	d := math.Mod(t-j.From+curve.Day, curve.Day)
	return d > 0 && d < j.Length
}

// least is the least step of light that is a jump.
const least = 1e-9

// Jumps lists the jumps of the light asked, in the order of the day.
func (n Norm) Jumps(asked Light) []Jump {
	var out []Jump
	breaks := asked.Breaks()
	for _, t := range breaks[:len(breaks)-1] {
		before, after := asked.Before(t), asked.At(t)
		if math.Abs(before-after) <= least {
			continue
		}
		j := Jump{At: t, Before: before, After: after}
		slot := math.Round(t / n.Step)
		if on := math.Abs(t-slot*n.Step) < hair; !on || !n.Hold {
			if t < hair {
				t = curve.Day // what jumps at midnight does so at the end of a step
			}
			j.From = (math.Ceil((t-hair)/n.Step) - 1) * n.Step
			j.Length = min(n.Step, curve.Day-j.From)
		}
		out = append(out, j)
	}
	return out
}

// hair is how far inside a stretch its ends are looked at, s.
const hair = 2.5e-7

// Greatest is the greatest departure of the light given from the light asked from one
// second of the day to a later one.
func (n Norm) Greatest(asked, given Light, from, to float64) Supremum {
	jumps := n.Jumps(asked)
	s := search{asked: asked, given: given}
	parts := s.stretches(jumps, from, to)
	for _, p := range parts { // a good first guess saves most of the halving
		s.look(p.from)
		s.look(p.to)
	}
	for _, p := range parts {
		s.halve(p, 0)
	}
	return Supremum{Low: s.most, High: max(s.most, s.high), At: s.at}
}

// Above lists the times of the day, one in each smooth stretch at most, at which the
// light given departs by more than a limit.
func (n Norm) Above(asked, given Light, limit float64) []float64 {
	var out []float64
	s := search{asked: asked, given: given}
	for _, p := range s.stretches(n.Jumps(asked), 0, curve.Day) {
		s.most, s.at = limit, -1
		s.look(p.from)
		s.look(p.to)
		s.halve(p, 0)
		if s.at >= 0 {
			out = append(out, s.at)
		}
	}
	return out
}

// stretch is a part of the day in which both lights are smooth, its bends, and what
// counts as asked beside the curve: from lo to hi.
type stretch struct {
	from, to place
	lo, hi   float64
	bend     float64 // of the light given
	bends    float64 // of both together
}

// place is a time with the lights there and how far they are apart.
type place struct{ t, given, asked, off float64 }

type search struct {
	asked, given Light
	most, at     float64
	high         float64 // no less than anything in the stretches that were left alone
}

func (s *search) look(p place) {
	if p.off > s.most {
		s.most, s.at = p.off, p.t
	}
}

func (s *search) stretches(jumps []Jump, from, to float64) []stretch {
	ts := slices.Concat(s.asked.Breaks(), s.given.Breaks(), []float64{from, to})
	for _, j := range jumps {
		ts = append(ts, j.From, j.From+j.Length)
	}
	slices.Sort(ts)
	var out []stretch
	for i := 1; i < len(ts); i++ {
		a, b := max(ts[i-1], from), min(ts[i], to)
		if b-a < 4*hair {
			continue
		}
		mid := (a + b) / 2
		p := stretch{lo: math.Inf(1), hi: math.Inf(-1), bend: s.given.Bend(a, b)}
		p.bends = p.bend + s.asked.Bend(a, b)
		for _, j := range jumps {
			if j.Holds(mid) {
				p.lo, p.hi = min(p.lo, j.Before, j.After), max(p.hi, j.Before, j.After)
			}
		}
		p.from, p.to = p.place(s, a+hair, s.given.At, s.asked.At), p.place(s, b-hair, s.given.Before, s.asked.Before)
		out = append(out, p)
	}
	return out
}

func (p stretch) place(s *search, t float64, given, asked func(float64) float64) place {
	g, y := given(t), asked(t)
	return place{t, g, y, max(g-max(y, p.hi), min(y, p.lo)-g, 0)}
}

// halve looks into a stretch as far as it may hold a departure greater than the
// greatest so far.
func (s *search) halve(p stretch, depth int) {
	h := p.to.t - p.from.t
	if bound := p.bound(h); bound <= s.most+Width || depth > 60 {
		s.high = max(s.high, bound)
		return
	}
	mid := p.place(s, (p.from.t+p.to.t)/2, s.given.At, s.asked.At)
	s.look(mid)
	left, right := p, p
	left.to, right.from = mid, mid
	s.halve(left, depth+1)
	s.halve(right, depth+1)
}

// bound is no less than any departure in a stretch of length h.
func (p stretch) bound(h float64) float64 {
	a, b := p.from, p.to
	both, own := p.bends*h*h/8, p.bend*h*h/8
	above := min(max(a.given-a.asked, b.given-b.asked)+both, max(a.given, b.given)-p.hi+own)
	below := min(max(a.asked-a.given, b.asked-b.given)+both, p.lo-min(a.given, b.given)+own)
	return max(above, below)
}
