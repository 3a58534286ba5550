package emitter

import (
	"fmt"
	"math"
)

// Distribution is the angular spread of an emitter's photons.
type Distribution interface {
	// PerSteradian is the intensity of a unit flux [1/sr] at the angle gamma
	// from the axis [rad, 0..π] and phi about it [rad, 0..2π).
	PerSteradian(gamma, phi float64) float64
	// Axial tells whether the intensity is the same for every phi.
	Axial() bool
	// MaxGamma is the angle from the axis [rad] beyond which there is no light.
	MaxGamma() float64
}

// cosinePower is I(γ) = scale cos^m γ.
type cosinePower struct{ m, scale float64 }

// Beam is the cosine-power distribution whose intensity is halved at half of
// the full angle given [rad], m = ln ½ / ln cos(B/2). The angle must lie
// between 0 and 180°, both excluded.
func Beam(full float64) (Distribution, error) {
	m := math.Ln2 / -math.Log(math.Cos(full/2))
	if !(full > 0 && full < math.Pi) || math.IsInf(m, 0) || m <= 0 {
		return nil, fmt.Errorf("beam of %.4g deg: the full angle between the half-intensity directions must be more than 0 deg and less than 180 deg; a bare Lambertian emitter has 120 deg", full*180/math.Pi)
	}
	return cosinePower{m: m, scale: (m + 1) / (2 * math.Pi)}, nil
}

func (c cosinePower) PerSteradian(gamma, _ float64) float64 {
	return c.perSteradian(math.Cos(gamma))
}

func (c cosinePower) perSteradian(cos float64) float64 {
	if cos <= 0 {
		return 0
	}
	return c.scale * math.Pow(cos, c.m)
}

func (c cosinePower) Axial() bool       { return true }
func (c cosinePower) MaxGamma() float64 { return math.Pi / 2 }
