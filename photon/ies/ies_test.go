package ies

import (
	"bytes"
	"errors"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"testing/iotest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

const deg = math.Pi / 180

// samples are photometric files in testdata/published: three made of known
// light, and the listing of an office luminaire carried with a rendering
// system's licence beside it. Figures in lm, worked out independently of this
// project's code: by zones, and of the straight lines between the angles.
var samples = []struct {
	name          string
	zonal, linear float64
	axial         bool
	maxGamma      float64 // deg, read off the file
}{
	{"ies-lambertian", 1000.000, 999.365, true, 90},
	{"ies-quadrant", 1000.000, 999.841, false, 90},
	{"ies-full-turn", 903.425, 901.712, false, 90},
	{"ies-sample-office-luminaire", 5297.39, 5296.65, false, 180},
}

func sampleText(t testing.TB, name string) []byte {
	text, err := os.ReadFile("../../testdata/published/" + name + ".ies")
	require.NoError(t, err)
	return text
}

func sample(t testing.TB, name string) *Photometry {
	p, err := Read(bytes.NewReader(sampleText(t, name)))
	require.NoError(t, err)
	return p
}

// sphere integrates the share of flux between two angles by a fine midpoint sum.
func sphere(p *Photometry, from, to float64) (sum float64) {
	const n, m = 1440, 720
	for i := range n {
		gamma := from + (to-from)*(float64(i)+0.5)/n
		for k := range m {
			phi := 2 * math.Pi * (float64(k) + 0.5) / m
			sum += p.PerSteradian(gamma, phi) * math.Sin(gamma) * (to - from) / n * 2 * math.Pi / m
		}
	}
	return sum
}

func TestFluxOfTheSamples(t *testing.T) {
	for _, s := range samples {
		p := sample(t, s.name)
		assert.InDelta(t, s.zonal, p.Lumens(), 0.01, s.name)
		assert.InEpsilon(t, s.linear, p.Lumens(), 0.005, "%s: between rules", s.name)
		assert.Equal(t, s.axial, p.Axial(), s.name)
		assert.InDelta(t, s.maxGamma*deg, p.MaxGamma(), 1e-12, s.name)
		assert.InDelta(t, 1, sphere(p, 0, math.Pi), 1e-5, s.name)
	}
}

// The listed candela over the flux of the straight lines, read off the files.
func TestIntensityOfTheSamples(t *testing.T) {
	for _, c := range []struct {
		name            string
		gamma, phi, cd  float64
		lm, withFactors float64
	}{
		{"ies-lambertian", 0, 17, 318.310, 999.365, 1},
		{"ies-quadrant", 0, 0, 477.4648, 999.841, 1},
		{"ies-quadrant", 2.5, 180, 477.0104, 999.841, 1},
		{"ies-quadrant", 2.5, 22.5, 430.4394, 999.841, 1},
		{"ies-quadrant", 2.5, 157.5, 430.4394, 999.841, 1},
		{"ies-quadrant", 2.5, -22.5, 430.4394, 999.841, 1},
		{"ies-full-turn", 5, 0, 409.0969, 901.712, 1.8},
		{"ies-full-turn", 5, 45, 381.4457, 901.712, 1.8},
		{"ies-full-turn", 5, 22.5, (409.0969 + 381.4457) / 2, 901.712, 1.8},
		{"ies-full-turn", 5, 360 + 315, 381.4457, 901.712, 1.8},
		{"ies-full-turn", 10, 180, 212.8152, 901.712, 1.8},
		{"ies-full-turn", 120, 0, 0, 901.712, 1.8},
		{"ies-sample-office-luminaire", 25, 90, 1065.2, 5296.65, 1},
		{"ies-sample-office-luminaire", 25, 270, 1065.2, 5296.65, 1},
		{"ies-sample-office-luminaire", 180, 33, 801.4, 5296.65, 1},
	} {
		want := c.cd * c.withFactors / c.lm
		assert.InDelta(t, want, sample(t, c.name).PerSteradian(c.gamma*deg, c.phi*deg), 2e-6*want+1e-12, "%s %g %g", c.name, c.gamma, c.phi)
	}
	// Known light: 1/π cos γ; (2/π) cos³ γ (1 + 0.3 cos φ).
	lambert, lean := sample(t, "ies-lambertian"), sample(t, "ies-full-turn")
	assert.InEpsilon(t, math.Cos(33*deg)/math.Pi, lambert.PerSteradian(33*deg, 1), 0.003)
	assert.InEpsilon(t, 2/math.Pi*math.Pow(math.Cos(33*deg), 3)*(1+0.3*math.Cos(30*deg)), lean.PerSteradian(33*deg, 30*deg), 0.02)
	assert.Zero(t, lambert.PerSteradian(91*deg, 0))
}

// The office sample: 1631.3 lm of its light goes below the level, by zones.
func TestUpAndDownLight(t *testing.T) {
	p := sample(t, "ies-sample-office-luminaire")
	assert.InEpsilon(t, 1631.3/5297.39, sphere(p, 0, math.Pi/2), 0.005)
	o := p.Opening() // .85 by 4.04 by .292 ft
	assert.InDelta(t, 0.85*0.3048, o.Width, 1e-12)
	assert.InDelta(t, 4.04*0.3048, o.Length, 1e-12)
	assert.InDelta(t, 0.292*0.3048, o.Height, 1e-12)
	assert.False(t, o.Round)
}

// file writes a photometric file of one lamp.
func file(edition, numbers string) string { return edition + "\n[TEST] x\nTILT=NONE\n" + numbers }

func TestEditionsAndLayout(t *testing.T) {
	want, err := Read(strings.NewReader(file("IESNA:LM-63-2002", "1 -1 1 2 1 1 2 -0.1 -0.1 0\n1 1 10\n0 90\n0\n7 0\n")))
	require.NoError(t, err)
	assert.Equal(t, Opening{0.1, 0.1, 0, true}, want.Opening())
	for _, text := range []string{
		file("IESNA91", "1,-1,1,2,1,1,2,-.1,-.1,0\r\n1,1,10\r\n0,90\r\n0\r\n7,0\r\n"),
		file("IESNA:LM-63-1995", "1 -1 1 2\n1 1 2 -0.1\n-0.1 0 1\n1 10 0 90 0 7 0"),
		file("IESNA95", "1 1000 2 2 1 1 2 -0.1 -0.1 0 0.5 1 10 0 90 0 7.0E0 0\n\n\x1a"),
		file("IES:LM-63-2019", "1 -1 1 2 1 1 2 -0.1 -0.1 0\n1 1.10010 10\n0 90\n0\n7 0\n"),
		"a lamp of 1986\nTILT = none\n1 -1 1 2 1 1 2 -0.1 -0.1 0\n1 1 10\n0 90\n0\n7 0\n",
	} {
		p, err := Read(strings.NewReader(text))
		require.NoError(t, err, text)
		assert.Equal(t, want, p, text)
	}
}

func TestSymmetries(t *testing.T) {
	for _, c := range []struct {
		list   string
		n      int
		values string    // the intensity at the horizon of each plane
		same   []float64 // azimuths in degrees that give the first plane's light
		other  []float64 // and the last plane's
	}{
		{"0 90", 2, "0 1 0 2", []float64{0, 180, 360, -180}, []float64{90, 270, -90}},
		{"0 180", 2, "0 1 0 2", []float64{0, 360}, []float64{180, -180, 540}},
		{"90 270", 2, "0 1 0 2", []float64{90, -270}, []float64{270, -90}},
		{"0 180 360", 3, "0 1 0 3 0 1", []float64{0, 360, 720}, []float64{0}},
	} {
		p, err := Read(strings.NewReader(file("IESNA91", fmt.Sprintf("1 -1 1 2 %d 1 2 0 0 0 1 1 10\n0 90\n%s\n%s", c.n, c.list, c.values))))
		require.NoError(t, err)
		first := p.PerSteradian(math.Pi/2, c.same[0]*deg)
		last := p.PerSteradian(math.Pi/2, c.other[0]*deg)
		for _, phi := range c.same {
			assert.InEpsilon(t, first, p.PerSteradian(math.Pi/2, phi*deg), 1e-12, "%s at %g", c.list, phi)
		}
		for _, phi := range c.other {
			assert.InEpsilon(t, last, p.PerSteradian(math.Pi/2, phi*deg), 1e-12, "%s at %g", c.list, phi)
		}
		if c.n == 2 {
			assert.InEpsilon(t, 2, last/first, 1e-12)
		}
		assert.InDelta(t, 1, sphere(p, 0, math.Pi), 1e-5, c.list)
	}
	// 90-270: 0° and 180° are mirror images, half way between the planes.
	p, err := Read(strings.NewReader(file("IESNA91", "1 -1 1 2 3 1 2 0 0 0 1 1 10\n0 90\n90 180 270\n0 1 0 5 0 2")))
	require.NoError(t, err)
	for _, phi := range []float64{30, 300} {
		assert.InEpsilon(t, p.PerSteradian(1, (180-phi)*deg), p.PerSteradian(1, phi*deg), 1e-12)
	}
	assert.InEpsilon(t, 5, p.PerSteradian(math.Pi/2, 0)/p.PerSteradian(math.Pi/2, math.Pi/2), 1e-12)
}

// ∫ sin γ (1 − 2γ/π) over the hemisphere is 1 − 2/π, by hand.
func TestStraightLineByHand(t *testing.T) {
	p, err := Read(strings.NewReader(file("IESNA91", "1 -1 1 2 1 1 2 0 0 0 1 1 10 0 90 0 100 0")))
	require.NoError(t, err)
	assert.InEpsilon(t, 1/(2*math.Pi*(1-2/math.Pi)), p.PerSteradian(0, 0), 1e-12)
	assert.InEpsilon(t, 0.5/(2*math.Pi*(1-2/math.Pi)), p.PerSteradian(math.Pi/4, 3), 1e-12)
	narrow := linearFlux([]float64{0, 1e-5}, []float64{3, 0}) // a cone: π d² I/3
	assert.InEpsilon(t, math.Pi*1e-10, narrow, 1e-6)
}

func TestRefusals(t *testing.T) {
	good := "1 -1 1 2 1 1 2 0 0 0\n1 1 10\n0 90\n0\n7 0\n"
	for _, c := range []struct {
		text, want string
		line       int
	}{
		{"", "no line TILT=NONE", 1},
		{"IESNA91\n[TEST]\n", "no line TILT=NONE", 2},
		{"IESNA91\nTILT=INCLUDE\n1\n", "only TILT=NONE is read", 2},
		{"IESNA91\nTILT=lamp.tlt\n", "TILT=LAMP.TLT", 2},
		{file("IESNA91", strings.Replace(good, "2 1 1 2", "2 1 2 2", 1)), "type B photometry", 4},
		{file("IESNA91", strings.Replace(good, "2 1 1 2", "2 1 3 2", 1)), "type A photometry", 4},
		{file("IESNA91", strings.Replace(good, "2 1 1 2", "2 1 1 3", 1)), "unit of size", 4},
		{file("IESNA91", strings.Replace(good, "1 2 1 1", "1 900000000 1 1", 1)), "number of vertical angles 9e+08", 4},
		{file("IESNA91", strings.Replace(good, "1 2 1 1", "1 2 2.5 1", 1)), "whole number", 4},
		{file("IESNA91", strings.Replace(good, "0 90", "0 80", 1)), "vertical angles from 0 to 80", 6},
		{file("IESNA91", strings.Replace(good, "0 90", "90 0", 1)), "vertical angle 0 after 90: they must rise", 6},
		{file("IESNA91", strings.Replace(good, "\n0\n", "\n45\n", 1)), "horizontal angles from 45 to 45", 7},
		{file("IESNA91", strings.Replace(good, "7 0", "-7 0", 1)), "between 0 and 1e9", 8},
		{file("IESNA91", strings.Replace(good, "7 0", "NaN 0", 1)), `"NaN" is not a number`, 8},
		{file("IESNA91", strings.Replace(good, "7 0", "Inf 0", 1)), `"Inf" is not a number`, 8},
		{file("IESNA91", strings.Replace(good, "7 0", "0x7 0", 1)), `"0x7" is not a number`, 8},
		{file("IESNA91", strings.Replace(good, "7 0", "1e400 0", 1)), "is not a number", 8},
		{file("IESNA91", strings.Replace(good, "7 0", "0 0", 1)), "gives no light", 8},
		{file("IESNA91", strings.Replace(good, "7 0", "7", 1)), "the file ends where the candela value should be", 8},
		{file("IESNA91", strings.Replace(good, "7 0", "7 0 8", 1)), `"8" after the last candela value`, 8},
		{file("IESNA91", good+"[END] of file\n"), `"[END]" after the last candela value`, 9},
		{file("IESNA91", "1 -2"), "lumens of a lamp -2", 4},
		{"IESNA91\n" + strings.Repeat("x", 2<<20), "too long", 2},
	} {
		_, err := Read(strings.NewReader(c.text))
		var fault *FileError
		require.ErrorAs(t, err, &fault, c.want)
		assert.ErrorContains(t, err, c.want)
		assert.Equal(t, c.line, fault.Line, c.want)
	}
	broken := errors.New("the disk is gone")
	_, err := Read(iotest.ErrReader(broken))
	assert.ErrorIs(t, err, broken)
}

// A file of any light: the straight lines' flux is 1, whatever the angles.
func TestAnyLightSumsToOne(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		h := rapid.SampledFrom([]string{"0", "0 30 90", "0 100 180", "90 100 270", "0 10 200 360"}).Draw(t, "horizontal")
		v := "0"
		n, a := 2, 0.0
		for range rapid.IntRange(0, 6).Draw(t, "more") {
			if a += rapid.Float64Range(0.5, 40).Draw(t, "step"); a < 179 {
				v, n = v+fmt.Sprintf(" %g", a), n+1
			}
		}
		planes := len(strings.Fields(h))
		text := fmt.Sprintf("1 -1 1 %d %d 1 2 0 0 0 1 1 10\n%s 180\n%s\n", n, planes, v, h)
		for i := range n * planes {
			text += fmt.Sprintf("%g ", rapid.Float64Range(0.01, 100).Draw(t, fmt.Sprint(i)))
		}
		p, err := Read(strings.NewReader(file("IESNA91", text)))
		require.NoError(t, err)
		var sum float64
		const parts, turns = 100, 72 // 5°: no listed plane falls within a step
		for i := 1; i < len(p.gamma.at); i++ {
			from, step := p.gamma.at[i-1], (p.gamma.at[i]-p.gamma.at[i-1])/parts
			for j := range parts * turns {
				gamma := from + step*(float64(j/turns)+0.5)
				phi := 2 * math.Pi * (float64(j%turns) + 0.5) / turns
				sum += p.PerSteradian(gamma, phi) * math.Sin(gamma) * step * 2 * math.Pi / turns
			}
		}
		assert.InDelta(t, 1, sum, 1e-4)
	})
}

