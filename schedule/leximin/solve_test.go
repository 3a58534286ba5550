package leximin_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/leximin"
)

func problem(n int, aims ...leximin.Aim) leximin.Problem {
	p := leximin.Problem{Lower: make([]float64, n), Upper: make([]float64, n), Cost: make([]float64, n), Aims: aims}
	for j := range n {
		p.Upper[j], p.Cost[j] = 1, 1
	}
	return p
}

func aim(target float64, coef ...float64) leximin.Aim { return leximin.Aim{Coef: coef, Target: target} }

func solve(t testing.TB, p leximin.Problem) leximin.Result {
	r, err := leximin.Solve(p)
	require.NoError(t, err)
	assert.LessOrEqual(t, r.Gap, 1e-6)
	return r
}

// By hand: a = 10 x should be 10 and b = 5 x should be 2. Departures 1 − x and 2.5 x − 1 meet at x = 4/7,
// where both are 3/7. c = 8 y can be had exactly and must be, at y = 1/2.
func TestTwoThatFightAndOneThatDoesNot(t *testing.T) {
	r := solve(t, problem(2, aim(10, 10, 0), aim(2, 5, 0), aim(4, 0, 8)))
	assert.InDelta(t, 4./7, r.X[0], 1e-6)
	assert.InDelta(t, 0.5, r.X[1], 1e-6)
	assert.InDelta(t, 3./7, r.Levels[0].Value, 1e-9)
	assert.ElementsMatch(t, []int{0, 1}, r.Levels[0].Aims)
	assert.InDelta(t, 0, r.Levels[1].Value, 1e-9)
	kinds := []leximin.Kind{r.Levels[0].Holds[0].Kind, r.Levels[0].Holds[1].Kind}
	assert.ElementsMatch(t, []leximin.Kind{leximin.TooHigh, leximin.TooLow}, kinds)
}

// By hand: a = 10 x cannot come nearer to 20 than by half, at x = 1. Only the greatest departure
// would leave b = 10 x + 10 y anything within 5 to 15; leximin takes b = 10, y = 0.
func TestAHopelessOneDoesNotSpoilTheOthers(t *testing.T) {
	r := solve(t, problem(2, aim(20, 10, 0), aim(10, 10, 10)))
	assert.InDeltaSlice(t, []float64{1, 0}, r.X, 1e-6)
	assert.InDelta(t, 0.5, r.Levels[0].Bound, 1e-9)
	assert.Contains(t, r.Levels[0].Holds, leximin.Hold{Kind: leximin.AtUpper, Index: 0, Price: 0.5})
}

// The least greatest error of approximating xⁿ on [−1, 1] by polynomials of degree n − 1 is 2^(1−n)
// (Chebyshev 1854; Rivlin, The Chebyshev Polynomials, Wiley 1974, section 2.1), reached at the points cos(kπ/n),
// which are among the samples. A departure from 1 is that error.
func TestChebyshevApproximation(t *testing.T) {
	for n := 2; n <= 6; n++ {
		p := leximin.Problem{Lower: make([]float64, n), Upper: make([]float64, n), Cost: make([]float64, n)}
		for j := range n {
			p.Lower[j], p.Upper[j] = -4, 4
		}
		for k := range 8*n + 1 {
			x := math.Cos(float64(k) * math.Pi / float64(8*n))
			a := leximin.Aim{Target: 1, Const: 1 - math.Pow(x, float64(n))}
			for j := range n {
				a.Coef = append(a.Coef, math.Pow(x, float64(j)))
			}
			p.Aims = append(p.Aims, a)
		}
		r := solve(t, p)
		assert.InDelta(t, math.Pow(2, float64(1-n)), r.Levels[0].Value, 1e-8, "n = %d", n)
	}
}

