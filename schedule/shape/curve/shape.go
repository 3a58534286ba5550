package curve

import "math"

// Shape is the form of a ramp; see the package comment for the equations.
type Shape int

// The four shapes.
const (
	Linear Shape = iota
	Smooth
	Solar
	Even
)

// Names are the words of the plan file for the shapes, in the order of the constants.
var Names = []string{"linear", "smooth", "solar", "even"}

func (s Shape) String() string { return Names[s] }

// CIE 1976 lightness (CIE 15): below lStar = 8 lightness is proportional to luminance.
const (
	lStarKnee  = 0.08          // as u = L*/100
	linearGain = 2700. / 24389 // Y = 100 u · 27/24389 below the knee
)

// At is the shape's value at u; u outside 0..1 takes the nearer end.
func (s Shape) At(u float64) float64 {
	u = min(max(u, 0), 1)
	switch s {
	case Smooth:
		sin := math.Sin(math.Pi * u / 2) // (1 − cos πu)/2 without cancellation near 0
		return sin * sin
	case Solar:
		return math.Sin(math.Pi * u / 2)
	case Even:
		if u <= lStarKnee {
			return linearGain * u
		}
		c := (100*u + 16) / 116
		return c * c * c
	default:
		return u
	}
}

// Inverse is the u at which the shape has the value y, 0 ≤ y ≤ 1.
func (s Shape) Inverse(y float64) float64 {
	y = min(max(y, 0), 1)
	switch s {
	case Smooth:
		return 2 / math.Pi * math.Asin(math.Sqrt(y))
	case Solar:
		return 2 / math.Pi * math.Asin(y)
	case Even:
		if y <= linearGain*lStarKnee {
			return y / linearGain
		}
		return (116*math.Cbrt(y) - 16) / 100
	default:
		return y
	}
}

// Area is ∫ f du from 0 to u.
func (s Shape) Area(u float64) float64 {
	u = min(max(u, 0), 1)
	switch s {
	case Smooth:
		return u/2 - math.Sin(math.Pi*u)/(2*math.Pi)
	case Solar:
		sin := math.Sin(math.Pi * u / 4)
		return 4 / math.Pi * sin * sin // (2/π)(1 − cos πu/2)
	case Even:
		if u <= lStarKnee {
			return linearGain * u * u / 2
		}
		const knee = linearGain * lStarKnee * lStarKnee / 2
		c, c0 := (100*u+16)/116, 24./116
		return knee + 0.29*(c*c*c*c-c0*c0*c0*c0) // ∫ c³ du = c⁴/4 · 116/100
	default:
		return u * u / 2
	}
}

// Bend is the greatest size of the shape's second derivative, d²f/du², over 0 ≤ u ≤ 1.
func (s Shape) Bend() float64 {
	switch s {
	case Smooth:
		return math.Pi * math.Pi / 2
	case Solar:
		return math.Pi * math.Pi / 4
	case Even:
		return 6 * (100. / 116) * (100. / 116) // of c³ at c = 1
	default:
		return 0
	}
}
