package emitter_test

import (
	"math"
	"testing"

	"dayloom/photon/emitter"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

func beam(t require.TestingT, full float64) emitter.Distribution {
	d, err := emitter.Beam(full * deg)
	require.NoError(t, err)
	return d
}

// Source: the cosine-power law as in testdata/published/line-and-point-sources.csv:
// 120° m = 1, 90° m = 2, 60° m = 4.8188417; on-axis intensity (m+1)/2π.
func TestBeamExponent(t *testing.T) {
	for full, m := range map[float64]float64{120: 1, 90: 2, 60: 4.8188417} {
		require.InEpsilon(t, (m+1)/(2*math.Pi), beam(t, full).PerSteradian(0, 0), 1e-8)
	}
}

// Half the intensity at half the angle, and one flux over the whole sphere:
// both are what the words beam and flux mean.
func TestBeamHalvesAndConserves(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		full := rapid.Float64Range(2, 179).Draw(t, "beam")
		b := beam(t, full)
		require.InEpsilon(t, b.PerSteradian(0, 0)/2, b.PerSteradian(full/2*deg, 1), 1e-9)
		var sum float64
		const steps = 4000
		for i := range steps {
			g := (float64(i) + 0.5) / steps * b.MaxGamma()
			sum += b.PerSteradian(g, 0) * 2 * math.Pi * math.Sin(g) * b.MaxGamma() / steps
		}
		require.InDelta(t, 1, sum, 2e-3)
		require.Zero(t, b.PerSteradian(2, 0), "no light behind the lamp")
	})
}

func TestBeamRefusesWhatCannotBe(t *testing.T) {
	for _, full := range []float64{0, -10, 180, 270, math.NaN(), math.Inf(1), 1e-12} {
		_, err := emitter.Beam(full * deg)
		require.ErrorContains(t, err, "more than 0 deg and less than 180 deg")
	}
}

// compass shines at one azimuth only, to see where φ points.
type compass struct{ phi float64 }

func (c compass) PerSteradian(gamma, phi float64) float64 {
	if math.Abs(phi-c.phi) < 1e-6 {
		return 1 + gamma
	}
	return 0
}
func (compass) Axial() bool       { return false }
func (compass) MaxGamma() float64 { return math.Pi }

func unit(x, y, z float64) emitter.Vec {
	r := math.Sqrt(x*x + y*y + z*z)
	return emitter.Vec{x / r, y / r, z / r}
}

func TestWhereAzimuthPoints(t *testing.T) {
	for _, c := range []struct {
		name    string
		e       emitter.Emitter
		phi     float64 // degrees
		dir     emitter.Vec
		towards float64 // γ in degrees
	}{
		{"down, 0 is right", emitter.Emitter{}, 0, unit(1, 0, -1), 45},
		{"down, 90 is back", emitter.Emitter{}, 90, unit(0, 1, -1), 45},
		{"down, 180 is left", emitter.Emitter{}, 180, unit(-1, 0, -1), 45},
		{"turned by 90", emitter.Emitter{Turn: 90 * deg}, 0, unit(0, 1, -1), 45},
		{"aimed right, 0 is carried up", emitter.Emitter{Axis: emitter.Vec{3, 0, 0}}, 0, unit(1, 0, 1), 45},
		{"aimed right, 90 stays back", emitter.Emitter{Axis: emitter.Vec{3, 0, 0}}, 90, unit(1, 1, 0), 45},
		{"aimed back, 90 is carried up", emitter.Emitter{Axis: emitter.Vec{0, 1, 0}}, 90, unit(0, 1, 1), 45},
		{"aimed up, 90 stays back", emitter.Emitter{Axis: emitter.Vec{0, 0, 1}}, 90, unit(0, 1, 1), 45},
	} {
		c.e.Light = compass{c.phi * deg}
		require.InDelta(t, 1+c.towards*deg, c.e.Toward()(c.dir), 1e-9, c.name)
	}
}

