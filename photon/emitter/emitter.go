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
	Panel             // a level rectangle about At, its sides along x and y
)

// Emitter is one light source. Positions are x and y [m]; Height is metres
// above the water for the whole body.
type Emitter struct {
	Kind     Kind
	At       [2]float64 // point, or middle of a panel
	From, To [2]float64 // ends of a line
	Size     [2]float64 // sides of a panel along x and y
	Height   float64
	Axis     Vec     // where the light is aimed, of any length; zero means straight down
	Turn     float64 // rotation of φ = 0 about the axis [rad]; turns the light, not the body
	Light    Distribution
	Share    float64 // of the channel's flux, 0..1
}

// Sample is a part of an emitter, seen as a point.
type Sample struct {
	At    Vec        // middle of the part [m]
	Half  [2]float64 // half-extent of the part along x and y [m]
	Share float64    // of the channel's flux
}

// Validate reports what is wrong with the emitter, or nil.
func (e Emitter) Validate() error {
	for _, v := range []float64{e.At[0], e.At[1], e.From[0], e.From[1], e.To[0], e.To[1], e.Size[0], e.Size[1], e.Height, e.Axis[0], e.Axis[1], e.Axis[2], e.Turn, e.Share} {
		if math.IsNaN(v) || math.IsInf(v, 0) {
			return errors.New("emitter: every position, size, angle and share must be a finite number")
		}
	}
	switch {
	case e.Kind < Point || e.Kind > Panel:
		return errors.New("emitter: the shape must be a point, a line or a panel")
	case e.Light == nil:
		return errors.New("emitter: no light distribution; give a beam angle or a photometry file")
	case e.Height <= 0:
		return fmt.Errorf("emitter: height %g m: it must be above the water, more than 0 m", e.Height)
	case e.Share < 0 || e.Share > 1:
		return fmt.Errorf("emitter: share %g of the flux: it must be from 0 to 1", e.Share)
	case e.Kind == Line && e.From == e.To:
		return errors.New("emitter: a line's two ends are the same place; move one, or make it a point")
	case e.Kind == Panel && (e.Size[0] <= 0 || e.Size[1] <= 0):
		return fmt.Errorf("emitter: panel of %g m × %g m: both sides must be more than 0 m", e.Size[0], e.Size[1])
	}
	return nil
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
	n := parts(math.Hypot(dx, dy), spacing)
	out := make([]Sample, n)
	for i := range out {
		t := (float64(i) + 0.5) / float64(n)
		out[i] = Sample{
			At:    Vec{e.From[0] + t*dx, e.From[1] + t*dy, e.Height},
			Half:  [2]float64{math.Abs(dx) / float64(2*n), math.Abs(dy) / float64(2*n)},
			Share: e.Share / float64(n),
		}
	}
	return out
}

func (e Emitter) panel(spacing float64) []Sample {
	nx, ny := parts(e.Size[0], spacing), parts(e.Size[1], spacing)
	cx, cy := e.Size[0]/float64(nx), e.Size[1]/float64(ny)
	out := make([]Sample, 0, nx*ny)
	for j := range ny {
		for i := range nx {
			out = append(out, Sample{
				At: Vec{
					e.At[0] + cx*(float64(i)-0.5*float64(nx-1)),
					e.At[1] + cy*(float64(j)-0.5*float64(ny-1)),
					e.Height,
				},
				Half:  [2]float64{cx / 2, cy / 2},
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
