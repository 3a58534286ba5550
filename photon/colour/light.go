package colour

import (
	"math"

	"dayloom/photon/spectrum"
)

// The wavelengths at which the CIE's tables are used, nm: Rows of them, Step apart.
const (
	First = 380
	Step  = 5
	Rows  = 81
)

// Visible is the band from the first to the last of the wavelengths.
var Visible = spectrum.Band{Lo: First, Hi: First + (Rows-1)*Step}

func wavelength(k int) float64 { return First + Step*float64(k) }

// Light is a photon spectrum: at k, the photons that count at First + k·Step nm, in
// µmol m⁻² s⁻¹, or in any unit where only the colour matters. The zero Light is dark.
type Light [Rows]float64

// OfPhotons is the light of photons[i] at nm[i], in any order, as spectrum.Weights
// gives them or as bins of a spectrum at their mean wavelength. What lies outside
// 380-780 nm can't be seen and doesn't count.
func OfPhotons(nm, photons []float64) Light {
	var l Light
	for i := range min(len(nm), len(photons)) {
		at := (nm[i] - First) / Step
		if !(at >= 0 && at <= Rows-1) {
			continue
		}
		k := min(int(at), Rows-2)
		beside := at - float64(k)
		l[k] += photons[i] * (1 - beside)
		l[k+1] += photons[i] * beside
	}
	return l
}

// Of is the light of a lamp for each µmol of all its photons.
func Of(s spectrum.Spectrum) Light {
	var grid []float64
	for k := range Rows {
		grid = append(grid, wavelength(k))
	}
	nm, w := s.Quadrature(Visible, grid)
	return OfPhotons(nm, w).Scale(s.PhotonShare(Visible, spectrum.Total))
}

// OfPower is the light of a table of relative power per nm whose rows stand at the 81
// wavelengths, as the CIE publishes its illuminants.
func OfPower(power [Rows]float64) Light {
	var l Light
	for k, p := range power {
		l[k] = p * wavelength(k) / spectrum.NMJoulePerUmol * Step
	}
	return l
}

// Plus is the light with share times another added.
func (l Light) Plus(share float64, other Light) Light {
	for k, v := range other {
		l[k] += share * v
	}
	return l
}

// Scale is the light at a share of its strength.
func (l Light) Scale(share float64) Light { return Light{}.Plus(share, l) }

// power is what the photons at each wavelength carry, W per unit of µmol/s.
func (l Light) power() column {
	for k := range l {
		l[k] *= spectrum.NMJoulePerUmol / wavelength(k)
	}
	return column(l)
}

// sums are Σ power · observer · sample; without a sample, of the light itself.
func sums(power column, observer []column, sample *column) XYZ {
	var s [3]float64
	for i, bar := range observer {
		for k, p := range power {
			if sample != nil {
				p *= sample[k]
			}
			s[i] += p * bar[k]
		}
	}
	return XYZ{s[0], s[1], s[2]}
}

// XYZ is the light as the CIE 1931 2° observer sees it.
func (l Light) XYZ() XYZ { return sums(l.power(), cie().observer2, nil) }

// XYZ are tristimulus values: 683 Y is lux where the light is in µmol m⁻² s⁻¹. They
// are linear in the light.
type XYZ struct{ X, Y, Z float64 }

// Plus is the sum with share times another.
func (c XYZ) Plus(share float64, other XYZ) XYZ {
	return XYZ{c.X + share*other.X, c.Y + share*other.Y, c.Z + share*other.Z}
}

// Chromaticity is the colour without its strength, CIE 1931 x and y.
type Chromaticity struct{ X, Y float64 }

// Chromaticity of light; ok is false in the dark, which has none.
func (c XYZ) Chromaticity() (xy Chromaticity, ok bool) {
	sum := c.X + c.Y + c.Z
	if !(sum > 0) || math.IsInf(sum, 0) {
		return Chromaticity{}, false
	}
	return Chromaticity{c.X / sum, c.Y / sum}, true
}

// Uniform are the CIE 1976 coordinates u′ and v′.
func (c Chromaticity) Uniform() (u, v float64) {
	d := 3 - 2*c.X + 12*c.Y
	return 4 * c.X / d, 9 * c.Y / d
}

// Distance from another colour in u′, v′; about 0.004 is what people begin to see
// side by side (common practice, no source).
func (c Chromaticity) Distance(other Chromaticity) float64 {
	u, v := c.Uniform()
	w, z := other.Uniform()
	return math.Hypot(u-w, v-z)
}

// uv are the coordinates of CIE 1960, for colour temperature and Ra.
type uv struct{ u, v float64 }

func (c Chromaticity) uv() uv {
	u, v := c.Uniform()
	return uv{u, v * 2 / 3}
}

func (c XYZ) uv() uv {
	d := c.X + 15*c.Y + 3*c.Z
	return uv{4 * c.X / d, 6 * c.Y / d}
}

func (p uv) minus(q uv) uv      { return uv{p.u - q.u, p.v - q.v} }
func (p uv) dot(q uv) float64   { return p.u*q.u + p.v*q.v }
func (p uv) cross(q uv) float64 { return p.u*q.v - p.v*q.u }
