package main

import (
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/dimmer"
	"dayloom/photon/emitter"
	"dayloom/photon/ies"
	"dayloom/photon/ray"
	"dayloom/photon/spectrum"
	"dayloom/photon/tank"
	"dayloom/photon/water"
	"dayloom/schedule/shape/curve"
	"dayloom/schedule/shape/sky"
)

// published is one figure that somebody else printed, and ours.
type published struct {
	what   string
	value  float64
	within float64 // relative, or absolute when abs is set
	abs    bool
	source string
	got    func(t *testing.T) float64
}

// TestPublishedTable computes every published check through the exported API and
// holds it to its source; the table in DEVELOPERS.md is this list, rewritten by
// `go test ./cmd/dayloom -run PublishedTable -update`. Fuller tests stand beside
// each package.
func TestPublishedTable(t *testing.T) {
	var b strings.Builder
	b.WriteString("| check | value | got | source |\n| --- | --- | --- | --- |\n")
	for _, c := range append(checks(), colourChecks()...) {
		got := c.got(t)
		if c.abs {
			assert.InDelta(t, c.value, got, c.within, c.what)
		} else {
			assert.InEpsilon(t, c.value, got, c.within, c.what)
		}
		fmt.Fprintf(&b, "| %s | %.6g | %.6g | %s |\n", c.what, c.value, got, c.source)
	}
	const file, open, end = "../../DEVELOPERS.md", "<!-- checks -->\n", "<!-- /checks -->"
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	before, rest, ok := strings.Cut(string(text), open)
	require.True(t, ok, "DEVELOPERS.md has no place for the table")
	old, after, ok := strings.Cut(rest, end)
	require.True(t, ok)
	if *update {
		require.NoError(t, os.WriteFile(file, []byte(before+open+b.String()+end+after), 0o644))
		return
	}
	assert.Equal(t, old, b.String(), "run: go test ./cmd/dayloom -run PublishedTable -update")
}

// under is the PPFD under water of one lamp in a wide dark tank, d below, x aside.
func under(h, d, n, absorption float64, beamDeg, x float64) func(t *testing.T) float64 {
	return func(t *testing.T) float64 {
		light, err := emitter.Beam(beamDeg * math.Pi / 180)
		require.NoError(t, err)
		lamp := emitter.Emitter{Kind: emitter.Point, At: [2]float64{5, 5}, Height: h, Light: light, Share: 1}
		return shine(t, []emitter.Emitter{lamp}, n, absorption, tank.Place{X: 5 + x, Y: 5, Depth: d})
	}
}

func shine(t *testing.T, lamps []emitter.Emitter, n, absorption float64, at tank.Place) float64 {
	box := tank.Box{Length: 10, Width: 10, Depth: 1}
	l, err := box.At(tank.Source{Emitters: lamps, Flux: 100, Index: n,
		Transmit: func(path float64) float64 { return math.Exp(-absorption * path) }}, []tank.Place{at})
	require.NoError(t, err)
	return l.PPFD[0]
}

func lambert(t *testing.T, e emitter.Emitter) []emitter.Emitter {
	light, err := emitter.Beam(2 * math.Pi / 3)
	require.NoError(t, err)
	e.Light, e.Share = light, 1
	return []emitter.Emitter{e}
}

// spectrumOf reads one of the tables of testdata/published.
func spectrumOf(file, lamp string) func(t *testing.T) spectrum.Spectrum {
	return func(t *testing.T) spectrum.Spectrum {
		text, err := os.ReadFile("../../testdata/published/" + file)
		require.NoError(t, err)
		s, err := spectrum.FromTable(column(t, string(text), lamp))
		require.NoError(t, err)
		return s
	}
}

func column(t *testing.T, text, name string) (nm, values []float64) {
	at := -1
	for _, line := range strings.Split(text, "\n") {
		cells := strings.Split(strings.TrimSpace(line), ",")
		if strings.HasPrefix(line, "#") || len(cells) < 2 {
			continue
		}
		if at < 0 {
			for i, c := range cells {
				if c == name {
					at = i
				}
			}
			require.Positive(t, at, "no column %s", name)
			continue
		}
		var x, y float64
		_, err := fmt.Sscan(cells[0], &x)
		require.NoError(t, err)
		if _, err := fmt.Sscan(cells[at], &y); err == nil {
			nm, values = append(nm, x), append(values, y)
		}
	}
	return nm, values
}

