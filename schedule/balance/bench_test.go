package balance_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"dayloom/schedule/balance"
	"dayloom/schedule/day"
)

func benchmark(b *testing.B, s *sketch, o balance.Options) {
	b.ReportAllocs()
	for b.Loop() {
		a, problems := balance.Solve(ctx, s.p, s.f, o)
		if problems.HasErrors() || !a.Certificate.Proven {
			b.Fatal(errors(problems), a.Certificate.Gap)
		}
		b.ReportMetric(float64(a.Certificate.Cuts), "cuts")
		b.ReportMetric(float64(a.Certificate.Pivots), "pivots")
	}
}

// field is a tank with an area of 2 000 sampled points under a tight cap, beside 8 corals.
func field(seed uint64) *sketch {
	s := lamps(16, 8, seed)
	rnd := rand.New(rand.NewPCG(seed, 2))
	var points [][]float64
	for i := range 2000 {
		points = append(points, s.fall(rnd, float64(i)/2000))
	}
	z := s.area("field", 8, points)
	z.PPFDMax = 200
	for i := range s.p.Zones {
		s.p.Zones[i].PPFDMax = math.Min(s.p.Zones[i].PPFDMax, 200)
		s.p.Zones[i].DLIMax = 9
	}
	s.p.Balance.PowerMaxW = 900
	return s
}

// farm is a tank of many corals. met says that each one's target is what it gets at the same mixture of levels, give or take
// less than its tolerance; else targets are drawn apart from the light, and cannot all be met.
func farm(channels, corals int, met bool) *sketch {
	s := lamps(channels, corals, 1)
	rnd := rand.New(rand.NewPCG(1, 5))
	levels := make([]float64, channels)
	for c := range levels {
		levels[c] = 0.2 + 0.5*rnd.Float64()
	}
	d := day.Build(balance.Found(s.p, balance.Answer{Peaks: levels, Switch: make([]day.Hours, channels)}), balance.Options{}.Date, day.Change{})
	for i := range s.p.Zones {
		if !met {
			continue
		}
		dli := 0.0
		for c, cell := range s.f.Corals[i] {
			dli += cell.PPFD * d.Channels[c].DoseS * 1e-6
		}
		s.p.Zones[i].DLI, s.p.Zones[i].PPFDMax = dli*(0.92+0.16*rnd.Float64()), inf
	}
	return s
}

func BenchmarkSolve16Channels2000CoralsMet(b *testing.B) {
	benchmark(b, farm(16, 2000, true), balance.Options{})
}

func BenchmarkSolve16Channels2000CoralsUnmet(b *testing.B) {
	benchmark(b, farm(16, 2000, false), balance.Options{})
}

func BenchmarkSolve200Channels5000CoralsMet(b *testing.B) {
	benchmark(b, farm(200, 5000, true), balance.Options{})
}

func BenchmarkSolve200Channels5000CoralsUnmet(b *testing.B) {
	benchmark(b, farm(200, 5000, false), balance.Options{})
}

func BenchmarkSolve12Channels8Corals(b *testing.B) { benchmark(b, lamps(12, 8, 1), balance.Options{}) }

func BenchmarkSolve16Channels8CoralsArea2000PointsAllCaps(b *testing.B) {
	benchmark(b, field(1), balance.Options{})
}

func BenchmarkSolve16Channels8CoralsArea2000PointsAllCaps90PercentSure(b *testing.B) {
	benchmark(b, field(1), balance.Options{Sure: 0.9})
}
