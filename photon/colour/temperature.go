package colour

import (
	"fmt"
	"math"
	"sync"
)

// Limits of the method: colour temperatures, K, and the greatest |Duv| (CIE 15).
const (
	Coolest, Hottest = 1000, 100_000
	MaxDuv           = 0.05
)

// c2 is the second radiation constant of the CIE's colour temperatures, m K (CIE 15).
const c2 = 1.4388e-2

// mired is the unit of reciprocal temperature, 1e6/K, in which the locus is even.
const mired = 1e6

const lastMired = mired / Coolest

// Temperature is a correlated colour temperature with the distance from the locus.
type Temperature struct {
	K   float64
	Duv float64 // CIE 1960 u, v; above the locus (greener) positive
}

// NoTemperature says why a light has no colour temperature.
type NoTemperature struct {
	Why string  // for people, such as "bluer than any"
	Duv float64 // distance from the nearest point of the locus, signed as Temperature.Duv
}

func (e *NoTemperature) Error() string { return "no colour temperature; " + e.Why }

// planck is the relative power of a black body at k kelvin, which may be infinite; 1 at
// 560 nm.
func planck(k float64) column {
	var p column
	at := func(nm float64) float64 {
		if math.IsInf(k, 1) {
			return math.Pow(nm, -4) // the law of Rayleigh and Jeans
		}
		return math.Pow(nm, -5) / math.Expm1(c2*1e9/(nm*k))
	}
	ref := at(560)
	for i := range p {
		p[i] = at(wavelength(i)) / ref
	}
	return p
}

func planckUV(k float64) uv { return sums(planck(k), cie().observer2, nil).uv() }

// locus holds the Planckian locus at 0, 1, ... lastMired.
var locus = sync.OnceValue(func() []uv {
	out := make([]uv, lastMired+1)
	for i := range out {
		out[i] = planckUV(mired / float64(i))
	}
	return out
})

// nearest is the place on the locus, in mired, that is nearest to a point; the
// distance is signed. Off an end of the table it is that end.
func nearest(p uv) (m, duv float64, end int) {
	l := locus()
	best, least := 0, math.Inf(1)
	for i, q := range l {
		d := p.minus(q)
		if d2 := d.dot(d); d2 < least {
			best, least = i, d2
		}
	}
	k := min(max(best, 1), len(l)-2)
	// The parabola through three rows: q(t) = l[k] + t·slope + t²·bend.
	a, b, c := l[k-1], l[k], l[k+1]
	slope := uv{(c.u - a.u) / 2, (c.v - a.v) / 2}
	bend := uv{(c.u+a.u)/2 - b.u, (c.v+a.v)/2 - b.v}
	t := float64(best - k)
	var off, along uv
	for range 5 { // Newton on (p − q)·q′ = 0, which is nearly straight in t
		off = p.minus(uv{b.u + t*(slope.u+t*bend.u), b.v + t*(slope.v+t*bend.v)})
		along = uv{slope.u + 2*t*bend.u, slope.v + 2*t*bend.v}
		if curvature := along.dot(along) - 2*off.dot(bend); curvature > 0 {
			t += off.dot(along) / curvature
		}
		t = min(max(t, -1), 1)
	}
	duv = math.Copysign(math.Sqrt(off.dot(off)), along.cross(off))
	m = float64(k) + t
	switch {
	case m <= 0:
		end = -1
	case m >= lastMired:
		end = 1
	}
	return m, duv, end
}

// Temperature is the correlated colour temperature. The error, a *NoTemperature, says
// how the colour lies outside the range of the method.
func (c Chromaticity) Temperature() (Temperature, error) {
	m, duv, end := nearest(c.uv())
	why := ""
	switch {
	case end < 0:
		why = "bluer than any"
	case m < mired/Hottest:
		why = fmt.Sprintf("bluer than %d K", Hottest)
	case end > 0:
		why = fmt.Sprintf("redder than %d K", Coolest)
	case duv > MaxDuv:
		why = "greener than any"
	case duv < -MaxDuv:
		why = "more purple than any"
	case math.IsNaN(duv):
		why = "not a colour"
	}
	if why != "" {
		return Temperature{}, &NoTemperature{why, duv}
	}
	return Temperature{mired / m, duv}, nil
}
