package lowering

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/schedule/shape/curve"
)

// brute tries every table of a day of few times and few commands, by an account of its
// own of what a port gives. Curves are straight between their breaks and the response
// linear, so both lights are straight between the times looked at and nothing can hide
// between them.
type brute struct {
	step   float64 // s between times
	levels []float64
	hold   bool
	want   curve.Curve
	looks  []look
	dose   float64
}

// look is a time at which a table is looked at, from one of its sides.
type look struct {
	t      float64
	before bool
	lo, hi float64
	dark   bool
}

// at adds a time to look at.
func (b *brute) at(t float64) {
	for _, before := range []bool{true, false} {
		lo, hi, dark := b.right(t, before)
		b.looks = append(b.looks, look{t, before, lo, hi, dark})
	}
}

func (b brute) light(ts []int, ls []float64, t float64, before bool) float64 {
	n := len(ts)
	at := func(i int) float64 { return float64(ts[i]) * b.step }
	k := n - 1 // the last point not after t, over midnight
	for i := range n {
		if at(i) < t || at(i) == t && !before {
			k = i
		}
	}
	start := at(k)
	if start > t || start == t && before {
		start -= curve.Day
	}
	if b.hold {
		return ls[k]
	}
	next := (k + 1) % n
	end := at(next)
	for end <= start {
		end += curve.Day
	}
	return ls[k] + (ls[next]-ls[k])*(t-start)/(end-start)
}

// departure is how far a table is off, up to so much; infinite where it is lit in the dark.
func (b brute) departure(ts []int, ls []float64, least float64) float64 {
	worst := 0.0
	for _, k := range b.looks {
		y := b.light(ts, ls, k.t, k.before)
		if k.dark && y > 1e-12 {
			return math.Inf(1)
		}
		if worst = max(worst, k.lo-y, y-k.hi); worst > least {
			break
		}
	}
	return worst
}

// kinks are the times at which the curve passes one side of a jump: within its time step
// the lights that count as asked may have a kink there.
func (b brute) kinks() (out []float64) {
	breaks := b.want.Breaks()
	for _, j := range breaks {
		j = math.Mod(j, curve.Day)
		for _, side := range []float64{b.want.Before(j), b.want.At(j)} {
			for i := 1; i < len(breaks); i++ {
				y, z := b.want.At(breaks[i-1]), b.want.Before(breaks[i])
				if (y-side)*(z-side) < 0 {
					out = append(out, breaks[i-1]+(breaks[i]-breaks[i-1])*(side-y)/(z-y))
				}
			}
		}
	}
	return out
}

// right is the lights that count as asked just before or just after a time, and whether
// it is inside a dark part of the day.
func (b brute) right(t float64, before bool) (lo, hi float64, dark bool) {
	lo = b.want.At(t)
	if before {
		lo = b.want.Before(t)
	}
	hi = lo
	inStep := false
	for _, j := range b.want.Breaks() {
		j = math.Mod(j, curve.Day)
		from, to := b.want.Before(j), b.want.At(j)
		if math.Abs(from-to) < 1e-9 || b.hold && math.Mod(j, b.step) == 0 {
			continue
		}
		start := (math.Ceil(j/b.step) - 1) * b.step // of the time step in which the jump falls
		for _, day := range []float64{-curve.Day, 0, curve.Day} {
			if s := t - day - start; s > 0 && s < b.step || s == 0 && !before || s == b.step && before {
				lo, hi, inStep = min(lo, from, to), max(hi, from, to), inStep || b.darkBetween(s+start, j)
			}
		}
	}
	return lo, hi, !inStep && b.inDark(t, before)
}

// darkBetween says whether the day is dark all the way from a time to another less than a
// step away.
func (b brute) darkBetween(t, u float64) bool {
	if t > u {
		t, u = u, t
	}
	for s := t + 1; s < u; s += 200 {
		if b.want.At(math.Mod(s+curve.Day, curve.Day)) > 0 {
			return false
		}
	}
	return true
}

// inDark says whether the day is dark for two steps or more around just before, or just
// after, a time.
func (b brute) inDark(t float64, before bool) bool {
	if t++; before {
		t -= 2
	}
	dark := func(t float64) bool { return b.want.At(math.Mod(t+curve.Day, curve.Day)) == 0 }
	back, on := 0.0, 0.0
	for ; back < curve.Day && dark(t-back); back += 300 {
	}
	for ; on < curve.Day && dark(t+on); on += 300 {
	}
	return back > 0 && back+on-300 >= 2*b.step
}

