package dimmer

import (
	"errors"
	"fmt"
	"math"
)

// maxCommand bounds the commands that a response may be given in.
const maxCommand = 1e9

// Point is one row of a table: the light fraction (0..1) that a command gives.
type Point struct{ Command, Fraction float64 }

// Response is how a dimmer answers its command. It is made by Linear, Square,
// Log, Table or FromSpec, never changes, and may be shared. The zero value is
// dark at every command.
type Response struct {
	spec   Spec
	pieces []piece // in order, from −∞ to +∞
}

// Linear is light in proportion to the command, none at lo and full at hi.
func Linear(lo, hi float64) (Response, error) {
	return FromSpec(Spec{Kind: "linear", Range: [2]float64{lo, hi}})
}

// Square is light as the square of the command, none at lo and full at hi.
func Square(lo, hi float64) (Response, error) {
	return FromSpec(Spec{Kind: "square", Range: [2]float64{lo, hi}})
}

// Log is the standard dimming curve of IEC 62386-102, its arc power levels 0 to
// 254 laid over commands lo to hi: 0.1 % at level 1, full at hi, dark below level 1.
func Log(lo, hi float64) (Response, error) {
	return FromSpec(Spec{Kind: "log", Range: [2]float64{lo, hi}})
}

// Table is straight lines between points: commands rising from point to point,
// fractions within 0..1 that never fall. The range is that of the points until
// WithRange widens it. The error names the points at fault, counted from 1.
func Table(points []Point) (Response, error) {
	s := Spec{Kind: "table"}
	for _, p := range points {
		s.Points = append(s.Points, [2]float64{p.Command, p.Fraction})
	}
	return FromSpec(s)
}

// WithOffBelow is the same response with the lamp dark at every command below
// the one given.
func (r Response) WithOffBelow(command float64) (Response, error) {
	s := r.Spec()
	s.OffBelow = &command
	return FromSpec(s)
}

// WithRange is a table with the range of commands that its port can send, which
// must take in all its points: without it, a dark command below the first point
// is unknown. For the other kinds the range is the scale of the curve itself.
func (r Response) WithRange(lo, hi float64) (Response, error) {
	s := r.Spec()
	s.Range = [2]float64{lo, hi}
	return FromSpec(s)
}

// Range is the lowest and highest command.
func (r Response) Range() (lo, hi float64) { return r.spec.Range[0], r.spec.Range[1] }

// Fraction is the light fraction, 0..1, at a command. A command outside the
// range is answered as the doc of the package says.
func (r Response) Fraction(command float64) float64 {
	if len(r.pieces) == 0 {
		return 0
	}
	return r.pieces[r.find(command)].at(command)
}

// find is the index of the piece that holds a command.
func (r Response) find(command float64) int {
	low, high := 0, len(r.pieces) // by hand: pieces are large, and it is asked for most of all
	for low < high {
		if mid := (low + high) / 2; r.pieces[mid].from < command {
			low = mid + 1
		} else {
			high = mid
		}
	}
	if low < len(r.pieces) && r.pieces[low].from == command {
		return low
	}
	return max(low-1, 0)
}

// same says whether two fractions differ by rounding alone.
func same(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Max(math.Abs(a), math.Abs(b)) }

// Command is the smallest command in the range that gives a light fraction. ok
// is false when no command gives it: then the command is the smallest that
// gives more or, when none does, the smallest that gives the most light.
func (r Response) Command(fraction float64) (command float64, ok bool) {
	lo, hi := r.Range()
	if len(r.pieces) == 0 {
		return 0, fraction == 0
	}
	best, most := lo, -1.0 // the smallest command that gives the most light so far
	for i := r.find(lo); i < len(r.pieces) && r.pieces[i].from <= hi; i++ {
		p, from := r.pieces[i], math.Max(r.pieces[i].from, lo)
		start, end := p.at(from), p.at(math.Min(r.end(i), hi))
		switch {
		case same(start, fraction):
			return from, true
		case start > fraction:
			return from, false
		case end > fraction && !same(end, fraction):
			return min(max(p.inverse(fraction), from), math.Min(r.end(i), hi)), true
		case start > most:
			best, most = from, start
		}
	}
	if top := r.Fraction(hi); top > most && !same(top, most) {
		best, most = hi, top
	}
	return best, same(most, fraction)
}

// end is where piece i gives way to the next, +∞ for the last.
func (r Response) end(i int) float64 {
	if i+1 < len(r.pieces) {
		return r.pieces[i+1].from
	}
	return math.Inf(1)
}

// Darkest is the lower end of the lit commands: the command at which light
// begins, and the light fraction there. The fraction is 0 when light begins
// from nothing, without a step.
func (r Response) Darkest() (command, fraction float64) {
	lo, _ := r.Range()
	for i := range r.pieces {
		p := r.pieces[i]
		if r.end(i) <= lo || p.shape == flat && p.f0 == 0 {
			continue
		}
		from := math.Max(p.from, lo)
		return from, p.at(from)
	}
	return lo, 0
}

// Breaks lists, in rising order, the commands strictly between a and b at which
// the response has a kink or a step; between them it is smooth.
func (r Response) Breaks(a, b float64) []float64 {
	var out []float64
	for _, p := range r.pieces {
		if p.from > min(a, b) && p.from < max(a, b) {
			out = append(out, p.from)
		}
	}
	return out
}

// IsLinearBetween says whether the light fraction is a straight line of the
// command from a to b, both ends included.
func (r Response) IsLinearBetween(a, b float64) bool {
	a, b = min(a, b), max(a, b)
	if len(r.pieces) == 0 || a == b {
		return true
	}
	first, last := r.find(a), r.find(b)
	if last == first+1 && r.pieces[last].from == b && same(r.pieces[first].at(b), r.Fraction(b)) {
		last = first // b is the far end of the piece
	}
	shape := r.pieces[first].shape
	return first == last && (shape == flat || shape == straight)
}

// Bend is no less than |d²f/dc²| at any command between a and b that is inside a
// smooth part of the response, in the command's unit to the −2.
func (r Response) Bend(a, b float64) float64 {
	a, b = min(a, b), max(a, b)
	most := 0.0
	for i, p := range r.pieces {
		if p.from < b && r.end(i) > a {
			most = max(most, p.bend(min(b, r.end(i))))
		}
	}
	return most
}

// MeanBetween is the mean light fraction while the command moves in a straight
// line from c0 to c1, in closed form; dark commands count as 0. When both are
// the same it is the fraction there.
func (r Response) MeanBetween(c0, c1 float64) float64 {
	a, b := min(c0, c1), max(c0, c1)
	if len(r.pieces) == 0 || a == b {
		return r.Fraction(a)
	}
	var sum float64
	for i := r.find(a); i < len(r.pieces) && r.pieces[i].from < b; i++ {
		from, to := math.Max(a, r.pieces[i].from), math.Min(b, r.end(i))
		sum += r.pieces[i].mean(from, to) * ((to - from) / (b - a))
	}
	return sum
}

// Integral is ∫ fraction dc from command c0 to c1, in the command's unit, in
// closed form. It is negative when c1 is below c0.
func (r Response) Integral(c0, c1 float64) float64 { return r.MeanBetween(c0, c1) * (c1 - c0) }

var errNoLight = errors.New("the lamp is dark at every command: check the fractions and the command below which it is off")

func finite(what string, v float64) error {
	if !(math.Abs(v) <= maxCommand) {
		return fmt.Errorf("%s %g: it must be a number between -1e9 and 1e9", what, v)
	}
	return nil
}
