package emitter

import (
	"errors"
	"fmt"
	"math"
)

// Kind is the shape of an emitter's body.
type Kind int

// The shapes.
const (
	Point Kind = iota // at At
	Line              // straight from From to To
	Panel             // a level rectangle about At
)

// Emitter is one light source. Positions are x and y [m]; Height is metres
// above the water.
type Emitter struct {
	Kind     Kind
	At       [2]float64 // point, or middle of a panel
	From, To [2]float64 // ends of a line
	Rise     float64    // of a line: how much higher To is than From [m]
	Size     [2]float64 // sides of a panel, along x and y when it is not turned
	Height   float64    // of a line: that of From
	Axis     Vec        // where the light is aimed, of any length; zero means straight down
	Turn     float64    // rotation of φ = 0 about the axis [rad], and of a panel's body about the vertical
	Light    Distribution
	Share    float64 // of the channel's flux, 0..1
}

// Sample is a part of an emitter, seen as a point.
type Sample struct {
	At    Vec           // middle of the part [m]
	Span  [2][2]float64 // from the middle to the end of a line's part, or to two sides of a panel's, along x and y [m]
	Share float64       // of the channel's flux
}

// Half is how far the part reaches from its middle along x and y [m].
func (s Sample) Half() (x, y float64) {
	return math.Abs(s.Span[0][0]) + math.Abs(s.Span[1][0]), math.Abs(s.Span[0][1]) + math.Abs(s.Span[1][1])
}

// Validate reports what is wrong with the emitter, or nil.
func (e Emitter) Validate() error {
	for _, v := range []float64{e.At[0], e.At[1], e.From[0], e.From[1], e.To[0], e.To[1], e.Size[0], e.Size[1], e.Height, e.Axis[0], e.Axis[1], e.Axis[2], e.Turn, e.Share, e.Rise} {
		if !(math.Abs(v) <= largest) {
			return fmt.Errorf("emitter: every position, size, angle and share must be a finite number, at most %d", largest)
		}
	}
	switch {
	case e.Kind < Point || e.Kind > Panel:
		return errors.New("emitter: the shape must be a point, a line or a panel")
	case e.Light == nil:
		return errors.New("emitter: no light distribution; give a beam angle or a photometry file")
	case e.Height < lowest || e.Height+e.Rise < lowest:
		return fmt.Errorf("emitter: height %g m: it must be above the water, %g m or more", math.Min(e.Height, e.Height+e.Rise), lowest)
	case e.Axis != (Vec{}) && !(e.Axis.norm() >= lowest):
		return fmt.Errorf("emitter: the aim has the length %.3g: it must be %g or more", e.Axis.norm(), lowest)
	case e.Share < 0 || e.Share > 1:
		return fmt.Errorf("emitter: share %g of the flux: it must be from 0 to 1", e.Share)
	case e.Kind == Line && e.From == e.To && e.Rise == 0:
		return errors.New("emitter: a line's two ends are the same place; move one, or make it a point")
	case e.Kind != Line && e.Rise != 0:
		return errors.New("emitter: only a line has two heights")
	case e.Kind == Panel && (e.Size[0] <= 0 || e.Size[1] <= 0):
		return fmt.Errorf("emitter: panel of %g m × %g m: both sides must be more than 0 m", e.Size[0], e.Size[1])
	}
	return nil
}

// No emitter is larger or farther than largest [m], or nearer to the water than lowest.
const (
	largest = 1000
	lowest  = 1e-6
)

// Extent is the length of a line, the longer side of a panel, 0 for a point [m].
func (e Emitter) Extent() float64 {
	switch e.Kind {
	case Line:
		return math.Hypot(math.Hypot(e.To[0]-e.From[0], e.To[1]-e.From[1]), e.Rise)
	case Panel:
		return math.Max(e.Size[0], e.Size[1])
	}
	return 0
}

// Parts is how many samples Samples gives.
func (e Emitter) Parts(spacing float64) int {
	switch e.Kind {
	case Line:
		return parts(e.Extent(), spacing)
	case Panel:
		return parts(e.Size[0], spacing) * parts(e.Size[1], spacing)
	}
	return 1
}

// Samples splits the body into equal parts no longer than spacing [m] in
// either direction. A spacing of zero or less, or one longer than the body,
// gives one part; a point is always one.
func (e Emitter) Samples(spacing float64) []Sample {
	switch e.Kind {
	case Line:
		return e.line(spacing)
	case Panel:
		return e.panel(spacing)
	}
	return []Sample{{At: Vec{e.At[0], e.At[1], e.Height}, Share: e.Share}}
}

func (e Emitter) line(spacing float64) []Sample {
	dx, dy := e.To[0]-e.From[0], e.To[1]-e.From[1]
	n := e.Parts(spacing)
	out := make([]Sample, n)
	for i := range out {
		t := (float64(i) + 0.5) / float64(n)
		out[i] = Sample{
			At:    Vec{e.From[0] + t*dx, e.From[1] + t*dy, e.Height + t*e.Rise},
			Span:  [2][2]float64{{dx / float64(2*n), dy / float64(2*n)}},
			Share: e.Share / float64(n),
		}
	}
	return out
}

func (e Emitter) panel(spacing float64) []Sample {
	nx, ny := parts(e.Size[0], spacing), parts(e.Size[1], spacing)
	cx, cy := e.Size[0]/float64(nx), e.Size[1]/float64(ny)
	sin, cos := math.Sincos(e.Turn)
	span := [2][2]float64{{cos * cx / 2, sin * cx / 2}, {-sin * cy / 2, cos * cy / 2}}
	out := make([]Sample, 0, nx*ny)
	for j := range ny {
		for i := range nx {
			x, y := cx*(float64(i)-0.5*float64(nx-1)), cy*(float64(j)-0.5*float64(ny-1))
			out = append(out, Sample{
				At:    Vec{e.At[0] + cos*x - sin*y, e.At[1] + sin*x + cos*y, e.Height},
				Span:  span,
				Share: e.Share / float64(nx*ny),
			})
		}
	}
	return out
}

// parts is how many parts no longer than spacing make up the length. The
// slack keeps 1 m at 0.1 m spacing at ten parts whatever the rounding.
func parts(length, spacing float64) int {
	if !(spacing > 0) || spacing >= length {
		return 1
	}
	return int(math.Ceil(length/spacing - 1e-9))
}