// off is how far the dose of a table is outside the tolerance.
func (b brute) off(ts []int, ls []float64) float64 {
	sum, n := 0.0, len(ts)
	for i := range n {
		k := (i + 1) % n
		span := float64(ts[k]-ts[i]) * b.step
		if span <= 0 {
			span += curve.Day
		}
		if b.hold {
			sum += ls[i] * span
		} else {
			sum += (ls[i] + ls[k]) / 2 * span
		}
	}
	return max(math.Abs(sum-b.dose)-0.005*b.dose, 0)
}

// all visits every set of n times with every choice of levels.
func (b brute) all(n int, visit func(ts []int, ls []float64)) {
	slots := int(curve.Day / b.step)
	ts, ls := make([]int, n), make([]float64, n)
	var pick func(k, from int)
	pick = func(k, from int) {
		if k == n {
			visit(ts, ls)
			return
		}
		for t := from; t < slots; t++ {
			for _, l := range b.levels {
				ts[k], ls[k] = t, l
				pick(k+1, t+1)
			}
		}
	}
	pick(0, 0)
}

// best is the least departure of all tables that come nearest to the dose.
func (b brute) best(most int) (off, least float64, points []int, levels []float64) {
	off, least = math.Inf(1), math.Inf(1)
	for n := 1; n <= most; n++ {
		b.all(n, func(ts []int, ls []float64) {
			o := b.off(ts, ls)
			if o > off+1e-6 {
				return
			}
			limit := least
			if o < off-1e-6 {
				limit = math.Inf(1)
			}
			if d := b.departure(ts, ls, limit); d < limit {
				off, least = o, d
				points, levels = slices.Clone(ts), slices.Clone(ls)
			}
		})
	}
	return off, least, points, levels
}

// straightDay draws a day of straight pieces, and jumps, between lights of at least so
// many twentieths.
func straightDay(t *rapid.T, least int) curve.Curve {
	n := rapid.IntRange(2, 5).Draw(t, "n")
	at := rapid.SliceOfNDistinct(rapid.IntRange(0, 47), n, n, rapid.ID).Draw(t, "half hours")
	slices.Sort(at)
	var parts []curve.Curve
	last := -1
	first := rapid.IntRange(least, 20).Draw(t, "light")
	for i := range at {
		k := (i + 1) % n
		from, to := float64(at[i])*1800, float64(at[k])*1800
		begin := last
		if i == 0 {
			begin = first
		} else if rapid.IntRange(0, 3).Draw(t, "jumps") == 0 {
			begin = rapid.IntRange(least, 20).Draw(t, "light")
		}
		last = rapid.SampledFrom([]int{least, least, rapid.IntRange(least, 20).Draw(t, "light")}).Draw(t, "to")
		if k == 0 && rapid.Bool().Draw(t, "closed") {
			last = first
		}
		// a straight piece as a rise from nothing and a fall to nothing
		parts = append(parts, curve.Ramp(from, to, curve.Linear, 1, 0, float64(begin)/20), curve.Ramp(from, to, curve.Linear, 0, 1, float64(last)/20))
	}
	return curve.Sum(parts...)
}

// No table of the smallest controllers is better than the exact one: it comes as near to
// the dose as any can, and none that does departs less.
func TestNoBetterTableExists(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		hold := rapid.Bool().Draw(t, "hold")
		least := rapid.SampledFrom([]int{0, 0, 5}).Draw(t, "least")
		day := straightDay(t, least)
		step := 10800.0
		l := percent(rapid.SampledFrom([]float64{25, 50}).Draw(t, "command step"), rapid.IntRange(1, 3).Draw(t, "points"), hold, step)
		if day.Dose() < 600 {
			return
		}
		b := brute{step: step, hold: hold, want: day, dose: day.Dose()}
		for c := 0.0; c <= 100; c += l.Step {
			b.levels = append(b.levels, c/100)
		}
		for s := 0.0; s < curve.Day; s += step / 2 {
			b.at(s)
		}
		for _, s := range append(b.kinks(), day.Breaks()...) {
			b.at(math.Mod(s, curve.Day))
		}
		off, want, ts, ls := b.best(l.MaxPoints)
		l.Exact = rapid.Bool().Draw(t, "asked for") // so few ways are all tried in any case
		r := Lower(day, l)
		var gt []int
		var gl []float64
		for _, p := range r.Points {
			gt, gl = append(gt, int(math.Round(p.Time/step))), append(gl, p.Command/100)
		}
		require.True(t, r.Proven)
		assert.InDelta(t, off, b.off(gt, gl), 2e-3, "as near to the dose: %v %v", ts, ls)
		assert.InDelta(t, want, r.Greatest, 5e-6, "as near to the curve: %v %v against %v %v", ts, ls, gt, gl)
		assert.InDelta(t, want, b.departure(gt, gl, 2), 5e-6, "by an account of its own")
		assert.LessOrEqual(t, r.Bound, want+5e-6)
	})
}
