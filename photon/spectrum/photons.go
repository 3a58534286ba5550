package spectrum

import (
	_ "embed"
	"math"
	"strings"
	"sync"
)

// maxEfficacy is the greatest luminous efficacy of V(λ), lm/W (CIE 018).
const maxEfficacy = 683.002

//go:embed photopic.csv
var photopicCSV string

var photopicTable = sync.OnceValue(func() [2][]float64 {
	nm, v, err := ReadTable(strings.NewReader(photopicCSV), "V")
	if err != nil {
		panic("the built-in table of V: " + err.Error()) // the file is part of the program, not data
	}
	return [2][]float64{nm, v}
})

// Photopic is the CIE 1924 luminous efficiency V(λ) at a wavelength in nm, 0..1.
func Photopic(nm float64) float64 {
	t := photopicTable()
	return interpolate(t[0], t[1], nm)
}

// ratio is a/b, and 0 where there is nothing to compare with.
func ratio(a, b float64) float64 {
	if b <= 0 {
		return 0
	}
	return a / b
}

// PhotonShare is the photon flux in one band divided by the photon flux in
// another, such as PhotonShare(FarRed, PAR). It is 0 when the second band is
// dark; PhotonShare(band, Total) tells whether a band has any light.
func (s Spectrum) PhotonShare(in, of Band) float64 {
	return ratio(s.photons(in), s.photons(of))
}

// PhotonsPerJoule is µmol of photons for each J of radiant energy, over the
// whole spectrum.
func (s Spectrum) PhotonsPerJoule() float64 { return s.UmolFromWatts(1, Total) }

// UmolFromWatts turns radiant flux in a band (W) into photon flux in that band
// (µmol/s). It is 0 when the band is dark.
func (s Spectrum) UmolFromWatts(watts float64, b Band) float64 {
	return watts * ratio(s.photons(b), s.watts(b))
}

// WattsFromUmol turns photon flux in a band (µmol/s) into radiant flux in that
// band (W). It is 0 when the band is dark.
func (s Spectrum) WattsFromUmol(umol float64, b Band) float64 {
	return umol * ratio(s.watts(b), s.photons(b))
}

// LuxPerUmol is lux for each µmol m⁻² s⁻¹ of 400-700 nm, equally lm for each
// µmol/s. It is 0 when the spectrum has no light in 400-700 nm.
func (s Spectrum) LuxPerUmol() float64 {
	lumens := maxEfficacy * s.integral(Total, photopicTable()[0], Photopic)
	return ratio(lumens, s.photons(PAR))
}

// UmolFromLumens turns luminous flux (lm) into photon flux of 400-700 nm
// (µmol/s). It is 0 when the spectrum has no visible light.
func (s Spectrum) UmolFromLumens(lumens float64) float64 {
	return ratio(lumens, s.LuxPerUmol())
}

// LumensFromUmol turns photon flux of 400-700 nm (µmol/s) into luminous flux (lm).
func (s Spectrum) LumensFromUmol(umol float64) float64 { return umol * s.LuxPerUmol() }

// MeanWavelength is the mean over the photons of a band, nm; 0 when it is dark.
func (s Spectrum) MeanWavelength(b Band) float64 {
	sum := s.integral(b, nil, func(nm float64) float64 { return nm * nm / NMJoulePerUmol })
	return ratio(sum, s.photons(b))
}

// Quadrature gives wavelengths (nm) and photon weights (their sum 1) so that
// Σ w f(nm) is the mean of f over the photons of a band: the two-point rule of
// Gauss and Legendre between the table's rows and the breaks, exact for an f
// that is straight between them. Both are empty when the band is dark.
func (s Spectrum) Quadrature(b Band, breaks []float64) (nm, w []float64) {
	b, ok := s.clip(b)
	if !ok {
		return nil, nil
	}
	xs := s.nodes(b, breaks)
	var sum float64
	for i := 1; i < len(xs); i++ {
		mid, half := (xs[i]+xs[i-1])/2, (xs[i]-xs[i-1])/2
		for _, at := range [2]float64{mid - half/math.Sqrt(3), mid + half/math.Sqrt(3)} {
			if weight := s.at(at) * at * half; weight > 0 {
				nm, w, sum = append(nm, at), append(w, weight), sum+weight
			}
		}
	}
	for i := range w {
		w[i] /= sum
	}
	return nm, w
}

// Weights is a short form of Quadrature for quantities that change slowly with
// wavelength: one node for each nm of the band, at the mean wavelength of the
// photons there, with up to 5 nm taken together where they hold less than 0.1 %
// of the photons. A band 300 nm wide gives at most 301 nodes, a narrow peak a
// few dozen. Weights sum to 1; both are empty when the band is dark.
func (s Spectrum) Weights(b Band) (nm, w []float64) {
	c, ok := s.clip(b)
	if !ok {
		return nil, nil
	}
	var whole []float64
	for x := math.Ceil(c.Lo); x <= c.Hi; x++ {
		whole = append(whole, x)
	}
	fineNM, fineW := s.Quadrature(b, whole)
	const little, wide = 1e-3, 5
	var first, last float64 // the nm bins that the newest node spans
	for i, x := range fineNM {
		bin, k := math.Floor(x), len(w)-1
		switch {
		case k >= 0 && (bin == last || w[k] < little && bin-first < wide):
			nm[k] += (x - nm[k]) * fineW[i] / (w[k] + fineW[i])
			w[k] += fineW[i]
		default:
			nm, w, first = append(nm, x), append(w, fineW[i]), bin
		}
		last = bin
	}
	return nm, w
}
