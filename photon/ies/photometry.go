package ies

import "math"

// Photometry is the light of a lamp by direction. It never changes once read
// and may be shared.
type Photometry struct {
	gamma, phi axis      // rad; phi holds one plane when the light is the same all round
	perSr      []float64 // share of the flux per steradian: for each phi all of gamma
	fold       fold
	axial      bool
	maxGamma   float64 // rad
	lumens     float64 // by zones
	opening    Opening
}

// Opening is the luminous opening of the lamp, m. Width runs across the plane
// 0-180, Length along it. All are 0 for a point.
type Opening struct {
	Width, Length, Height float64
	Round                 bool
}

// Axial says whether the light is the same all round.
func (p *Photometry) Axial() bool { return p.axial }

// Lumens is the flux of the file by the rule of zones, lm.
func (p *Photometry) Lumens() float64 { return p.lumens }

// MaxGamma is the angle from straight down beyond which there is no light, rad.
func (p *Photometry) MaxGamma() float64 { return p.maxGamma }

// Opening is the size of the luminous opening.
func (p *Photometry) Opening() Opening { return p.opening }

// PerSteradian is the share of the lamp's flux per steradian, 1/sr, in the
// direction gamma from straight down (0..π) and phi about the vertical from the
// plane C0 (any angle), both rad and in the lamp's own frame. Its integral over
// the sphere is 1.
func (p *Photometry) PerSteradian(gamma, phi float64) float64 {
	if !(gamma >= p.gamma.first() && gamma <= p.maxGamma) {
		return 0
	}
	i, t := p.gamma.find(gamma)
	n := len(p.gamma.at)
	if p.axial {
		return p.perSr[i] + t*(p.perSr[i+1]-p.perSr[i])
	}
	k, u := p.phi.find(p.fold.into(phi))
	a, b := p.perSr[k*n+i:], p.perSr[(k+1)*n+i:]
	lo, hi := a[0]+t*(a[1]-a[0]), b[0]+t*(b[1]-b[0])
	return lo + u*(hi-lo)
}

// fold is the symmetry about the vertical.
type fold uint8

const (
	allRound fold = iota
	quarters
	mirrored0  // at the plane 0-180
	mirrored90 // at the plane 90-270
	full
)

// into takes any azimuth to the one of the listed range that has its light.
func (f fold) into(phi float64) float64 {
	if phi < 0 || phi >= 2*math.Pi {
		phi = math.Mod(phi, 2*math.Pi)
		if phi < 0 {
			phi += 2 * math.Pi
		}
	}
	switch f {
	case quarters:
		if phi > math.Pi {
			phi = 2*math.Pi - phi
		}
		return math.Min(phi, math.Pi-phi)
	case mirrored0:
		return math.Min(phi, 2*math.Pi-phi)
	case mirrored90:
		switch {
		case phi < math.Pi/2:
			return math.Pi - phi
		case phi > 3*math.Pi/2:
			return 3*math.Pi - phi
		}
	}
	return phi
}

// axis is a list of rising angles with an index to find a place in it.
type axis struct {
	at    []float64
	start []int32 // for each of equal cells, the last angle at or below its beginning
	scale float64 // cells per rad
}

func newAxis(at []float64) axis {
	n := len(at)
	if n < 2 {
		return axis{at: at}
	}
	cells := 4 * n
	a := axis{at: at, start: make([]int32, cells+1), scale: float64(cells) / (at[n-1] - at[0])}
	i := 0
	for c := range a.start {
		for i+2 < n && at[i+1] <= at[0]+float64(c)/a.scale {
			i++
		}
		a.start[c] = int32(i)
	}
	return a
}

func (a axis) first() float64 { return a.at[0] }

// find gives the interval i that holds x and how far along it x lies, 0..1.
// Beyond the ends it gives the ends.
func (a axis) find(x float64) (i int, t float64) {
	cell := int((x - a.at[0]) * a.scale)
	i = int(a.start[min(max(cell, 0), len(a.start)-1)])
	for i+2 < len(a.at) && a.at[i+1] < x {
		i++
	}
	for i > 0 && a.at[i] > x { // rounding at the edge of a cell
		i--
	}
	t = (x - a.at[i]) / (a.at[i+1] - a.at[i])
	return i, math.Min(math.Max(t, 0), 1)
}

// meanPlane is the candela values averaged over all azimuths, by the trapezoid.
func meanPlane(phi, candela []float64, n int) []float64 {
	mean := make([]float64, n)
	if len(phi) == 1 {
		copy(mean, candela)
		return mean
	}
	span := phi[len(phi)-1] - phi[0]
	for k := 1; k < len(phi); k++ {
		w := (phi[k] - phi[k-1]) / span / 2
		for i := range mean {
			mean[i] += w * (candela[(k-1)*n+i] + candela[k*n+i])
		}
	}
	return mean
}

// zonalFlux is the flux of a plane of intensities by the rule of zones.
func zonalFlux(gamma, intensity []float64) (sum float64) {
	for i := 1; i < len(gamma); i++ {
		sum += math.Pi * (math.Cos(gamma[i-1]) - math.Cos(gamma[i])) * (intensity[i-1] + intensity[i])
	}
	return sum
}

// linearFlux is the flux of the straight lines between intensities, exactly.
func linearFlux(gamma, intensity []float64) (sum float64) {
	for i := 1; i < len(gamma); i++ {
		m, d := (gamma[i-1]+gamma[i])/2, (gamma[i]-gamma[i-1])/2
		lean := (math.Sin(d) - d*math.Cos(d)) / d
		if d < 1e-3 {
			lean = d * d / 3 // its series, where the difference loses its digits
		}
		a, b := intensity[i-1], intensity[i]
		sum += 2 * math.Pi * ((a+b)*math.Sin(m)*math.Sin(d) + (b-a)*math.Cos(m)*lean)
	}
	return sum
}