// What is read from a table is the power of the cosine, for beams of every width and aim.
func TestQuickIsToward(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		at := func() emitter.Vec {
			f := rapid.Float64Range(-1, 1)
			return unit(f.Draw(t, "x"), f.Draw(t, "y"), f.Draw(t, "z")-1.01)
		}
		e := emitter.Emitter{Light: beam(t, rapid.Float64Range(3, 175).Draw(t, "beam")), Axis: at()}
		dir, most := at(), e.Toward()(e.Axis)
		if want := e.Toward()(dir); want > 1e-3*most {
			require.InEpsilon(t, want, e.Quick()(dir), 1e-4)
		} else {
			require.InDelta(t, want, e.Quick()(dir), 1e-5*most)
		}
	})
}

// A tilted beam has its full intensity along the aim and half of it at half
// the angle to any side.
func TestTiltedBeam(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		z := rapid.Float64Range(-1, 1).Draw(t, "z")
		az := rapid.Float64Range(-math.Pi, math.Pi).Draw(t, "azimuth")
		s := math.Sqrt(1 - z*z)
		a := emitter.Vec{s * math.Cos(az), s * math.Sin(az), z}
		e := emitter.Emitter{Light: beam(t, 60), Axis: emitter.Vec{2 * a[0], 2 * a[1], 2 * a[2]}}
		peak := 5.8188417 / (2 * math.Pi)
		require.InEpsilon(t, peak, e.Toward()(a), 1e-8)
		side := unit(-a[1]+1e-9, a[0], 0) // level, at right angles to the aim
		off := emitter.Vec{}
		for i := range off {
			off[i] = a[i]*math.Cos(30*deg) + side[i]*math.Sin(30*deg)
		}
		require.InEpsilon(t, peak/2, e.Toward()(off), 1e-6)
	})
}

// Splitting conserves the flux, keeps the centre and covers the body.
func TestSamplesConserve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-2, 2)
		e := emitter.Emitter{
			Kind: emitter.Kind(rapid.IntRange(0, 2).Draw(t, "kind")),
			From: [2]float64{number.Draw(t, "x0"), number.Draw(t, "y0")}, To: [2]float64{number.Draw(t, "x1"), number.Draw(t, "y1")},
			Size:   [2]float64{rapid.Float64Range(0.01, 1).Draw(t, "sx"), rapid.Float64Range(0.01, 1).Draw(t, "sy")},
			Height: 0.3, Share: rapid.Float64Range(0, 1).Draw(t, "share"),
		}
		e.At = [2]float64{(e.From[0] + e.To[0]) / 2, (e.From[1] + e.To[1]) / 2}
		spacing := rapid.Float64Range(0.01, 1).Draw(t, "spacing")
		var share, x, y, extent float64
		samples := e.Samples(spacing)
		for _, s := range samples {
			share += s.Share
			x += s.At[0] / float64(len(samples))
			y += s.At[1] / float64(len(samples))
			hx, hy := s.Half()
			extent += 4 * hx * hy
			require.LessOrEqual(t, math.Max(hx, hy), spacing/2*(1+1e-9))
			require.Equal(t, e.Height, s.At[2])
		}
		require.InDelta(t, e.Share, share, 1e-12)
		require.InDelta(t, e.At[0], x, 1e-9)
		require.InDelta(t, e.At[1], y, 1e-9)
		if e.Kind == emitter.Panel {
			require.InEpsilon(t, e.Size[0]*e.Size[1], extent, 1e-9)
		}
	})
}

func TestSampleCounts(t *testing.T) {
	line := emitter.Emitter{Kind: emitter.Line, From: [2]float64{0, 0}, To: [2]float64{1, 0}, Height: .2, Share: 1}
	require.Len(t, line.Samples(0.1), 10, "rounding must not add an eleventh")
	require.Len(t, line.Samples(0), 1)
	require.Len(t, line.Samples(5), 1)
	panel := emitter.Emitter{Kind: emitter.Panel, Size: [2]float64{.12, .08}, Height: .2, Share: 1}
	require.Len(t, panel.Samples(0.04), 6)
}

func TestValidate(t *testing.T) {
	good := emitter.Emitter{Height: 0.3, Share: 1, Light: beam(t, 90)}
	require.NoError(t, good.Validate())
	for want, spoil := range map[string]func(*emitter.Emitter){
		"above the water":       func(e *emitter.Emitter) { e.Height = 0 },
		"from 0 to 1":           func(e *emitter.Emitter) { e.Share = 1.5 },
		"finite":                func(e *emitter.Emitter) { e.At[0] = math.NaN() },
		"no light distribution": func(e *emitter.Emitter) { e.Light = nil },
		"point, a line":         func(e *emitter.Emitter) { e.Kind = 9 },
		"same place":            func(e *emitter.Emitter) { e.Kind = emitter.Line },
		"both sides":            func(e *emitter.Emitter) { e.Kind = emitter.Panel },
	} {
		e := good
		spoil(&e)
		require.ErrorContains(t, e.Validate(), want)
	}
}

