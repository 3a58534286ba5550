// Package meter corrects what a quantum meter shows to the PPFD that is there,
// and says how sure that is.
//
//	PPFD = reading · f_imm · f_spec
//
// f_imm is the immersion factor: a cosine diffuser made for air sends more light
// back out when it is under water and so reads low, by 1.08 to 1.35 for common
// makes (makers' manuals; Smith 1969; Tyler and Smith 1970). It is 1 when the
// meter has the factor built in: applying it twice is as wrong as leaving it out.
//
// f_spec mends the sensor's own response R(λ), normalised to its calibration
// source, for the light of one channel:
//
//	f_spec = ∫_400^700 S dλ / ∫ S R dλ         S: photon spectrum of the channel
//
// so that violet and deep red, which most sensors see badly, are not lost. The
// spectrum is that of the lamp; how water changes it on the way is left out.
//
// Uncertainty, first order (JCGM 100:2008, the GUM): the meter's own relative
// standard uncertainty is common to all its readings; the mean of n readings of
// the same thing adds their scatter s/√n, which is not.
package meter

import (
	"errors"
	"math"

	"dayloom/photon/spectrum"
)

// Meter is one instrument.
type Meter struct {
	InWaterFactor float64      // f_imm, ≥ 1
	Uncertainty   float64      // relative standard uncertainty common to all readings
	Spectral      [][2]float64 // nm, R: rising nm; straight between, 0 outside; nil: ideal
}

// ErrBlind is returned when the sensor sees nothing of the channel's light.
var ErrBlind = errors.New("the meter's spectral response is zero where this channel shines: no reading of it can be corrected")

// Factor is what a reading of a channel with this spectrum is multiplied by.
func (m Meter) Factor(s spectrum.Spectrum) (float64, error) {
	if m.Spectral == nil {
		return m.InWaterFactor, nil
	}
	knots := make([]float64, len(m.Spectral))
	for i, row := range m.Spectral {
		knots[i] = row[0]
	}
	nm, w := s.Quadrature(spectrum.Total, knots)
	seen := 0.0
	for i := range nm {
		seen += w[i] * m.response(nm[i])
	}
	if seen <= 0 {
		return 0, ErrBlind
	}
	return m.InWaterFactor * s.PhotonShare(spectrum.PAR, spectrum.Total) / seen, nil
}

func (m Meter) response(nm float64) float64 {
	t := m.Spectral
	for i := 1; i < len(t); i++ {
		if nm >= t[i-1][0] && nm <= t[i][0] {
			k := (nm - t[i-1][0]) / (t[i][0] - t[i-1][0])
			return t[i-1][1] + k*(t[i][1]-t[i-1][1])
		}
	}
	return 0
}

// Mean is the mean of values and the relative standard uncertainty of that mean
// from their scatter; one value has no scatter to show.
func Mean(values []float64) (mean, relative float64) {
	n := float64(len(values))
	for _, v := range values {
		mean += v / n
	}
	if len(values) < 2 || mean <= 0 {
		return mean, 0
	}
	sum := 0.0
	for _, v := range values {
		sum += (v - mean) * (v - mean)
	}
	return mean, math.Sqrt(sum/(n-1)/n) / mean
}