// Rates of sessions over shared links, fair in the max-min sense, come from raising all at once and
// freezing those whose link is full (Bertsekas & Gallager, Data Networks, 2nd ed. 1992, section 6.5.2).
// With one target that is out of reach for all, the leximin of departures is the same thing.
func TestMaxMinFairRates(t *testing.T) {
	rnd := rand.New(rand.NewPCG(7, 7))
	for range 100 {
		sessions, links := 2+rnd.IntN(6), 1+rnd.IntN(5)
		uses := make([][]bool, links)
		capacity := make([]float64, links)
		for l := range uses {
			capacity[l] = 0.2 + rnd.Float64()
			for range sessions {
				uses[l] = append(uses[l], rnd.IntN(2) == 0)
			}
		}
		p := problem(sessions)
		for i := range sessions {
			a := aim(2, make([]float64, sessions)...)
			a.Coef[i] = 1
			p.Aims = append(p.Aims, a)
		}
		p.Limits = func(x []float64) (cuts []leximin.Cut) {
			for l, c := range capacity {
				cut := leximin.Cut{Coef: make([]float64, sessions), Hi: 1, Key: l}
				load := 0.0
				for i, u := range uses[l] {
					if u {
						cut.Coef[i] = 1 / c
						load += x[i] / c
					}
				}
				if load > 1+1e-9 {
					cuts = append(cuts, cut)
				}
			}
			return cuts
		}
		r := solve(t, p)
		assert.InDeltaSlice(t, fill(uses, capacity, sessions), r.X, 1e-5)
	}
}

// fill is progressive filling; no rate goes beyond 1.
func fill(uses [][]bool, capacity []float64, sessions int) []float64 {
	rate := make([]float64, sessions)
	frozen := make([]bool, sessions)
	for range sessions {
		step := math.Inf(1)
		for l := range uses {
			left, open := capacity[l], 0.0
			for i, u := range uses[l] {
				if u {
					left -= rate[i]
					if !frozen[i] {
						open++
					}
				}
			}
			if open > 0 {
				step = min(step, left/open)
			}
		}
		for i := range rate {
			if !frozen[i] {
				step = min(step, 1-rate[i])
			}
		}
		if math.IsInf(step, 1) {
			break
		}
		for i := range rate {
			if !frozen[i] {
				rate[i] += step
			}
		}
		for i := range rate {
			full := rate[i] >= 1-1e-12
			for l := range uses {
				left := capacity[l]
				for k, u := range uses[l] {
					if u {
						left -= rate[k]
					}
				}
				full = full || (uses[l][i] && left < 1e-12)
			}
			frozen[i] = frozen[i] || full
		}
	}
	return rate
}

// Whatever point of a fine grid, or near the answer, does as well as the levels settled before does no
// better than the next level.
func TestNoGridPointIsBetter(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		// Numbers eight orders of magnitude apart can be left unproven, and then the
		// bound is zero; lamps are nearer to each other than that, or dark.
		value := rapid.OneOf(rapid.Just(0.0), rapid.Float64Range(1e-5, 3))
		p := problem(2)
		for range rapid.IntRange(1, 4).Draw(t, "aims") {
			p.Aims = append(p.Aims, leximin.Aim{
				Coef: []float64{value.Draw(t, "a"), value.Draw(t, "b")}, Const: value.Draw(t, "c") / 3, Target: 0.5 + value.Draw(t, "t"),
			})
		}
		limit := []float64{value.Draw(t, "p"), value.Draw(t, "q")}
		p.Limits = func(x []float64) []leximin.Cut {
			if limit[0]*x[0]+limit[1]*x[1] > 1+1e-9 {
				return []leximin.Cut{{Coef: limit, Hi: 1}}
			}
			return nil
		}
		r, err := leximin.Solve(p)
		require.NoError(t, err)
		require.LessOrEqual(t, limit[0]*r.X[0]+limit[1]*r.X[1], 1+1e-8)
		require.LessOrEqual(t, r.Gap, 1e-6)
		check := func(x, y float64) {
			if x < 0 || y < 0 || x > 1 || y > 1 || limit[0]*x+limit[1]*y > 1 {
				return
			}
			d := p.Departures([]float64{x, y})
			for k, l := range r.Levels {
				worst, kept := 0.0, true
				for i, v := range d {
					if r.LevelOf[i] >= k {
						worst = max(worst, v)
					}
					kept = kept && (r.LevelOf[i] != k || v <= l.Value*(1+1e-7)+1e-8)
				}
				if worst < l.Bound-1e-8 {
					t.Fatalf("%v at (%g, %g) is better than level %d, %v at %v", d, x, y, k, r.Levels, r.X)
				}
				if !kept {
					return // worse than what was settled
				}
			}
		}
		const n = 60
		for i := range n + 1 {
			for j := range n + 1 {
				check(float64(i)/n, float64(j)/n)
				check(r.X[0]+(float64(i)/n-0.5)*1e-3, r.X[1]+(float64(j)/n-0.5)*1e-3)
			}
		}
	})
}

