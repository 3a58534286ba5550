package balance_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/balance"
	"dayloom/schedule/day"
	"dayloom/schedule/day/dose"
	"dayloom/schedule/plan"
	"dayloom/schedule/shape/curve"
)

// A third of rapid's hundred draws serves from day to day; -rapid.checks=100 draws them all.
func init() { _ = flag.Set("rapid.checks", "33") }

// anyPlan is a random tank: lamps with all shapes of day, some fixed, switched or with moonlight, corals
// and sometimes an area, limits that bind and limits that do not.
func anyPlan(seed uint64) (*sketch, balance.Options) {
	rnd := rand.New(rand.NewPCG(seed, 3))
	some := func(p float64) bool { return rnd.Float64() < p }
	n := 1 + rnd.IntN(8)
	s := lamps(n, 1+rnd.IntN(6), seed)
	for c := range n {
		switch {
		case some(0.1):
			s.p.Day[c].Daylight.Peak = plan.Level{Fraction: 0.2 * rnd.Float64()}
		case some(0.15):
			s.p.Day[c] = plan.DayPart{}
			from := 8 + 4*rnd.Float64()
			s.switched(c, from, from+2+6*rnd.Float64(), rnd.Float64()*float64(rnd.IntN(2)))
		case some(0.2):
			from := 16 + 7*rnd.Float64()
			s.p.Day = append(s.p.Day, plan.DayPart{Channels: []int{c}, Moonlight: &plan.Moonlight{From: from * hour, To: 5 * hour, Peak: 0.3 * rnd.Float64()}})
		}
	}
	if some(0.3) {
		var points [][]float64
		for range 1 + rnd.IntN(30) {
			points = append(points, s.fall(rnd, rnd.Float64()))
		}
		s.area("field", 2+6*rnd.Float64(), points).PPFDMax = 100 + 300*rnd.Float64()
	}
	for i := range s.p.Zones {
		z := &s.p.Zones[i]
		if some(0.3) {
			z.DLIMax = z.DLI * (1 + 0.2*rnd.Float64())
		}
		if some(0.3) {
			z.PPFDMax = 60 + 200*rnd.Float64()
		}
	}
	if some(0.5) {
		s.p.Balance.PowerMaxW = 100 + 300*rnd.Float64()
	}
	if some(0.5) {
		s.p.Circuits = []plan.Circuit{{Name: "left", Channels: []int{0, n - 1}[:1+min(1, n-1)], RatingA: 0.3 + rnd.Float64(), SupplyV: 230, Continuous: 0.8, PowerFactor: 0.9}}
	}
	o := balance.Options{Date: plan.Date{Year: 2027, Month: 2, Day: 3}}
	if some(0.3) {
		o.Change = day.Change{Scale: slices.Repeat([]float64{0.5 + 0.7*rnd.Float64()}, n), Shorter: slices.Repeat([]float64{0.3 * rnd.Float64()}, n), Stretch: 3600 * (rnd.Float64() - 0.5)}
	}
	if some(0.3) {
		for range n {
			o.Age = append(o.Age, 0.7+0.3*rnd.Float64())
		}
	}
	o.Boxes = 20
	if some(0.2) {
		o.Sure = 0.5 + 0.45*rnd.Float64()
	}
	return s, o
}

// breaks names a rank-1 limit that the answer breaks, by the packages day, curve and dose and by looking
// at every minute; "" if none. Nothing of this package takes part.
func breaks(s *sketch, o balance.Options, a balance.Answer) string {
	const rounding = 1 + 1e-9
	d := build(s, o, a)
	for c, ch := range d.Channels {
		if p := a.Peaks[c]; !(p >= 0 && p <= 1) || ch.Peak > rounding {
			return fmt.Sprintf("channel %d: peak %g, light fraction %g", c, p, ch.Peak)
		}
		if part := s.p.Day[c]; part.Switched != nil {
			w := part.Switched.Window
			h := math.Mod(a.Switch[c].Off-a.Switch[c].On+curve.Day, curve.Day)
			if h < w.AtLeast-1e-6 || h > w.To-w.From+1e-6 {
				return fmt.Sprintf("channel %d: %g s of light", c, h)
			}
		}
	}
	r := dose.Of(s.p, s.f, d, o.Age)
	for _, list := range [][]dose.Place{r.Corals, r.Areas} {
		for _, pl := range list {
			if pl.Peak > s.p.Zones[pl.Zone].PPFDMax*rounding { // dli_max is part of the target
				return fmt.Sprintf("%s: DLI %.12g, peak %.12g", pl.Name, pl.DLI, pl.Peak)
			}
		}
	}
	circuits := append([]plan.Circuit{{Name: "all", RatingA: s.p.Balance.PowerMaxW, SupplyV: 1, Continuous: 1, PowerFactor: 1}}, s.p.Circuits...)
	for c := range s.p.Channels {
		circuits[0].Channels = append(circuits[0].Channels, c)
	}
	for m := range 24 * 60 {
		for _, q := range circuits {
			amps := 0.0
			for _, c := range q.Channels {
				amps += s.p.Channels[c].PowerW * d.Channels[c].Curve.At(float64(m)*60) / q.SupplyV / q.PowerFactor
			}
			if amps > q.RatingA*q.Continuous*rounding {
				return fmt.Sprintf("circuit %s at minute %d: %g A", q.Name, m, amps)
			}
		}
	}
	return ""
}

// A share of 10 000 plans: three for each of rapid's checks; -rapid.checks says how many.
func TestNoAnswerBreaksALimit(t *testing.T) {
	solved, refused, open := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		seed := rapid.Uint64Range(0, 1<<40).Draw(t, "seed")
		for k := range uint64(3) {
			s, o := anyPlan(3*seed + k)
			a, problems := balance.Solve(ctx, s.p, s.f, o)
			if problems.HasErrors() {
				refused++
				continue
			}
			solved++
			require.Empty(t, breaks(s, o, a), "plan %d", 3*seed+k)
			if !a.Certificate.Proven { // hours of equal worth may use up the boxes that are looked at
				open++
				require.False(t, a.Met, "plan %d", 3*seed+k)
				require.True(t, slices.ContainsFunc(s.p.Day, func(d plan.DayPart) bool { return d.Switched != nil }), "plan %d: gap %g", 3*seed+k, a.Certificate.Gap)
			}
			d := build(s, o, a)
			r := dose.Of(s.p, s.f, d, o.Age)
			for i, pl := range append(r.Corals, r.Areas...) {
				require.InDelta(t, pl.DLI, a.Places[i].DLI, 1e-9*(1+pl.DLI))
				require.InDelta(t, pl.Peak, a.Places[i].Peak, 1e-6*(1+pl.Peak))
			}
		}
	})
	require.Positive(t, solved, "none of %d plans could be solved", refused)
	require.Less(t, open, solved)
}

// Same plan, same answer, to the last bit.
func TestAnswersAreRepeatable(t *testing.T) {
	for seed := range uint64(20) {
		s, o := anyPlan(seed)
		a, _ := balance.Solve(ctx, s.p, s.f, o)
		b, _ := balance.Solve(ctx, s.p, s.f, o)
		require.Equal(t, a, b)
	}
}