// FuzzRead: what is read is refused with a line, or is light that is finite,
// not negative, and of a flux above zero.
func FuzzRead(f *testing.F) {
	for _, s := range samples {
		f.Add(sampleText(f, s.name))
	}
	f.Add([]byte(file("IESNA91", "1 -1 1 2 3 1 1 0 0 0 1 1 1\n90 180\n90 180 270\n1 2 3 4 5 6")))
	f.Add([]byte(file("", "1 1 1e9 2000 2000 1 1 0 0 0 1 1 1")))
	f.Fuzz(func(t *testing.T, text []byte) {
		p, err := Read(bytes.NewReader(text))
		if err != nil {
			var fault *FileError
			require.ErrorAs(t, err, &fault)
			require.Less(t, len(fault.Problem), 300)
			return
		}
		require.False(t, math.IsNaN(p.Lumens()) || math.IsInf(p.Lumens(), 0) || p.Lumens() < 0)
		for g := 0.0; g <= 180; g += 7.5 {
			for h := -90.0; h < 720; h += 22.5 {
				v := p.PerSteradian(g*deg, h*deg)
				require.False(t, math.IsNaN(v) || math.IsInf(v, 0) || v < 0, "%g at %g, %g", v, g, h)
			}
		}
	})
}

func BenchmarkPerSteradianQuadrant(b *testing.B) {
	p := sample(b, "ies-quadrant")
	for b.Loop() {
		p.PerSteradian(0.7, 2.1)
	}
}

func BenchmarkPerSteradianAxial(b *testing.B) {
	p := sample(b, "ies-lambertian")
	for b.Loop() {
		p.PerSteradian(0.7, 2.1)
	}
}

func BenchmarkReadOffice73x5(b *testing.B) {
	text := sampleText(b, "ies-sample-office-luminaire")
	for b.Loop() {
		_, _ = Read(bytes.NewReader(text))
	}
}
