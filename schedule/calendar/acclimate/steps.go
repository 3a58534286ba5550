package acclimate

import (
	"fmt"
	"math"

	"dayloom/schedule/plan"
)

// Thresholds; the package comment has what they rest on.
const (
	warnRise   = 0.30 // in one day
	refuseRise = 0.50
	tolerance  = 1e-3 // of a rise: moonlight and season move that much by themselves
)

// Even is the light after each of n even ratio steps from a to b; the first value is
// a itself, the last b. a and b are in the same unit and more than 0.
func Even(a, b float64, n int) []float64 {
	out := make([]float64, n+1)
	for k := range out {
		out[k] = rung(a, b, k, n)
	}
	return out
}

func rung(a, b float64, k, n int) float64 {
	switch k {
	case 0:
		return a
	case n:
		return b
	}
	return a * math.Pow(b/a, float64(k)/float64(n))
}

// Needed is the least number of even ratio steps from a to b of which none is a rise
// of more than stepMax.
func Needed(a, b, stepMax float64) int {
	if b <= a {
		return 0
	}
	return max(int(math.Ceil(math.Log(b/a)/math.Log1p(stepMax)-1e-9)), 1)
}

// timing is how many steps and how far apart.
type timing struct {
	n, every int
	ratio    float64 // of each step
	errs     []fault
	notes    []string
}

// fault is what is wrong and what would fit.
type fault struct{ what, hint string }

// fit makes the plan's `over`, `every` and `step_max` agree, or says what would. limit
// is the largest relative rise of a step with the season taken off.
func fit(acc plan.Acclimation, a, b, stepMax, limit float64) timing {
	t := timing{every: acc.EveryDays, ratio: 1}
	need := Needed(a, b, limit)
	t.n = need
	if need == 0 {
		return t
	}
	if acc.OverDays > 0 {
		t.n = acc.OverDays / t.every
		if t.n == 0 {
			t.errs = append(t.errs, fault{
				fmt.Sprintf("over %s is shorter than every %s", days(acc.OverDays), days(t.every)),
				fmt.Sprintf("make `every` %s or less, or `over` %s or more", days(acc.OverDays), days(need*t.every))})
			t.n = 1
		} else if rest := acc.OverDays % t.every; rest != 0 {
			t.notes = append(t.notes, fmt.Sprintf("over %s is not a whole number of %s: %d steps, done after %s", days(acc.OverDays), days(t.every), t.n, days(t.n*t.every)))
		}
	}
	t.ratio = math.Pow(b/a, 1/float64(t.n))
	if t.n < need {
		t.errs = append(t.errs, fault{
			fmt.Sprintf("from %.3g to %.3g in %s every %s needs steps of %.1f %%, more than step_max %.4g %%", a, b, count(t.n), days(t.every), 100*(t.ratio-1), 100*stepMax),
			wouldFit(acc.OverDays, t.every, need, t.ratio)})
	}
	return t
}

func wouldFit(over, every, need int, ratio float64) string {
	text := fmt.Sprintf("any one of these fits: over %s", days(need*every))
	if e := over / need; e >= 1 {
		text += fmt.Sprintf("; every %s", days(e))
	}
	if ratio-1 <= refuseRise {
		text += fmt.Sprintf("; step_max %.1f %%", math.Ceil(1000*(ratio-1))/10)
	}
	return text
}

func days(n int) string {
	if n == 1 {
		return "1 day"
	}
	return fmt.Sprintf("%d days", n)
}

func count(n int) string {
	if n == 1 {
		return "1 step"
	}
	return fmt.Sprintf("%d steps", n)
}
