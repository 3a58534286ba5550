package curve

import (
	"math"
	"slices"
)

// Day is the length of a day in seconds. Days of summer-time changes are
// handled where clocks are, not here.
const Day = 86400.0

// Piece is one monotone stretch of a curve: level·f(u) with u running linearly
// from U0 at From to U1 at To (seconds of the day, 0 ≤ From < To ≤ 86400).
type Piece struct {
	From, To float64
	Shape    Shape
	U0, U1   float64
	Level    float64 // light fraction, ≥ 0
}

// At is the piece's value at t; the caller sees to it that From ≤ t ≤ To.
func (p Piece) At(t float64) float64 {
	if p.U0 == p.U1 {
		return p.Level * p.Shape.At(p.U0)
	}
	return p.Level * p.Shape.At(p.U0+(p.U1-p.U0)*(t-p.From)/(p.To-p.From))
}

// Integral is ∫ y dt from a to b inside the piece, in seconds of full light.
func (p Piece) Integral(a, b float64) float64 {
	a, b = max(a, p.From), min(b, p.To)
	if b <= a {
		return 0
	}
	if p.U0 == p.U1 {
		return p.Level * p.Shape.At(p.U0) * (b - a)
	}
	rate := (p.U1 - p.U0) / (p.To - p.From)
	ua, ub := p.U0+rate*(a-p.From), p.U0+rate*(b-p.From)
	return p.Level * (p.Shape.Area(ub) - p.Shape.Area(ua)) / rate
}

// Curve is the light fraction over one day: the sum of its pieces.
// The zero Curve is dark. Curves are values: no method changes its receiver.
type Curve struct{ pieces []Piece }

// Ramp is a curve that goes from `level`·f(u0) at from to `level`·f(u1) at to,
// both seconds after midnight; to ≤ from means that it crosses midnight.
// An equal from and to is no time at all.
func Ramp(from, to float64, s Shape, u0, u1, level float64) Curve {
	if from == to || level == 0 {
		return Curve{}
	}
	if from < to {
		return Curve{[]Piece{{from, to, s, u0, u1, level}}}
	}
	um := u0 + (u1-u0)*(Day-from)/(Day-from+to)
	var ps []Piece
	if to > 0 {
		ps = append(ps, Piece{0, to, s, um, u1, level})
	}
	if from < Day {
		ps = append(ps, Piece{from, Day, s, u0, um, level})
	}
	return Curve{ps}
}

// Hold is a curve at `level` from from to to, crossing midnight when to ≤ from.
func Hold(from, to, level float64) Curve { return Ramp(from, to, Linear, 1, 1, level) }

// Always is a curve at one level all day.
func Always(level float64) Curve {
	if level == 0 {
		return Curve{}
	}
	return Curve{[]Piece{{0, Day, Linear, 1, 1, level}}}
}

// Sum adds curves. Ends of pieces within a microsecond of each other differ by rounding and are made one: else
// there would be a moment of double light, or none, where one part follows another.
func Sum(cs ...Curve) Curve {
	var ps []Piece
	for _, c := range cs {
		ps = append(ps, c.pieces...)
	}
	ps = meet(ps)
	slices.SortStableFunc(ps, func(a, b Piece) int {
		switch {
		case a.From < b.From:
			return -1
		case a.From > b.From:
			return 1
		}
		return 0
	})
	return Curve{ps}
}

// instant is a time too short to be a part of a day, s.
const instant = 1e-6

// meet makes ends of pieces one where they are an instant apart. It may change the pieces.
func meet(ps []Piece) []Piece {
	ends := breaks([]Curve{{ps}})
	first := ends[0]
	for i, t := range ends[1:] {
		if t-ends[i] >= instant {
			first = t
			continue
		}
		one := first
		if t == Day {
			one = Day
		}
		for k := range ps {
			for _, end := range []*float64{&ps[k].From, &ps[k].To} {
				if *end == t || *end == first {
					*end = one
				}
			}
		}
		first = one
	}
	return slices.DeleteFunc(ps, func(p Piece) bool { return p.From >= p.To })
}