// Rank 3 among the points that rank 2 leaves: x + y is given, the share of x is to be found.
func TestRatioUsesOnlyTheFreedomLeft(t *testing.T) {
	p := problem(2, aim(1, 1, 1))
	p.Ratios = []leximin.Ratio{
		{Num: []float64{1, 0}, Den: []float64{1, 1}, Lo: 0.7, Hi: 1},
		{Num: []float64{0, 1}, Den: []float64{1, 1}, Lo: 0.5, Hi: 1},
	}
	r := solve(t, p) // 0.7 − s = 0.5 − (1 − s) gives s = 0.6, both 0.1 short
	assert.InDeltaSlice(t, []float64{0.6, 0.4}, r.X, 1e-6)
	assert.InDelta(t, 0.1, r.Ratio.Value, 1e-7)
	assert.InDelta(t, 0.1, r.Ratio.Bound, 1e-7)
}

// The least greatest violation of ratios is found as a search over a grid finds it.
func TestRatiosAgainstGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		value := rapid.Float64Range(0, 1)
		p := problem(2) // no aims: all of the square is left
		for range rapid.IntRange(1, 3).Draw(t, "ratios") {
			r := leximin.Ratio{Num0: value.Draw(t, "n"), Lo: value.Draw(t, "lo"), Hi: 1}
			r.Den0 = r.Num0 + 0.1 + value.Draw(t, "d")
			for range 2 {
				num := value.Draw(t, "num")
				r.Num, r.Den = append(r.Num, num), append(r.Den, num+value.Draw(t, "den"))
			}
			p.Ratios = append(p.Ratios, r)
		}
		r, err := leximin.Solve(p)
		require.NoError(t, err)
		best := math.Inf(1)
		const n = 100
		for i := range n + 1 {
			for j := range n + 1 {
				worst := 0.0
				for _, q := range p.Ratios {
					x, y := float64(i)/n, float64(j)/n
					worst = max(worst, q.Lo-(q.Num0+q.Num[0]*x+q.Num[1]*y)/(q.Den0+q.Den[0]*x+q.Den[1]*y))
				}
				best = min(best, worst)
			}
		}
		require.LessOrEqual(t, r.Ratio.Value, best+1e-7)
		require.Greater(t, r.Ratio.Value, best-0.1) // a step of the grid moves a ratio by less than this
	})
}

// Least change, by hand: x + y = 1 from (0.2, 0.4) costs 0.4 however it is shared.
func TestLeastChange(t *testing.T) {
	p := problem(2, aim(1, 1, 1))
	p.From = []float64{0.2, 0.4}
	r := solve(t, p)
	assert.InDelta(t, 0.4, r.Last.Value, 1e-6)
	assert.InDelta(t, 1, r.X[0]+r.X[1], 1e-6)
	assert.GreaterOrEqual(t, r.X[0], 0.2-1e-6)
	assert.GreaterOrEqual(t, r.X[1], 0.4-1e-6)
}

// A limit that is a disc, x² + y² ≤ 1, comes as tangents: the most of x + y is √2.
func TestCurvedLimit(t *testing.T) {
	p := problem(2, aim(10, 1, 1))
	p.Limits = func(x []float64) []leximin.Cut {
		r := math.Hypot(x[0], x[1])
		if r <= 1 {
			return nil
		}
		return []leximin.Cut{{Coef: []float64{x[0] / r, x[1] / r}, Hi: 1, Room: 1e-7}}
	}
	r := solve(t, p)
	assert.InDelta(t, math.Sqrt2, r.X[0]+r.X[1], 2e-6) // 1e-7 of a target of 10 is left to lower ranks
	assert.LessOrEqual(t, math.Hypot(r.X[0], r.X[1]), 1.0)
}

func TestLimitsThatCannotBeMet(t *testing.T) {
	p := problem(1, aim(1, 1))
	p.Lower[0] = 0.5
	p.Limits = func([]float64) []leximin.Cut { return []leximin.Cut{{Coef: []float64{-1}, Hi: -2}} }
	_, err := leximin.Solve(p)
	assert.Error(t, err)
}
