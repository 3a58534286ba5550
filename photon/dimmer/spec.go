package dimmer

import (
	"fmt"
	"math"
	"slices"
)

// Spec is a response in writing, enough to make it again.
type Spec struct {
	Kind     string       `json:"kind"`                // linear, square, log or table
	Range    [2]float64   `json:"range"`               // lowest and highest command
	Points   [][2]float64 `json:"points,omitempty"`    // of a table: command and light fraction
	OffBelow *float64     `json:"off_below,omitempty"` // below this command the lamp is dark
}

// Spec describes the response; FromSpec makes the same response of it.
func (r Response) Spec() Spec {
	s := r.spec
	s.Points = slices.Clone(s.Points)
	if s.OffBelow != nil {
		off := *s.OffBelow
		s.OffBelow = &off
	}
	return s
}

// FromSpec makes a response from its description. The range of a table may be
// left at zero: it is then that of its points.
func FromSpec(s Spec) (Response, error) {
	s = Response{spec: s}.Spec() // a copy that the caller cannot reach
	if s.Kind == "table" && s.Range == [2]float64{} && len(s.Points) > 0 {
		s.Range = [2]float64{s.Points[0][0], s.Points[len(s.Points)-1][0]}
	}
	if err := s.check(); err != nil {
		return Response{}, err
	}
	pieces := s.curve()
	if s.OffBelow != nil {
		pieces = darken(pieces, *s.OffBelow)
	}
	r := Response{s, join(pieces)}
	if _, hi := r.Range(); r.Fraction(hi) == 0 {
		return Response{}, errNoLight
	}
	return r, nil
}

func (s Spec) check() error {
	kinds := []string{"linear", "square", "log", "table"}
	if !slices.Contains(kinds, s.Kind) {
		return fmt.Errorf("response kind %q: it must be linear, square, log or table", s.Kind)
	}
	if s.Kind == "table" {
		if err := checkPoints(s.Points); err != nil {
			return err
		}
	} else if len(s.Points) > 0 {
		return fmt.Errorf("a %s response has no points: leave them out, or make its kind table", s.Kind)
	}
	lo, hi := s.Range[0], s.Range[1]
	for _, v := range s.Range {
		if err := finite("command range end", v); err != nil {
			return err
		}
	}
	if hi <= lo {
		return fmt.Errorf("command range %g to %g: the second must be higher than the first", lo, hi)
	}
	if hi-lo < 1e-6*max(1, math.Abs(lo), math.Abs(hi)) {
		return fmt.Errorf("command range %g to %g: too narrow to dim over", lo, hi)
	}
	if s.Kind == "table" && (lo > s.Points[0][0] || hi < s.Points[len(s.Points)-1][0]) {
		return fmt.Errorf("command range %g to %g: it must take in all points of the table, %g to %g", lo, hi, s.Points[0][0], s.Points[len(s.Points)-1][0])
	}
	if s.OffBelow != nil {
		if err := finite("off below", *s.OffBelow); err != nil {
			return err
		}
		if *s.OffBelow > hi {
			return fmt.Errorf("off below %g: above the highest command, %g, the lamp would never be lit", *s.OffBelow, hi)
		}
	}
	return nil
}

func checkPoints(points [][2]float64) error {
	if len(points) < 2 {
		return fmt.Errorf("a table with %d points: at least two are needed, such as the darkest and the brightest level", len(points))
	}
	for i, p := range points {
		if err := finite(fmt.Sprintf("point %d: command", i+1), p[0]); err != nil {
			return err
		}
		if !(p[1] >= 0 && p[1] <= 1) {
			return fmt.Errorf("point %d: level %g: it must lie between 0 and 1", i+1, p[1])
		}
		if i == 0 {
			continue
		}
		q := points[i-1]
		if p[0] <= q[0] {
			return fmt.Errorf("points %d and %d: command %g after %g: each must be higher than the one before", i, i+1, p[0], q[0])
		}
		if p[1] < q[1] {
			return fmt.Errorf("points %d and %d: the light falls from %g to %g as the command rises from %g to %g: it must never fall", i, i+1, q[1], p[1], q[0], p[0])
		}
	}
	return nil
}

// curve is the pieces of a description that has been checked, as if the lamp
// never went off.
func (s Spec) curve() []piece {
	lo, hi := s.Range[0], s.Range[1]
	begin := math.Inf(-1)
	switch s.Kind {
	case "linear":
		return []piece{{from: begin}, {from: lo, shape: straight, c0: lo, c1: hi, f1: 1}, {from: hi, f0: 1}}
	case "square":
		return []piece{{from: begin}, {from: lo, shape: square, c0: lo, c1: hi}, {from: hi, f0: 1}}
	case "log":
		one := lo + (hi-lo)/254 // the command of arc power level 1
		return []piece{{from: begin}, {from: one, shape: exponent, c0: one, c1: hi}, {from: hi, f0: 1}}
	}
	out := []piece{{from: begin, f0: s.Points[0][1]}}
	for i := 1; i < len(s.Points); i++ {
		a, b := s.Points[i-1], s.Points[i]
		p := piece{from: a[0], shape: straight, c0: a[0], f0: a[1], c1: b[0], f1: b[1]}
		if p.f0 == p.f1 {
			p.shape = flat
		}
		out = append(out, p)
	}
	end := s.Points[len(s.Points)-1]
	return append(out, piece{from: end[0], f0: end[1]})
}

// darken makes the response dark below a command.
func darken(pieces []piece, off float64) []piece {
	out := []piece{{from: math.Inf(-1)}}
	for i, p := range pieces {
		if i+1 < len(pieces) && pieces[i+1].from <= off {
			continue
		}
		p.from = math.Max(p.from, off)
		out = append(out, p)
	}
	return out
}

// join takes neighbouring pieces of the same steady light as one, so that every
// piece begins at a kink or a step.
func join(pieces []piece) []piece {
	out := pieces[:1:1]
	for _, p := range pieces[1:] {
		if last := out[len(out)-1]; p.shape == flat && last.shape == flat && p.f0 == last.f0 {
			continue
		}
		out = append(out, p)
	}
	return out
}
