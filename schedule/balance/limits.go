package balance

import (
	"cmp"
	"math"
	"slices"

	"dayloom/schedule/light"
)

const (
	sharp = 5e-9 // of a limit: how nearly its worst moment is found
	room  = 4e-8 // of a limit: kept free, so that the worst moment, found a little later, still holds
	broke = 1e-9 // of a limit: what constants alone may exceed it by through rounding
)

// cut is a limit coef·x ≤ hi of rank 1 at one moment, of which 1 is the whole and hi what constants leave.
type cut struct {
	coef []float64
	hi   float64
	room float64 // by which x stays below hi, so that limits found too late by a hair still hold
	key  int     // into task.limits
}

// limitKind is what a limit is about.
type limitKind string

// The limits of rank 1 beside 0 ≤ peak ≤ 1.
const (
	ppfdMax  limitKind = "ppfd_max"
	dliMax   limitKind = "dli_max"
	powerMax limitKind = "power_max"
	rating   limitKind = "circuit"
	fraction limitKind = "light_fraction" // moonlight and daylight of one channel together
)

// limit is G(y) ≤ 1 with G(y) = Σ w y + z·sqrt(Σ own (w y)² + (Σ common w y)²), where y is the light
// fractions at a moment or, for dli_max, the doses. G rises with every y, is convex and of degree 1.
type limit struct {
	kind    limitKind
	place   int // into task.places, for light; −1 otherwise
	point   int // of an area, −1: none
	circuit int
	channel int
	bound   float64 // in the plan's unit
	w       []float64
	z       float64
	own     []float64 // variances; nil without z
	common  []float64 // relative deviations by the error that all channels share
}

func (t *task) allLimits() (out []limit) {
	n := len(t.p.Channels)
	electric := func(kind limitKind, circuit int, bound float64, channels []int) {
		l := limit{kind: kind, place: -1, point: -1, circuit: circuit, channel: -1, bound: bound, w: make([]float64, n)}
		for _, c := range channels {
			l.w[c] = t.p.Channels[c].PowerW / bound
		}
		out = append(out, l)
	}
	if b := t.p.Balance.PowerMaxW; b > 0 && !math.IsInf(b, 1) {
		all := make([]int, n)
		for c := range all {
			all[c] = c
		}
		electric(powerMax, -1, b, all)
	}
	for i, c := range t.p.Circuits {
		electric(rating, i, c.RatingA*c.Continuous*c.SupplyV*c.PowerFactor, c.Channels)
	}
	for c, a := range t.autos {
		if a.peak && (a.entries > 1 || !t.base.Channels[c].Curve.Dark()) {
			l := limit{kind: fraction, place: -1, point: -1, circuit: -1, channel: c, bound: 1, w: make([]float64, n)}
			l.w[c] = 1
			out = append(out, l)
		}
	}
	for i, pl := range t.places {
		if most := pl.target.never(t.z); !math.IsInf(most, 1) {
			out = append(out, t.light(dliMax, i, -1, most*1e6, pl.cells))
		}
		if pl.coral >= 0 && !math.IsInf(pl.target.PPFDMax, 1) {
			out = append(out, t.light(ppfdMax, i, -1, pl.target.PPFDMax, pl.cells))
		}
	}
	for k, a := range t.f.Areas {
		i := len(t.p.Corals) + k
		if math.IsInf(t.places[i].target.PPFDMax, 1) {
			continue
		}
		for q, cells := range a.Cells {
			out = append(out, t.light(ppfdMax, i, q, t.places[i].target.PPFDMax, cells))
		}
	}
	return out
}

// light is a limit on PPFD or DLI; bound is in the unit of Σ PPFD·y.
func (t *task) light(kind limitKind, place, point int, bound float64, cells []light.Cell) limit {
	l := limit{kind: kind, place: place, point: point, circuit: -1, channel: -1, bound: bound, w: make([]float64, len(cells)), z: t.z}
	for c, cell := range cells {
		l.w[c] = cell.PPFD * t.age[c] / bound
		if t.z > 0 {
			l.own = append(l.own, cell.Own*cell.Own)
			l.common = append(l.common, cell.Common)
		}
	}
	return l
}

// at is G(y).
func (l *limit) at(y []float64) float64 {
	g := 0.0
	if l.z == 0 {
		for c, w := range l.w {
			g += w * y[c]
		}
		return g
	}
	mean, sd := l.parts(y)
	return mean + l.z*sd
}

func (l *limit) parts(y []float64) (mean, sd float64) {
	var own float64
	for c, w := range l.w {
		v := w * y[c]
		mean += v
		own += l.own[c] * v * v
	}
	common := l.shared(y)
	return mean, math.Sqrt(own + common*common)
}

// shared is the deviation of G by the error that all channels share.
func (l *limit) shared(y []float64) (sum float64) {
	for c, w := range l.w {
		sum += l.common[c] * w * y[c]
	}
	return sum
}

// gradient is dG/dy at y; G(y') ≥ gradient·y' everywhere, with equality at y.
func (l *limit) gradient(y []float64) []float64 {
	g := append([]float64(nil), l.w...)
	if l.z == 0 {
		return g
	}
	common := l.shared(y)
	if _, sd := l.parts(y); sd > 0 {
		for c, w := range l.w {
			g[c] += l.z * (l.own[c]*w*w*y[c] + common*l.common[c]*w) / sd
		}
	}
	return g
}

// worst is the greatest G of one limit at x: its value and when.
func (s *system) worst(l *limit, now *scene, doses []float64, enough float64) (value float64, at moment) {
	if l.kind == dliMax {
		return l.at(doses), moment{}
	}
	return now.worst(l, enough)
}

// broken lists cuts for the limits that x breaks, worst first, a few at a time.
func (s *system) broken(x []float64) []cut {
	type hit struct {
		limit int
		value float64
		at    moment
	}
	var hits []hit
	now, doses := s.moments.scene(x), s.doses(x)
	for i := range s.limits {
		if v, at := s.worst(&s.limits[i], now, doses, 1-sharp); v > 1-sharp {
			hits = append(hits, hit{i, v, at})
		}
	}
	slices.SortStableFunc(hits, func(a, b hit) int { return cmp.Compare(b.value, a.value) })
	hits = hits[:min(len(hits), max(16, 2*len(s.vars)))]
	var cuts []cut
	for _, h := range hits {
		cuts = append(cuts, s.cut(h.limit, h.at, x, doses))
	}
	return cuts
}

// cut is the tangent of a limit at one moment of x.
func (s *system) cut(i int, at moment, x, doses []float64) cut {
	l := &s.limits[i]
	cut := cut{coef: make([]float64, len(s.vars)), hi: 1, room: max(room, s.spare()-inside), key: i}
	zero, one := s.dose0, s.dose1
	y := doses
	if l.kind != dliMax {
		zero, one = s.moments.at(at)
		y = s.moments.mix(zero, one, x)
	}
	for c, g := range l.gradient(y) {
		cut.hi -= g * zero[c]
		if j := s.varOf[c]; j >= 0 {
			cut.coef[j] += g * one[c]
		}
	}
	return cut
}
