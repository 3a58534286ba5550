package cutting

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// brute tries every cutting and every day of each run.
func brute(q Question) float64 {
	best := math.Inf(1)
	var cut func(from, left, before int, worst float64)
	cut = func(from, left, before int, worst float64) {
		if from == q.N {
			best = min(best, worst)
			return
		}
		if left == 0 {
			return
		}
		for to := from; to < q.N && (to == from || !q.Apart(to)); to++ {
			for day := from; day <= to; day++ {
				if before >= 0 && !q.May(from, before, day) {
					continue
				}
				most := worst
				for d := from; d <= to; d++ {
					most = max(most, q.Dist(day, d))
				}
				cut(to+1, left-1, day, most)
			}
		}
	}
	cut(0, q.Most, q.Before, 0)
	return best
}

func anyQuestion(t *rapid.T) Question {
	n := rapid.IntRange(1, 8).Draw(t, "n")
	dist := make([][]float64, n)
	apart := make([]bool, n)
	may := make([][]bool, n+1)
	for i := range n {
		for range n {
			dist[i] = append(dist[i], float64(rapid.IntRange(0, 20).Draw(t, "dist")))
		}
		dist[i][i] = 0
		apart[i] = rapid.IntRange(0, 5).Draw(t, "apart") == 0
	}
	for i := range may {
		for range n {
			may[i] = append(may[i], rapid.IntRange(0, 3).Draw(t, "may") > 0)
		}
	}
	return Question{N: n, Most: rapid.IntRange(1, 4).Draw(t, "most"), Before: rapid.IntRange(-1, 0).Draw(t, "before"),
		Dist:  func(day, date int) float64 { return dist[day][date] },
		Apart: func(date int) bool { return apart[date] },
		May:   func(date, before, after int) bool { return may[before][(after+date)%n] }}
}

// On small cases nothing is better than what is found, and what is found is what it says.
func TestBestAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		q := anyQuestion(t)
		runs, greatest, ok := Best(q)
		want := brute(q)
		if ok != !math.IsInf(want, 1) {
			t.Fatalf("found %v, all %g", ok, want)
		}
		if !ok {
			return
		}
		if greatest != want {
			t.Fatalf("%g, all %g: %v", greatest, want, runs)
		}
		next, before, worst := 0, q.Before, 0.0
		for _, r := range runs {
			if r.From != next || r.Day < r.From || r.Day > r.To || before >= 0 && !q.May(r.From, before, r.Day) {
				t.Fatalf("%v", runs)
			}
			for d := r.From; d <= r.To; d++ {
				worst = max(worst, q.Dist(r.Day, d))
			}
			next, before = r.To+1, r.Day
		}
		if next != q.N || len(runs) > q.Most || worst != greatest {
			t.Fatalf("%v of %d: %g is not %g", runs, q.Most, worst, greatest)
		}
	})
}

// Fewer runs are taken where more are no better: by hand, two kinds of day.
func TestNoMoreRunsThanNeeded(t *testing.T) {
	light := []float64{1, 1, 1, 2, 2, 2}
	runs, greatest, ok := Best(Question{N: 6, Most: 5, Before: -1,
		Dist:  func(day, date int) float64 { return math.Abs(light[day]/light[date] - 1) },
		Apart: func(int) bool { return false }, May: func(int, int, int) bool { return true }})
	require.True(t, ok)
	assert.Zero(t, greatest)
	require.Len(t, runs, 2)
	assert.Equal(t, []int{0, 2, 3, 5}, []int{runs[0].From, runs[0].To, runs[1].From, runs[1].To})
}

func BenchmarkAYearInto12(b *testing.B) {
	light := make([]float64, 366)
	for d := range light {
		light[d] = 12 + 2*math.Sin(float64(d)/58)
	}
	for b.Loop() {
		Best(Question{N: 366, Most: 12, Before: -1,
			Dist:  func(day, date int) float64 { return math.Abs(light[day]/light[date] - 1) },
			Apart: func(int) bool { return false },
			May:   func(_, before, after int) bool { return light[after] <= 1.15*light[before] }})
	}
}