// Scale multiplies the light fraction by k ≥ 0.
func (c Curve) Scale(k float64) Curve {
	if k == 0 {
		return Curve{}
	}
	ps := slices.Clone(c.pieces)
	for i := range ps {
		ps[i].Level *= k
	}
	return Curve{ps}
}

// Shift moves the curve later by dt seconds, wrapping at midnight.
func (c Curve) Shift(dt float64) Curve {
	var cs []Curve
	for _, p := range c.pieces {
		if p.To-p.From >= Day && p.U0 == p.U1 {
			cs = append(cs, Curve{[]Piece{p}}) // all day long: nothing to move
			continue
		}
		from, to := wrap(p.From+dt), wrap(p.To+dt)
		cs = append(cs, Ramp(from, to, p.Shape, p.U0, p.U1, p.Level))
	}
	return Sum(cs...)
}

// Between is the part of the curve from a to b, 0 ≤ a ≤ b ≤ 86400, dark elsewhere.
func (c Curve) Between(a, b float64) Curve {
	var ps []Piece
	for _, p := range c.pieces {
		from, to := max(p.From, a), min(p.To, b)
		if from >= to {
			continue
		}
		rate := (p.U1 - p.U0) / (p.To - p.From)
		q := Piece{from, to, p.Shape, p.U0 + rate*(from-p.From), p.U0 + rate*(to-p.From), p.Level}
		if to == p.To {
			q.U1 = p.U1
		}
		ps = append(ps, q)
	}
	return Curve{ps}
}

func wrap(t float64) float64 {
	t = math.Mod(t, Day)
	if t < 0 {
		t += Day
	}
	return t
}

// Pieces is a copy of the pieces, by rising From.
func (c Curve) Pieces() []Piece { return slices.Clone(c.pieces) }

// Dark reports whether the curve gives no light at all.
func (c Curve) Dark() bool { return len(c.pieces) == 0 }

// At is the light fraction at t seconds after midnight; t wraps at the day's end.
func (c Curve) At(t float64) float64 {
	t = wrap(t)
	y := 0.0
	for _, p := range c.pieces {
		if p.From <= t && t < p.To {
			y += p.At(t)
		}
	}
	return y
}

// Before is the limit of the light fraction as t is reached from earlier times:
// at a switch-off it still is the level before. Midnight looks at the day's end.
func (c Curve) Before(t float64) float64 {
	t = wrap(t)
	if t == 0 {
		t = Day
	}
	y := 0.0
	for _, p := range c.pieces {
		if p.From < t && t <= p.To {
			y += p.At(t)
		}
	}
	return y
}

// Integral is ∫ light fraction dt from a to b, 0 ≤ a ≤ b ≤ 86400, in seconds.
func (c Curve) Integral(a, b float64) float64 {
	sum := 0.0
	for _, p := range c.pieces {
		sum += p.Integral(a, b)
	}
	return sum
}

// Dose is the integral over the whole day: seconds of full light.
func (c Curve) Dose() float64 { return c.Integral(0, Day) }

// Bend is no less than |d²y/dt²| anywhere between two neighbouring breaks, in s⁻².
func (c Curve) Bend(from, to float64) float64 {
	sum, mid := 0.0, (from+to)/2
	for _, p := range c.pieces {
		if p.From <= mid && mid < p.To {
			sum += p.bend()
		}
	}
	return sum
}

// bend is no less than |d²y/dt²| inside the piece, s⁻².
func (p Piece) bend() float64 {
	if p.U0 == p.U1 {
		return 0
	}
	rate := (p.U1 - p.U0) / (p.To - p.From)
	return p.Level * p.Shape.Bend() * rate * rate
}

// Breaks are the times, rising, at which pieces begin or end, 0 and 86400 included.
func (c Curve) Breaks() []float64 { return breaks([]Curve{c}) }

func breaks(cs []Curve) []float64 {
	bs := []float64{0, Day}
	for _, c := range cs {
		for _, p := range c.pieces {
			bs = append(bs, p.From, p.To)
		}
	}
	slices.Sort(bs)
	return slices.Compact(bs)
}
