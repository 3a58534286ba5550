package flux_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/emitter"
	"dayloom/photon/flux"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
)

var (
	glass = tank.Box{Length: 2.4, Width: 0.6, Depth: 0.38, Left: tank.Wall{Kind: tank.Glass}, Right: tank.Wall{Kind: tank.Glass},
		Front: tank.Wall{Kind: tank.Glass}, Back: tank.Wall{Kind: tank.Glass}}
	corals = []tank.Place{{X: 0.2, Y: 0.1, Depth: 0.12}, {X: 1.2, Y: 0.3, Depth: 0.3}, {X: 2.3, Y: 0.55, Depth: 0.38}}
)

func bar(t testing.TB, peaks ...spectrum.PeakShare) flux.Lamp {
	s, err := spectrum.Peaks(peaks)
	require.NoError(t, err)
	beam, err := emitter.Beam(math.Pi / 2)
	require.NoError(t, err)
	return flux.Lamp{Spectrum: s, HasSpectrum: true, TotalUmolS: 100, Emitters: []emitter.Emitter{
		{Kind: emitter.Line, From: [2]float64{0.1, 0.2}, To: [2]float64{2.3, 0.2}, Height: 0.24, Light: beam, Share: 1}}}
}

// in is the light at place i of the bins in a band.
func in(s flux.Spectral, i int, b spectrum.Band) (sum float64) {
	for k, nm := range s.NM {
		if nm > b.Lo && nm < b.Hi {
			sum += s.Photons[i][k]
		}
	}
	return sum
}

// PPFD, near UV and far red are sums of the spectrum: the rays are the same.
func TestSpectrumAddsUpToTheBands(t *testing.T) {
	yellow, err := water.Pure().WithOrganics(0.3)
	require.NoError(t, err)
	for name, l := range map[string]flux.Lamp{
		"violet": bar(t, spectrum.PeakShare{NM: 402, FWHM: 14, Share: 1}),
		"white":  bar(t, spectrum.PeakShare{NM: 450, FWHM: 22, Share: 0.3}, spectrum.PeakShare{NM: 570, FWHM: 130, Share: 0.7}),
		"red":    bar(t, spectrum.PeakShare{NM: 690, FWHM: 30, Share: 1}),
	} {
		got, err := flux.Spectrum(l, yellow, glass, corals)
		require.NoError(t, err)
		require.Len(t, got.NM, 86)
		for _, b := range []spectrum.Band{spectrum.NearUV, spectrum.PAR, spectrum.FarRed} {
			source, ok := flux.Source(l, yellow, b)
			if !ok {
				continue
			}
			want, err := glass.At(source, corals)
			require.NoError(t, err)
			for i := range corals {
				assert.InDelta(t, want.PPFD[i], in(got, i, b), 1e-7*want.PPFD[i]+1e-12, "%s, %v, place %d", name, b, i)
			}
		}
	}
}

// Straight below a point lamp, between dark walls, there is one ray, of 0.5 m: each bin
// keeps e^(−a·0.5) of its photons, with a of Pope and Fry (1997): 0.2224 per m at 600 nm.
func TestOneRayLosesByItsOwnAbsorption(t *testing.T) {
	l := bar(t, spectrum.PeakShare{NM: 600, FWHM: 1, Share: 1})
	l.Emitters[0] = emitter.Emitter{At: [2]float64{1, 0.3}, Height: 0.2, Light: l.Emitters[0].Light, Share: 1}
	box := tank.Box{Length: 2, Width: 0.6, Depth: 0.6}
	at := []tank.Place{{X: 1, Y: 0.3, Depth: 0.5}}
	wet, err := flux.Spectrum(l, water.Pure(), box, at)
	require.NoError(t, err)
	clear, err := flux.Spectrum(l, water.Absorption{}, box, at)
	require.NoError(t, err)
	near := spectrum.Band{Lo: 595, Hi: 605}
	assert.InEpsilon(t, math.Exp(-0.2224*0.5), in(wet, 0, near)/in(clear, 0, near), 2e-3)
}

// Red is taken before blue: deeper, the mean wavelength of white light falls.
func TestDeepLightIsBluer(t *testing.T) {
	l := bar(t, spectrum.PeakShare{NM: 450, FWHM: 22, Share: 0.3}, spectrum.PeakShare{NM: 600, FWHM: 130, Share: 0.7})
	box := tank.Box{Length: 2.4, Width: 0.6, Depth: 3}
	got, err := flux.Spectrum(l, water.Pure(), box, []tank.Place{{X: 1.2, Y: 0.2, Depth: 0.1}, {X: 1.2, Y: 0.2, Depth: 3}})
	require.NoError(t, err)
	mean := func(i int) float64 {
		var sum, at float64
		for k, v := range got.Photons[i] {
			sum, at = sum+v, at+v*got.NM[k]
		}
		return at / sum
	}
	assert.Less(t, mean(1), mean(0)-20)
}

// One op is eight corals under twelve channels by 5 nm.
func BenchmarkSpectrum8Corals12Channels5nm(b *testing.B) {
	var lamps []flux.Lamp
	for c := range 12 {
		lamps = append(lamps, bar(b, spectrum.PeakShare{NM: 390 + 25*float64(c), FWHM: 20, Share: 1}))
	}
	var at []tank.Place
	for i := range 8 {
		at = append(at, tank.Place{X: 0.2 + 0.28*float64(i), Y: 0.1 + 0.06*float64(i), Depth: 0.1 + 0.03*float64(i)})
	}
	for b.Loop() {
		for _, l := range lamps {
			if _, err := flux.Spectrum(l, water.Pure(), glass, at); err != nil {
				b.Fatal(err)
			}
		}
	}
}
