package balance_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"dayloom/schedule/balance"
)

func benchmark(b *testing.B, s *sketch, o balance.Options) {
	b.ReportAllocs()
	for b.Loop() {
		a, problems := balance.Solve(s.p, s.f, o)
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

func BenchmarkSolve12Channels8Corals(b *testing.B) { benchmark(b, lamps(12, 8, 1), balance.Options{}) }

func BenchmarkSolve16Channels2000PlacesAllCaps(b *testing.B) {
	benchmark(b, field(1), balance.Options{})
}

func BenchmarkSolve16Channels2000PlacesAllCaps90PercentSure(b *testing.B) {
	benchmark(b, field(1), balance.Options{Sure: 0.9})
}