// A line from 0.2 m up to 0.5 m, in three parts: heights 0.25, 0.35, 0.45; its length is
// √(0.4² + 0.3²) = 0.5 m.
func TestSlopingLine(t *testing.T) {
	e := emitter.Emitter{Kind: emitter.Line, To: [2]float64{0.4, 0}, Height: 0.2, Rise: 0.3, Share: 1}
	require.InDelta(t, 0.5, e.Extent(), 1e-12)
	s := e.Samples(0.17)
	require.Len(t, s, 3)
	for i, want := range []float64{0.25, 0.35, 0.45} {
		require.InDelta(t, want, s[i].At[2], 1e-12)
		require.InDelta(t, 0.4*(float64(i)+0.5)/3, s[i].At[0], 1e-12)
	}
}

// A panel of 0.4 × 0.1 m turned by 30°, in two parts: their middles lie 0.1 m to either
// side along (cos 30°, sin 30°), and each spans 0.1 m along that and 0.05 m across.
func TestTurnedPanel(t *testing.T) {
	e := emitter.Emitter{Kind: emitter.Panel, At: [2]float64{1, 2}, Size: [2]float64{0.4, 0.1}, Turn: math.Pi / 6, Height: 0.3, Share: 1}
	s := e.Samples(0.2)
	require.Len(t, s, 2)
	c, n := math.Cos(math.Pi/6), math.Sin(math.Pi/6)
	require.InDeltaSlice(t, []float64{1 + 0.1*c, 2 + 0.1*n, 0.3}, s[1].At[:], 1e-12)
	require.InDeltaSlice(t, []float64{0.1 * c, 0.1 * n}, s[1].Span[0][:], 1e-12)
	require.InDeltaSlice(t, []float64{-0.05 * n, 0.05 * c}, s[1].Span[1][:], 1e-12)
	x, y := s[1].Half()
	require.InDelta(t, 0.1*c+0.05*n, x, 1e-12)
	require.InDelta(t, 0.1*n+0.05*c, y, 1e-12)
}

// An aim as short as numbers hold still points somewhere; one without length is refused.
func TestAimsOfAnyLength(t *testing.T) {
	e := emitter.Emitter{Height: 0.3, Share: 1, Light: lambertian(t), Axis: emitter.Vec{0, 0, -1.0 / 4096}}
	require.NoError(t, e.Validate())
	require.True(t, e.PointsDown())
	for _, axis := range []emitter.Vec{{0, 0, -1e-300}, {1e-200, 0, -1e-200}} {
		e.Axis = axis
		require.ErrorContains(t, e.Validate(), "the aim has the length")
		require.False(t, math.IsNaN(e.Toward()(emitter.Vec{0, 0, -1})))
	}
}

func lambertian(t *testing.T) emitter.Distribution {
	d, err := emitter.Beam(2 * math.Pi / 3)
	require.NoError(t, err)
	return d
}

// A panel of 2 × 1 m, a quarter turned, by hand; what rises and what is a point is where it is.
func TestAbove(t *testing.T) {
	near := func(want, got [][2]float64) {
		t.Helper()
		require.Len(t, got, len(want))
		for i := range want {
			require.InDeltaSlice(t, want[i][:], got[i][:], 1e-12)
		}
	}
	near([][2]float64{{3.5, 3}, {3.5, 5}, {2.5, 5}, {2.5, 3}}, emitter.Emitter{Kind: emitter.Panel, At: [2]float64{3, 4}, Size: [2]float64{2, 1}, Turn: math.Pi / 2}.Above())
	near([][2]float64{{1, 2}, {3, 4}}, emitter.Emitter{Kind: emitter.Line, From: [2]float64{1, 2}, To: [2]float64{3, 4}, Rise: 1}.Above())
	near([][2]float64{{1, 2}}, emitter.Emitter{Kind: emitter.Point, At: [2]float64{1, 2}}.Above())
}
