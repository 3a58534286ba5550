package colour

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/photon/spectrum"
)

func peak(t testing.TB, nm, fwhm float64) Light {
	s, err := spectrum.Peak(nm, fwhm)
	require.NoError(t, err)
	return Of(s)
}

// The tabled locus with its parabolas against the locus itself: a point set upright on
// the exact curve comes back at its temperature and distance.
func TestNearestAgainstTheExactLocus(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m := rapid.Float64Range(1, lastMired-1).Draw(t, "mired")
		duv := rapid.Float64Range(-0.05, 0.05).Draw(t, "duv")
		at := func(m float64) uv { return planckUV(mired / m) }
		along := at(m + 1e-3).minus(at(m - 1e-3))
		size := math.Sqrt(along.dot(along))
		p := at(m)
		p = uv{p.u - duv*along.v/size, p.v + duv*along.u/size}
		got, d, end := nearest(p)
		assert.Zero(t, end)
		assert.InDelta(t, m, got, 5e-3)
		assert.InDelta(t, duv, d, 1e-8)
	})
}

func TestWhereThereIsNoTemperature(t *testing.T) {
	for _, c := range []struct {
		light Light
		why   string
	}{
		{peak(t, 455, 22), "no colour temperature; bluer than any"},
		{peak(t, 420, 14), "no colour temperature; bluer than any"},
		{peak(t, 525, 33), "no colour temperature; greener than any"},
		{peak(t, 660, 20), "no colour temperature; redder than 1000 K"},
		{peak(t, 430, 20).Plus(3, peak(t, 660, 20)), "no colour temperature; more purple than any"},
	} {
		xy, ok := c.light.XYZ().Chromaticity()
		require.True(t, ok)
		_, err := xy.Temperature()
		assert.EqualError(t, err, c.why)
		_, err = c.light.Rendering()
		assert.EqualError(t, err, "no reference light: "+c.why)
		_, err = c.light.Fidelity()
		assert.EqualError(t, err, "no reference light: "+c.why)
	}
	hot, _ := OfPower(planck(200_000)).XYZ().Chromaticity()
	_, err := hot.Temperature()
	assert.EqualError(t, err, "no colour temperature; bluer than 100000 K")
	_, err = planckUV(105_000).chromaticity().Temperature()
	assert.EqualError(t, err, "no colour temperature; bluer than 100000 K")
	blue, err := planckUV(95_000).chromaticity().Temperature()
	assert.NoError(t, err)
	assert.InEpsilon(t, 95_000, blue.K, 1e-3)
	for _, c := range []Chromaticity{{math.NaN(), 0.3}, {math.Inf(1), 0.3}, {}} {
		_, err := c.Temperature()
		assert.Error(t, err)
	}
}

func TestBeyondDaylight(t *testing.T) {
	blue := OfPower(daylight(24_900))
	xy, _ := blue.XYZ().Chromaticity()
	near, err := xy.Temperature()
	require.NoError(t, err)
	_, err = OfPower(planck(30_000)).Rendering()
	assert.EqualError(t, err, "no reference light: 30000 K is bluer than daylight, which ends at 25000 K")
	if near.K < hottestReference {
		_, err = blue.Rendering()
		assert.NoError(t, err)
	}
}

// FL5 and FL6 lie farther from their reference than the method allows: their indices are
// published all the same, and told to be beyond it.
func TestValidity(t *testing.T) {
	for name, want := range map[string]bool{"FL1": true, "FL2": true, "FL5": false, "FL6": false, "A": true, "D65": true} {
		r, err := illuminant(t, name).Rendering()
		require.NoError(t, err)
		assert.Equal(t, want, r.Valid(), "%s %g", name, r.ReferenceDistance)
	}
}

func TestDark(t *testing.T) {
	var l Light
	_, ok := l.XYZ().Chromaticity()
	assert.False(t, ok)
	assert.Equal(t, Swatch{InGamut: true}, l.XYZ().Swatch())
	_, err := l.Rendering()
	assert.EqualError(t, err, "no light: the dark has no colour")
	_, err = l.Fidelity()
	assert.EqualError(t, err, "no light: the dark has no colour")
	assert.Equal(t, l, OfPhotons([]float64{379.9, 780.1, math.NaN()}, []float64{1, 1, 1}), "out of sight")
}

// Photons keep their number and mean wavelength when they go to the grid, and luminance
// is that of the package spectrum, whose V is the same curve as ȳ.
func TestPhotonsOnTheGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		nm := rapid.SliceOfN(rapid.Float64Range(380, 780), 1, 20).Draw(t, "nm")
		photons := make([]float64, len(nm))
		var sum, moment float64
		for i := range nm {
			photons[i] = rapid.Float64Range(0, 100).Draw(t, "photons")
			sum, moment = sum+photons[i], moment+photons[i]*nm[i]
		}
		var gotSum, gotMoment float64
		for k, v := range OfPhotons(nm, photons) {
			gotSum, gotMoment = gotSum+v, gotMoment+v*wavelength(k)
		}
		assert.InDelta(t, sum, gotSum, 1e-9*(1+sum))
		assert.InDelta(t, moment, gotMoment, 1e-9*(1+moment))
	})
	for _, nm := range []float64{450, 525, 590, 660} {
		s, err := spectrum.Peak(nm, 20)
		require.NoError(t, err)
		lux := 683.002 * Of(s).XYZ().Y / s.PhotonShare(spectrum.PAR, spectrum.Total)
		assert.InEpsilon(t, s.LuxPerUmol(), lux, 1e-3, "%g nm", nm)
	}
}

