package balance_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/photon/colour"
	"dayloom/photon/spectrum"
	"dayloom/schedule/balance"
	"dayloom/schedule/day/mix"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// coloured is a random plan of lamps of one colour each; what its corals ask is what one mixture gives.
func coloured(t testing.TB, seed uint64, channels, corals int) *sketch {
	rnd := rand.New(rand.NewPCG(seed, 21))
	s := newSketch(channels)
	levels := make([]float64, channels)
	for c := range channels {
		s.daylight(c, 8, 8, 18, 18, curve.Linear)
		var err error
		s.p.Channels[c].Spectrum, err = spectrum.Peak(420+260*(float64(c)+rnd.Float64())/float64(channels), 15+60*rnd.Float64())
		require.NoError(t, err)
		levels[c] = 0.1 + 0.9*rnd.Float64()
	}
	for i := range corals {
		full, dli := s.fall(rnd, rnd.Float64()), 0.0
		for c, v := range full {
			dli += v * 0.036 * levels[c]
		}
		z := s.coral(fmt.Sprintf("c%d", i), dli*(0.95+0.1*rnd.Float64()), full...)
		z.Within = 0.15 + 0.2*rnd.Float64()
	}
	for i := range s.p.Corals {
		s.p.Zones[i].PPFDMax = s.p.Zones[i].DLI / 0.036 * (1 + 0.3*rnd.Float64())
	}
	return s
}

// all are the zones of a plan.
func (s *sketch) all() (out []int) {
	for i := range s.p.Zones {
		out = append(out, i)
	}
	return out
}

func (s *sketch) likeSunlight() {
	s.p.Balance.Spectrum = &plan.SpectrumWish{Like: "daylight", Spectrum: spectrum.Sunlight(), Zones: s.all()}
}

// departure is the greatest of the photon shares at levels, by the definition.
func (s *sketch) departure(t testing.TB, looks []mix.Place, x []float64) (worst float64) {
	wish, ok := mix.Shares(spectrum.Sunlight(), s.p.Tank.Absorption, 0)
	require.True(t, ok)
	for _, pl := range looks {
		var bins [mix.Bins]float64
		sum := 0.0
		for c, ch := range pl.Channels {
			for k, v := range ch.Bins {
				bins[k] += x[c] * v
				sum += x[c] * v
			}
		}
		for k, v := range bins {
			worst = max(worst, math.Abs(v/sum-wish[k]))
		}
	}
	return worst
}

// inRank2 tells whether levels keep the limits and half of every tolerance.
func (s *sketch) inRank2(x []float64) bool {
	for i, cells := range s.f.Corals {
		ppfd, z := 0.0, s.p.Zones[i]
		for c, cell := range cells {
			ppfd += x[c] * cell.PPFD
		}
		if ppfd > z.PPFDMax || math.Abs(ppfd*0.036/z.DLI-1) > z.Within*z2Spend {
			return false
		}
	}
	return true
}

const z2Spend = plan.HalfSpent

// Of all levels on a fine grid none is nearer to sunlight than what is proved, and the answer is as near as it says.
func TestSpectrumAgainstEveryLevel(t *testing.T) {
	tried := 0
	for seed := range uint64(3) {
		s := coloured(t, seed, 3, 2)
		s.likeSunlight()
		looks, err := mix.At(s.p, s.f)
		require.NoError(t, err)
		a := solve(t, s, balance.Options{Least: make([]float64, 3)})
		require.NotNil(t, a.Spectrum)
		assert.True(t, a.Spectrum.Proven, "plan %d: %+v", seed, a.Spectrum)
		assert.InDelta(t, s.departure(t, looks, a.Peaks), a.Spectrum.Greatest, 1e-9)
		if a.Certificate.Sum > 0 {
			continue
		}
		const n = 40
		best := math.Inf(1)
		for i := range n*n*n + 1 {
			x := []float64{float64(i/n/n) / n, float64(i/n%n) / n, float64(i%n) / n}
			if s.inRank2(x) {
				best = min(best, s.departure(t, looks, x))
				tried++
			}
		}
		assert.GreaterOrEqual(t, best, a.Spectrum.Bound-1e-6, "plan %d", seed)
		assert.Less(t, a.Spectrum.Greatest, best+0.04, "plan %d: the grid is not that coarse", seed)
	}
	require.Greater(t, tried, 1000)
}

