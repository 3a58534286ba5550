package balance_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/schedule/balance"
	"dayloom/schedule/light"
)

// z of 90 % is 1.2816 (NIST/SEMATECH e-Handbook of Statistical Methods, section 1.3.6.7.1; more digits from memory). One lamp with
// 25 %: the cap of 120 must hold 1 + 1.281552 · 0.25 = 1.320388 times the light.
func TestMarginOfOneLamp(t *testing.T) {
	s := newSketch(1)
	s.day(0)
	s.coral("a", 7.2, 400).PPFDMax = 120
	a := solve(t, s, balance.Options{Sure: 0.9})
	assert.InDelta(t, 120/1.320388/400, a.Peaks[0], 1e-6)
	require.NotNil(t, a.Sure)
	assert.InDelta(t, 1.2816, a.Sure.Margin, 5e-5)
	assert.InDelta(t, 0.4, a.Sure.GreatestWithout, 1e-6)
	assert.InDelta(t, 0.3, a.Sure.Without[0].DLI/14.4, 1e-6)
}

// Two lamps alike, asked more than the cap allows. Independent errors add in squares, so both
// together are surer than one: σ = 0.25/√2 of the sum. The meter's error is common and does not shrink.
func TestIndependentErrorsAddInSquares(t *testing.T) {
	s := newSketch(2)
	s.day(0)
	s.day(1)
	s.coral("a", 20, 400, 400).PPFDMax = 120
	a := solve(t, s, balance.Options{Sure: 0.9})
	assert.InDelta(t, 120/(1+1.28155*0.25/math.Sqrt2), a.Places[0].Peak, 1e-3)
	for c := range s.f.Corals[0] {
		s.f.Corals[0][c] = light.Cell{PPFD: 400, Bands: []float64{0, 400, 0}, Source: light.Reading, Common: 0.05}
	}
	a = solve(t, s, balance.Options{Sure: 0.9})
	assert.InDelta(t, 120/(1+1.28155*0.05), a.Places[0].Peak, 1e-3)
}

// The models' common error does not shrink either: one lamp split into four channels, 20 % in common and
// 15 % each its own, has √(0.2² + 0.15²/4) = 0.21360.
func TestCommonErrorOfModelsAddsStraight(t *testing.T) {
	s := newSketch(4)
	for c := range 4 {
		s.day(c)
	}
	s.coral("a", 20, 200, 200, 200, 200).PPFDMax = 120
	for c := range s.f.Corals[0] {
		s.f.Corals[0][c].Common, s.f.Corals[0][c].Own = 0.20, 0.15
	}
	a := solve(t, s, balance.Options{Sure: 0.9})
	assert.InDelta(t, 120/(1+1.28155*0.21360), a.Places[0].Peak, 1e-3)
}

// Fluxes drawn as the plan says they scatter stay below the cap that binds in 95 % of the draws.
func TestMarginHoldsInDraws(t *testing.T) {
	s := lamps(5, 3, 4)
	for i := range s.p.Zones {
		s.p.Zones[i].DLI, s.p.Zones[i].PPFDMax = 12, 150
		for c := range s.f.Corals[i] {
			if c%2 == 0 {
				s.f.Corals[i][c].Common, s.f.Corals[i][c].Own = 0.08, 0.04
			} else {
				s.f.Corals[i][c].Common, s.f.Corals[i][c].Own = 0.20, 0.15
			}
		}
	}
	o := balance.Options{Sure: 0.95}
	a := solve(t, s, o)
	d := build(s, o, a)
	rnd := rand.New(rand.NewPCG(1, 1))
	for i, cells := range s.f.Corals {
		worst := 1.0
		for m := range 24 * 60 {
			kept := 0
			const draws = 2000
			full := make([]float64, len(cells))
			sum := 0.0
			for c, cell := range cells {
				full[c] = cell.PPFD * d.Channels[c].Curve.At(float64(m)*60)
				sum += full[c]
			}
			if sum < 100 || m%10 != 0 {
				continue
			}
			for range draws {
				e, common := 0.0, rnd.NormFloat64()
				for c, cell := range cells {
					e += full[c] * (1 + cell.Own*rnd.NormFloat64() + cell.Common*common)
				}
				if e <= 150 {
					kept++
				}
			}
			worst = min(worst, float64(kept)/draws)
		}
		assert.Greater(t, worst, 0.95-0.025, "coral %d", i) // 5 standard errors of 2000 draws
	}
	bound := 0
	for _, b := range a.Binding {
		if b.Kind == "ppfd_max" {
			bound++
		}
	}
	assert.Positive(t, bound)
}
