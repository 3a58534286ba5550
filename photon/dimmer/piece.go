package dimmer

import "math"

type shape uint8

const (
	flat     shape = iota // f = f0
	straight              // f0 at c0 to f1 at c1
	square                // ((c − c0)/(c1 − c0))²
	exponent              // 10^(3 ((c − c0)/(c1 − c0) − 1)): 0.1 % at c0, 100 % at c1
)

// decades of light that the standard dimming curve spans (IEC 62386-102).
const decades = 3

// piece is one smooth part of a response. It holds from its first command up to
// that of the next piece.
type piece struct {
	from           float64 // first command
	shape          shape
	c0, f0, c1, f1 float64
}

// at is the fraction by the piece's own formula.
func (p piece) at(c float64) float64 {
	x := (c - p.c0) / (p.c1 - p.c0)
	switch p.shape {
	case straight:
		if x == 1 {
			return p.f1
		}
		return p.f0 + x*(p.f1-p.f0)
	case square:
		return x * x
	case exponent:
		return math.Pow(10, decades*(x-1))
	}
	return p.f0
}

// inverse is the command at which the piece's formula gives a fraction.
func (p piece) inverse(f float64) float64 {
	var x float64
	switch p.shape {
	case straight:
		x = (f - p.f0) / (p.f1 - p.f0)
	case square:
		x = math.Sqrt(f)
	case exponent:
		x = 1 + math.Log10(f)/decades
	}
	return p.c0 + x*(p.c1-p.c0)
}

// bend is the second derivative of the formula at a command, which rises with it.
func (p piece) bend(c float64) float64 {
	per := 1 / (p.c1 - p.c0)
	switch p.shape {
	case square:
		return 2 * per * per
	case exponent:
		k := decades * math.Ln10 * per
		return k * k * p.at(c)
	}
	return 0
}

// mean is the mean of the piece's formula from a to b, in forms that keep their
// digits however short the move is.
func (p piece) mean(a, b float64) float64 {
	x, y := (a-p.c0)/(p.c1-p.c0), (b-p.c0)/(p.c1-p.c0)
	switch p.shape {
	case straight:
		return p.f0 + (x+y)/2*(p.f1-p.f0)
	case square:
		return (x*x + x*y + y*y) / 3
	case exponent:
		u := decades * math.Ln10 * (y - x)
		if u == 0 {
			return p.at(a)
		}
		return p.at(a) * math.Expm1(u) / u
	}
	return p.f0
}
