//go:build tanks

package survey_test

import (
	"flag"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"

	"dayloom/schedule/light"
)

var tanks = flag.Int("tanks", 300, "how many to simulate")

// TestTanks is the proof by simulated tanks: `go test -tags tanks -run TestTanks -v -timeout 60m
// ./schedule/survey` prints the table. Each figure has the interval that holds 95 of 100
// resamplings of the tanks.
func TestTanks(t *testing.T) {
	names := []string{"bare model", "median gain, 2 a channel", "40 all-on by distance", "survey, 1 a channel", "survey, 2 a channel", "survey, 4 a channel"}
	all := make([][][]estimate, len(names))
	for seed := range uint64(*tanks) {
		s := simulate(t, seed)
		f, _ := light.Survey(s.plan)
		for i, e := range [][]estimate{s.errorsOf(f), s.byMedian(t), s.byDistance(), s.errorsOf(s.surveyed(t, 1)), s.errorsOf(s.surveyed(t, 2)), s.errorsOf(s.surveyed(t, 4))} {
			all[i] = append(all[i], e)
		}
	}
	fmt.Printf("%d tanks, error of the DLI at %d corals each that were no candidates\n", *tanks, further)
	fmt.Printf("%-26s %-24s %-24s %s\n", "", "median, %", "90th percentile, %", "in 95 % intervals, %")
	for i, name := range names {
		m, p, c := interval(all[i], func(e []estimate) float64 { return 100 * quantile(e, 0.5) }), interval(all[i], func(e []estimate) float64 { return 100 * quantile(e, 0.9) }), "-"
		if all[i][0][0].sd > 0 {
			c = interval(all[i], held).String()
		}
		fmt.Printf("%-26s %-24v %-24v %s\n", name, m, p, c)
	}
	two := slices.Concat(all[4]...)
	assert.Less(t, quantile(two, 0.5), 0.05)
	assert.Less(t, quantile(two, 0.9), 0.12)
	assert.InDelta(t, 95, held(two), 3)
}

// held is the share of 95 % intervals, of ln DLI, that hold the truth, %.
func held(e []estimate) float64 {
	n := 0
	for _, x := range e {
		if math.Abs(math.Log(x.real/x.dli)) < 1.96*x.sd/x.dli {
			n++
		}
	}
	return 100 * float64(n) / float64(len(e))
}

type figure struct{ value, low, high float64 }

func (f figure) String() string { return fmt.Sprintf("%.1f (%.1f to %.1f)", f.value, f.low, f.high) }

// interval resamples whole tanks.
func interval(tanks [][]estimate, of func([]estimate) float64) figure {
	r := rand.New(rand.NewPCG(1, 1))
	var values []float64
	for range 400 {
		var e []estimate
		for range tanks {
			e = append(e, tanks[r.IntN(len(tanks))]...)
		}
		values = append(values, of(e))
	}
	return figure{of(slices.Concat(tanks...)), light.Percentile(values, 0.025), light.Percentile(values, 0.975)}
}