// A wish for the colour of levels that the targets allow is met; one out of reach is told, and the targets stay met.
func TestColourWish(t *testing.T) {
	for seed := range uint64(10) {
		s := coloured(t, seed, 4, 1)
		plain := solve(t, s, balance.Options{})
		require.True(t, plain.Met)
		looks, err := mix.At(s.p, s.f)
		require.NoError(t, err)
		xy := looks[0].Under(plain.Peaks).XY
		s.p.Balance.Colour = &plan.ColourWish{Near: xy, Within: 0.002, Zones: s.all()}
		a := solve(t, s, balance.Options{Cost: true})
		require.Len(t, a.Colours, 1)
		assert.True(t, a.Met)
		assert.LessOrEqual(t, looks[0].Under(a.Peaks).XY.Distance(xy), 0.002+1e-6, "plan %d", seed)
		require.NotNil(t, a.Cost)
		assert.InDelta(t, plain.Energy, a.Cost.Energy, 1e-6)

		s.p.Balance.Colour.Near = colour.Chromaticity{X: 0.05, Y: 0.05}
		a = solve(t, s, balance.Options{})
		assert.False(t, a.Met)
		for _, pl := range a.Places {
			assert.True(t, pl.Met, "the targets come first")
		}
		require.NotEmpty(t, a.Notes)
		assert.Contains(t, fmt.Sprint(a.Notes), "the targets come first, and the lamps leave no more freedom")
	}
}

// Three lamps of a colour each give the same at a coral that asks for 1.2 of one. Wherever the colour of such a mixture lies
// from that of even levels, the answer comes inside the circle about it.
func TestColourWishFromEverySide(t *testing.T) {
	s := newSketch(3)
	for c, nm := range []float64{450, 530, 640} {
		s.day(c)
		var err error
		s.p.Channels[c].Spectrum, err = spectrum.Peak(nm, 20)
		require.NoError(t, err)
	}
	s.coral("x", 1.2*100*0.036, 100, 100, 100)
	s.coral("beside", 1.2*100*0.036, 100, 100, 100)
	looks, err := mix.At(s.p, s.f)
	require.NoError(t, err)
	for _, levels := range [][]float64{{0.8, 0.2, 0.2}, {0.2, 0.8, 0.2}, {0.2, 0.2, 0.8}} {
		xy := looks[0].Under(levels).XY
		s.p.Balance.Colour = &plan.ColourWish{Near: xy, Within: 0.01, Zones: []int{0}}
		a := solve(t, s, balance.Options{})
		require.Len(t, a.Colours, 1, "of the zone that is named")
		assert.True(t, a.Met, "%v: %v", levels, a.Notes)
		assert.LessOrEqual(t, looks[0].Under(a.Peaks).XY.Distance(xy), 0.01+1e-6)
	}
}

// region is what rank 2 leaves of a plan whose targets can all be met within half of their tolerance, for glpsol.
func (s *sketch) region() *model {
	m := &model{}
	for c := range s.p.Channels {
		m.bounds = append(m.bounds, fmt.Sprintf("0 <= x%d <= 1", c))
	}
	for i, cells := range s.f.Corals {
		ppfd, z := sum{}, s.p.Zones[i]
		for c, cell := range cells {
			ppfd[fmt.Sprintf("x%d", c)] = cell.PPFD
		}
		m.need(ppfd, "<=", z.PPFDMax)
		m.need(ppfd, ">=", z.DLI/0.036*(1-z2Spend*z.Within))
		m.need(ppfd, "<=", z.DLI/0.036*(1+z2Spend*z.Within))
	}
	return m
}

