package planfile

import (
	"bytes"
	"errors"
	"fmt"
	"math"

	"dayloom/photon/emitter"
	"dayloom/photon/ies"
	"dayloom/schedule/text/yamltree"
)

// photometry reads an IES file; what is wrong in it is reported at its own line.
func (r *reader) photometry(v yamltree.Value) emitter.Distribution {
	path, data, ok := r.files.named(v, maxTable)
	if !ok {
		return nil
	}
	p, err := ies.Read(bytes.NewReader(data))
	var e *ies.FileError
	switch {
	case errors.As(err, &e):
		r.files.add(path, e.Line, 1, e.Problem, "", "")
	case err != nil:
		r.files.add(path, 1, 1, err.Error(), "", "")
	default:
		return p
	}
	return nil
}

// nearField is how many times its own size a lamp must be away to be a point (the
// five-times rule of photometry: common practice, no source). Nearer ones are warned of.
const nearField = 5

// overOpening spreads a point over the luminous opening that its file states: length
// along φ = 0, width across it. A round one becomes the square of the same second
// moment, to which near light is equal in the first order; one without width a line.
func overOpening(e *emitter.Emitter, o ies.Opening, v yamltree.Value) {
	length, width := o.Length, o.Width
	if o.Round {
		d := math.Max(length, width)
		length, width = d*math.Sqrt(3)/2, d*math.Sqrt(3)/2
	}
	sin, cos := math.Sincos(e.Turn)
	line := func(x, y float64) {
		e.Kind = emitter.Line
		e.From, e.To = [2]float64{e.At[0] - x/2, e.At[1] - y/2}, [2]float64{e.At[0] + x/2, e.At[1] + y/2}
	}
	switch {
	case length > 0 && width > 0:
		e.Kind, e.Size = emitter.Panel, [2]float64{length, width}
	case length > 0:
		line(length*cos, length*sin)
	case width > 0:
		line(-width*sin, width*cos)
	default:
		return
	}
	if most := math.Max(o.Length, o.Width); e.Height < nearField*most {
		v.Warn(fmt.Sprintf("the opening of this lamp is %s × %s, large for %s above the water", cm(o.Length), cm(o.Width), cm(e.Height)),
			"its light is spread over the opening that the file states", "give it as a panel with its size where the file is wrong")
	}
}