// A Gaussian through the grid against 5 nm sums of it, by another program.
func TestNarrowLights(t *testing.T) {
	f := published(t, "srgb-swatch-checks.csv", 12)
	for name, w := range map[string][2]float64{"gauss 455/22 nm": {455, 22}, "gauss 525/33 nm": {525, 33}, "gauss 470/25 nm": {470, 25}} {
		for _, row := range f.rows {
			if row[0] != name {
				continue
			}
			want, _ := XYZ{f.must(row, "X"), f.must(row, "Y"), f.must(row, "Z")}.Chromaticity()
			got, _ := peak(t, w[0], w[1]).XYZ().Chromaticity()
			assert.Less(t, got.Distance(want), 0.003, name)
		}
	}
}

// XYZ adds like light, so a day may be mixed from its channels' XYZ.
func TestMixing(t *testing.T) {
	a, b := illuminant(t, "FL2"), peak(t, 455, 22)
	mix, sum := a.Plus(0.7, b).XYZ(), a.XYZ().Plus(0.7, b.XYZ())
	assert.InEpsilon(t, mix.X, sum.X, 1e-12)
	assert.InEpsilon(t, mix.Y, sum.Y, 1e-12)
	assert.InEpsilon(t, mix.Z, sum.Z, 1e-12)
}

// Out of gamut, the swatch's chromaticity lies on the line from the light to white: the
// dominant wavelength stays. In gamut, the swatch has the light's own colour.
func TestSwatchKeepsTheDominantWavelength(t *testing.T) {
	white := Chromaticity{0.3127, 0.3290} // D65 (CIE 15)
	back := inverse(toSRGB)
	decode := func(v uint8) float64 {
		if x := float64(v) / 255; x > 0.04045 {
			return math.Pow((x+0.055)/1.055, 2.4)
		} else {
			return x / 12.92
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		s, err := spectrum.Peaks([]spectrum.PeakShare{
			{NM: rapid.Float64Range(400, 680).Draw(t, "nm"), FWHM: rapid.Float64Range(8, 80).Draw(t, "width"), Share: 1},
			{NM: 560, FWHM: 180, Share: rapid.Float64Range(0.01, 3).Draw(t, "white")}})
		require.NoError(t, err)
		c := Of(s).XYZ()
		xy, _ := c.Chromaticity()
		sw := c.Swatch()
		assert.Equal(t, uint8(255), max(sw.R, sw.G, sw.B))
		rgb := times(back, XYZ{decode(sw.R), decode(sw.G), decode(sw.B)})
		got, _ := XYZ{rgb[0], rgb[1], rgb[2]}.Chromaticity()
		if sw.InGamut {
			assert.InDelta(t, xy.X, got.X, 0.004)
			assert.InDelta(t, xy.Y, got.Y, 0.004)
			return
		}
		assert.Zero(t, min(sw.R, sw.G, sw.B))
		across := (xy.X-white.X)*(got.Y-white.Y) - (xy.Y-white.Y)*(got.X-white.X)
		assert.InDelta(t, 0, across/math.Hypot(xy.X-white.X, xy.Y-white.Y), 0.004)
	})
}

// Eight corals, twelve channels, a moment every 5 min: chromaticity, temperature and swatch.
func BenchmarkDayOf8CoralsEvery5Minutes(b *testing.B) {
	var channels [8][12]XYZ
	for i := range channels {
		for c := range channels[i] {
			channels[i][c] = peak(b, 400+20*float64(c), 20+float64(i)).XYZ()
		}
	}
	found := 0
	for b.Loop() {
		for i := range channels {
			for moment := range 288 {
				var mix XYZ
				for c, one := range channels[i] {
					mix = mix.Plus(1+float64(c*moment%7), one)
				}
				xy, _ := mix.Chromaticity()
				if _, err := xy.Temperature(); err == nil {
					found++
				}
				mix.Swatch()
			}
		}
	}
	if found == 0 {
		b.Fatal("no mix had a colour temperature")
	}
}

func BenchmarkRendering(b *testing.B) {
	l := illuminant(b, "LED-B3")
	for b.Loop() {
		_, _ = l.Rendering()
	}
}

func BenchmarkFidelity(b *testing.B) {
	l := illuminant(b, "LED-B3")
	for b.Loop() {
		_, _ = l.Fidelity()
	}
}
