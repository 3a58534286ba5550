package light_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/spectrum"
	"dayloom/schedule/light"
)

func in(s light.Spectral, b spectrum.Band) (sum float64) {
	for i, nm := range s.NM {
		if nm > b.Lo && nm < b.Hi {
			sum += s.Photons[i]
		}
	}
	return sum
}

// The light by wavelength sums to the PPFD and to the other bands that have an index of
// their own, and to a part of them within what one index for all makes. A lamp 0.3 m up, a path of
// 0.2 m and of several times that by way of the glass, in clear and in very yellow water.
func TestSpectraSumToThePPFD(t *testing.T) {
	const wide = "spectrum: {peak: 560 nm, width: 300 nm}"
	for _, water := range []string{"0 /m", "0.3 /m", "5 /m"} {
		p := load(t, "coral,lit,ppfd\np,b,3\nq,b,3\n",
			"depth: 40 cm}", "depth: 40 cm, water: {yellowing: "+water+"}, walls: {left: glass, right: glass, front: glass, back: 50 %}}",
			"spectrum: {peak: 450 nm, width: 20 nm}\n    emitters:", wide+"\n    emitters:")
		places := []light.Place{{X: 0.5, Y: 0.25, Depth: 0.2}, {X: 0.1, Y: 0.05, Depth: 0.38}, {X: 0.5, Y: 0.25, Depth: 0}}
		got, err := light.Spectra(p, places)
		require.NoError(t, err)
		for _, b := range []spectrum.Band{spectrum.PAR, {Lo: 400, Hi: 480}, {Lo: 600, Hi: 700}, spectrum.NearUV, spectrum.FarRed} {
			want, err := light.Predict(p, 0, b, places)
			require.NoError(t, err)
			tolerance := 1e-2
			if b == spectrum.PAR || b == spectrum.NearUV || b == spectrum.FarRed {
				tolerance = 1e-6
			}
			for i := range places {
				assert.InEpsilon(t, want[i], in(got[i][0], b), tolerance, "%s of organics, %g-%g nm, place %d", water, b.Lo, b.Hi, i)
			}
		}
	}
}

// A reading makes the light as strong as it says, and leaves its colour.
func TestSpectraFollowReadings(t *testing.T) {
	p := load(t, "coral,lit,ppfd\np,a,80\np,b,3\nq,b,3\n")
	f, problems := light.Survey(p)
	require.False(t, problems.HasErrors(), problems)
	got, err := light.Spectra(p, []light.Place{{X: 0.5, Y: 0.25, Depth: 0.2}})
	require.NoError(t, err)
	for ch, read := range []float64{100, 3.75} { // 80 and 3 times the factor of 1.25
		want := f.Corals[0][ch].PPFD
		assert.InEpsilon(t, read, want, 0.05)
		s := got[0][ch].Toward(f.Corals[0][ch])
		assert.InEpsilon(t, want, in(s, spectrum.PAR), 1e-9)
		assert.InEpsilon(t, in(got[0][ch], spectrum.Band{Lo: 440, Hi: 450})/in(got[0][ch], spectrum.PAR),
			in(s, spectrum.Band{Lo: 440, Hi: 450})/want, 1e-9)
	}
}