// critical finds by bisection the angle at which the surface begins to throw all light back, deg.
func critical(*testing.T) float64 {
	lo, hi := 0.0, math.Pi/2
	for range 60 {
		if mid := (lo + hi) / 2; ray.InnerReflectance(1.34, math.Cos(mid)) < 1 {
			lo = mid
		} else {
			hi = mid
		}
	}
	return lo * 180 / math.Pi
}

// uniformSky is the share of a uniform sky that flat water reflects, by Simpson's rule.
func uniformSky(*testing.T) float64 {
	const n = 20000
	sum := 0.0
	for i := 0; i <= n; i++ {
		w := float64(2 + 2*(i%2))
		if i == 0 || i == n {
			w = 1
		}
		th := float64(i) / n * math.Pi / 2
		sum += w * (1 - ray.Transmittance(1.34, math.Cos(th))) * math.Sin(2*th)
	}
	return sum * math.Pi / 2 / n / 3
}

func lumens(file string) func(t *testing.T) float64 {
	return func(t *testing.T) float64 {
		f, err := os.Open("../../testdata/published/" + file)
		require.NoError(t, err)
		defer f.Close()
		p, err := ies.Read(f)
		require.NoError(t, err)
		return p.Lumens()
	}
}

func checks() []published {
	const (
		catalogue = "configuration factors, catalogue of J. R. Howell, section B (formula from memory, integrated independently)"
		optics    = "apparent depth I·T/(h + d/n)², any optics text"
		raytube   = "Snell, Fresnel and energy in a ray tube, computed to 25 digits apart from this project"
		popeFry   = "Pope and Fry 1997, Applied Optics 36, 8710"
		quanFry   = "Quan and Fry 1995, Applied Optics 34, 3477"
		dali      = "IEC 62386-102 (quoted from memory, not checked)"
	)
	lux := func(file, lamp string) func(t *testing.T) float64 {
		return func(t *testing.T) float64 { return spectrumOf(file, lamp)(t).LuxPerUmol() }
	}
	shape := func(c curve.Curve, ppfd float64) func(*testing.T) float64 {
		return func(*testing.T) float64 { return c.Dose() * ppfd * 1e-6 }
	}
	level := func(n float64) func(t *testing.T) float64 {
		return func(t *testing.T) float64 {
			r, err := dimmer.Log(0, 254)
			require.NoError(t, err)
			return 100 * r.Fraction(n)
		}
	}
	golden := func(which int) func(*testing.T) float64 {
		return func(*testing.T) float64 {
			z, a := sky.SunAt(time.Date(2003, 10, 17, 19, 30, 30, 0, time.UTC), 39.742476, -105.1786)
			return [2]float64{z, a}[which]
		}
	}
	return []published{
		{"PPFD on the axis, 100 µmol/s Lambertian, 0.3 m up, 0.2 m deep, n 1.34", 154.383121, 1e-7, false, optics, under(0.3, 0.2, 1.34, 0, 120, 0)},
		{"the same 0.25 m aside", 95.7791034, 1e-7, false, raytube, under(0.3, 0.2, 1.34, 0, 120, 0.25)},
		{"the same 1 m aside, water absorbing 0.3 per m", 3.20697352, 1e-7, false, raytube, under(0.3, 0.2, 1.34, 0.3, 120, 1)},
		{"point lamp in air, 60° beam, 0.3 m up, 0.3 m aside", 68.4796016, 1e-7, false, "inverse-square and cosine laws", under(0.3, 0, 1, 0, 60, 0.3)},
		{"finite line, 1 m at 0.3 m over its middle, in air", 156.136654, 1e-3, false, "finite diffuse line source, IES Lighting Handbook (quoted from memory, not checked), integrated independently", func(t *testing.T) float64 {
			return shine(t, lambert(t, emitter.Emitter{Kind: emitter.Line, From: [2]float64{4.5, 5}, To: [2]float64{5.5, 5}, Height: 0.3}), 1, 0, tank.Place{X: 5, Y: 5})
		}},
		{"rectangle 0.2 × 0.1 m at 0.3 m over its corner: factor", 0.0522678088, 1e-3, false, catalogue, func(t *testing.T) float64 {
			e := shine(t, lambert(t, emitter.Emitter{Kind: emitter.Panel, At: [2]float64{5.1, 5.05}, Size: [2]float64{0.2, 0.1}, Height: 0.3}), 1, 0, tank.Place{X: 5, Y: 5})
			return e * 0.02 / 100
		}},
		{"normal reflectance of water, n 1.34", math.Pow(0.34/2.34, 2), 1e-9, false, "((n−1)/(n+1))², Fresnel", func(*testing.T) float64 { return 1 - ray.Transmittance(1.34, 1) }},
		{"transmittance at 60°, n 1.34", 0.938995, 1e-5, false, "Fresnel, computed apart from this project", func(*testing.T) float64 { return ray.Transmittance(1.34, 0.5) }},
		{"critical angle from water, deg, n 1.34", 48.268, 1e-5, false, "asin(1/n); the angle at which inner reflection becomes total", critical},
		{"uniform sky reflected by flat water", 0.066, 0.03, false, "Preisendorfer 1976 at n 1.33 (quoted from memory, not checked); 0.067511 computed at n 1.34", uniformSky},
		{"pure water at 440 nm, 1/m", 0.00635, 1e-9, false, popeFry, func(*testing.T) float64 { return water.Pure().At(440) }},
		{"pure water at 600 nm, 1/m", 0.2224, 1e-9, false, popeFry, func(*testing.T) float64 { return water.Pure().At(600) }},
		{"pure water at 700 nm, 1/m", 0.624, 1e-9, false, popeFry, func(*testing.T) float64 { return water.Pure().At(700) }},
		{"index of sea water at 450 nm, S 35, 25 °C", 1.34530, 2e-5, false, quanFry, func(*testing.T) float64 { return water.Index(450) }},
		{"index of sea water at 650 nm, S 35, 25 °C", 1.33712, 2e-5, false, quanFry, func(*testing.T) float64 { return water.Index(650) }},
		{"photons of 1 J at 450 nm, µmol", 3.761706, 1e-6, false, "h, c, N_A of the SI 2019 (CODATA)", func(t *testing.T) float64 {
			s, err := spectrum.Peak(450, 1)
			require.NoError(t, err)
			return s.PhotonsPerJoule()
		}},
		{"lux per µmol, sunlight AM1.5G", 55.36, 1e-3, false, "ASTM G173-03 spectrum, CIE 1924 V(λ)", lux("sunlight-astm-g173.csv", "w_per_m2_nm")},
		{"lux per µmol, CIE D65", 54, 0.05, false, "Thimijan and Heins 1983, HortScience 18, 818: daylight (quoted from memory, not checked)", lux("lamp-spectra-cie.csv", "CIE D65")},
		{"lux per µmol, CIE FL2", 74, 0.05, false, "Thimijan and Heins 1983: cool-white fluorescent (quoted from memory, not checked)", lux("lamp-spectra-cie.csv", "CIE FL2")},
		{"lux per µmol, CIE A", 50, 0.05, false, "Thimijan and Heins 1983: incandescent (quoted from memory, not checked)", lux("lamp-spectra-cie.csv", "CIE A")},
		{"lumens of a published luminaire by zones", 5297.39, 2e-6, false, "LM-63 file distributed with Radiance; zonal constants, IES Lighting Handbook", lumens("ies-sample-office-luminaire.ies")},
		{"DLI of 200 for 12 h", 8.64, 1e-9, false, "Torres and Lopez 2010, Purdue Extension HO-238-W (method)", shape(curve.Hold(0, 43200, 1), 200)},
		{"DLI of a half-sine day, peak 400, 12 h", 11.00079, 1e-6, false, "2PT/π, calculus", shape(curve.Sum(curve.Ramp(0, 21600, curve.Solar, 0, 1, 1), curve.Ramp(21600, 43200, curve.Solar, 1, 0, 1)), 400)},
		{"share of its rectangle in a raised-cosine ramp", 0.5, 1e-12, false, "calculus", func(*testing.T) float64 { return curve.Smooth.Area(1) }},
		{"luminance at lightness L* 50", 0.18419, 3e-5, false, "CIE 15 (CIE 1976 L*)", func(*testing.T) float64 { return curve.Even.At(0.5) }},
		{"DALI level 85, % of full", 1, 0.02, false, dali, level(85)},
		{"DALI level 170, % of full", 10, 0.02, false, dali, level(170)},
		{"DALI level 229, % of full", 50.5, 0.005, false, dali, level(229)},
		{"sun's zenith, Golden, 2003-10-17 12:30:30 UTC−7, deg", 50.11162, 0.01, true, "Reda and Andreas 2004, Solar Energy 76, 577", golden(0)},
		{"sun's azimuth, the same", 194.34024, 0.01, true, "Reda and Andreas 2004", golden(1)},
		{"moon's lit fraction, 1992 April 12, 0h TD", 0.6786, 1e-4, true, "Meeus, Astronomical Algorithms, example 48.a", func(*testing.T) float64 {
			return sky.MoonFraction(time.Date(1992, 4, 11, 23, 59, 0, 0, time.UTC)) // ΔT 59 s
		}},
	}
}