// GLPK's glpsol on the same numbers: at the answer's departure it finds levels, a millionth under the bound none; and
// the least sum of what lies outside of a colour's polygon is the same.
func TestColourAgreesWithGlpsol(t *testing.T) {
	if os.Getenv("DAYLOOM_GLPSOL") != "1" {
		t.Skip("set DAYLOOM_GLPSOL=1 to compare with glpsol")
	}
	if _, err := exec.LookPath("glpsol"); err != nil {
		t.Skip("glpsol is not on the PATH; on Debian it is in the package glpk-utils")
	}
	wish, ok := mix.Shares(spectrum.Sunlight(), (&plan.Plan{}).Tank.Absorption, 0)
	require.True(t, ok)
	likes, colours := 0, 0
	for seed := range uint64(100) {
		s := coloured(t, seed, 2+int(seed%5), 1+int(seed%7))
		near := colour.Chromaticity{X: 0.2 + 0.02*float64(seed%10), Y: 0.25}
		s.p.Balance.Colour = &plan.ColourWish{Near: near, Within: 0.01, Zones: s.all()}
		a := solve(t, s, balance.Options{Least: make([]float64, len(s.p.Channels))})
		calm := 0.0
		for _, st := range a.Certificate.Stages {
			if st.Rank == 2 {
				calm = max(calm, st.Primal)
			}
		}
		if calm > 0 {
			continue
		}
		looks, err := mix.At(s.p, s.f)
		require.NoError(t, err)
		m, total := s.region(), sum{}
		u0, v0 := near.Uniform()
		for i, pl := range looks {
			d := func(c int) float64 {
				xyz := pl.Channels[c].XYZ
				return xyz.X + 15*xyz.Y + 3*xyz.Z
			}
			full := 0.0
			for c := range pl.Channels {
				full += d(c)
			}
			for k := range 16 {
				e := fmt.Sprintf("e%d_%d", i, k)
				row := sum{e: 1}
				sin, cos := math.Sincos(2 * math.Pi * float64(k) / 16)
				for c, ch := range pl.Channels {
					u, v := 4*ch.XYZ.X-u0*d(c), 9*ch.XYZ.Y-v0*d(c)
					row[fmt.Sprintf("x%d", c)] = (0.01*math.Cos(math.Pi/16)*d(c) - cos*u - sin*v) / full
				}
				m.need(row, ">=", 0)
				total[e] = 1
			}
		}
		want := m.least(t, total)
		for _, st := range a.Certificate.Stages {
			if st.Rank == 3 && st.What[:3] == "sum" {
				require.InDelta(t, want, st.Primal, 1e-6+1e-4*want, "plan %d", seed)
				colours++
			}
		}

		s.p.Balance.Colour = nil
		s.likeSunlight()
		a = solve(t, s, balance.Options{Least: make([]float64, len(s.p.Channels))})
		require.True(t, a.Spectrum.Proven, "plan %d: %+v", seed, a.Spectrum)
		level := func(eps float64) float64 {
			m := s.region()
			for _, pl := range looks {
				for k := range mix.Bins {
					over, under := sum{"t": -1}, sum{"t": -1}
					all := 0.0
					for _, ch := range pl.Channels {
						for _, v := range ch.Bins {
							all += v
						}
					}
					for c, ch := range pl.Channels {
						light := 0.0
						for _, v := range ch.Bins {
							light += v
						}
						x := fmt.Sprintf("x%d", c)
						over[x] = (ch.Bins[k] - (wish[k]+eps)*light) / all
						under[x] = ((wish[k]-eps)*light - ch.Bins[k]) / all
					}
					m.need(over, "<=", 0)
					m.need(under, "<=", 0)
				}
			}
			return m.least(t, sum{"t": 1})
		}
		require.Less(t, level(a.Spectrum.Greatest+1e-6), 1e-8, "plan %d: %+v", seed, a.Spectrum)
		if a.Spectrum.Bound > 2e-6 {
			require.Greater(t, level(a.Spectrum.Bound-1e-6), 0.0, "plan %d: %+v", seed, a.Spectrum)
		}
		likes++
	}
	t.Log("colours", colours, "spectra", likes)
	require.Greater(t, min(likes, colours), 30)
}
