package planfile

import (
	"fmt"
	"math"

	"dayloom/photon/emitter"
	"dayloom/photon/ies"
	"dayloom/schedule/text/quantity"
	"dayloom/schedule/text/yamltree"
)

func (r *reader) emitters(v yamltree.Value) (out []emitter.Emitter) {
	const example = "write a list such as [{point: {at: [60 cm, 30 cm], height: 30 cm}, beam: 60 deg}]"
	items := v.Items(example)
	if v.IsList() && len(items) == 0 {
		v.Error("emitters is an empty list", example, "leave the key out when readings give the light")
	}
	shares, sum := 0, 0.0
	for i, item := range items {
		f, ok := item.Fields()
		if !ok {
			continue
		}
		if f, ok = r.likeThat(f, i); !ok {
			continue
		}
		e := r.emitter(item, f)
		if f.Has("share") {
			shares++
			e.Share = number(f.Get("share"))
			sum += e.Share
		}
		out = append(out, e)
	}
	switch {
	case len(out) == 0:
	case shares == 0:
		for i := range out {
			out[i].Share = 1 / float64(len(out))
		}
	case shares < len(out):
		v.Error(fmt.Sprintf("%d of %s have a share", shares, count(len(out), "emitter")), "give all a share, or none for equal shares", "")
	case math.Abs(sum-1) > 0.001:
		v.Error(fmt.Sprintf("the shares of the emitters sum to %s", quantity.Share.Format(sum)), "they must sum to 100 %", "")
	}
	return out
}

// emitter reads one body, where it is aimed, and how its light spreads.
func (r *reader) emitter(v yamltree.Value, f yamltree.Fields) (e emitter.Emitter) {
	var body yamltree.Value
	for kind, key := range []string{"point", "line", "panel"} { // in the order of emitter.Kind
		switch b := f.Get(key); {
		case !b.Given():
		case body.Given():
			b.Conflict("an emitter has one body", "leave one out: line, point or panel", body.KeyPlace(), "the other is here")
		default:
			body, e.Kind = b, emitter.Kind(kind)
		}
	}
	if !body.Given() {
		v.Error("the emitter has no body", "give one of line, point, panel", "")
	} else {
		r.readBody(&e, body)
	}
	e.Axis = aim(f.Get("aim"))
	e.Turn = number(f.Get("turn"))
	e.Light = r.spread(v, f, e.Kind)
	if p, ok := e.Light.(*ies.Photometry); ok && e.Kind == emitter.Point {
		overOpening(&e, p.Opening(), f.Get("photometry"))
	}
	return e
}

func (r *reader) readBody(e *emitter.Emitter, v yamltree.Value) {
	f, ok := v.Fields()
	if !ok {
		return
	}
	if e.Kind == emitter.Line {
		r.readLine(e, f)
		return
	}
	e.Height = r.height(f.Need("height"))
	switch e.Kind {
	case emitter.Panel:
		e.At = pair(f.Need("at"))
		e.Size = pair(f.Need("size"))
	default:
		e.At = pair(f.Need("at"))
	}
}

// readLine reads a line that is level at one height, or has a height at each end.
func (r *reader) readLine(e *emitter.Emitter, f yamltree.Fields) {
	from, to := f.Need("from"), f.Need("to")
	height := f.Get("height")
	tall := func(v yamltree.Value) bool { return v.IsList() && len(v.Items("")) == 3 }
	switch {
	case !tall(from) && !tall(to):
		e.From, e.To, e.Height = pair(from), pair(to), r.height(f.Need("height"))
	case !tall(from) || !tall(to):
		from.Conflict("only one end of the line has a height", "write [x, y, height] for both, or height: for both at once", to.Place(), "the other end is here")
		return
	case f.Has("height"):
		f.Get("height").Conflict("the line has a height and one at each end", "leave one out", from.Place(), "the heights of its ends begin here")
		return
	default:
		a, b := from.Items(""), to.Items("")
		e.From, e.To = two3(from, a), two3(to, b)
		k, l := r.heights(height)
		e.Height = num(a[2], k, l)
		e.Rise = num(b[2], k, l) - e.Height
	}
	if e.From == e.To && e.Rise == 0 {
		to.Conflict("the line ends where it begins", "move one end, or make it a point", from.Place(), "it begins here")
	}
}

// two3 reads x and y of a place with a height.
func two3(v yamltree.Value, items []yamltree.Value) [2]float64 {
	k, l, _ := measure(v)
	return [2]float64{num(items[0], k, l), num(items[1], k, l)}
}

// shortestAim is the least length of a direction: what is shorter is a slip, and at the
// end of what numbers can hold has no direction at all.
const shortestAim = 1e-3

// aim reads a direction of which the third number, upward, is negative.
func aim(v yamltree.Value) (axis emitter.Vec) {
	const example = "write three numbers: right, back and up, such as [0.2, 0, -1]"
	items := v.Items(example)
	if v.IsList() && len(items) != 3 {
		v.Error(fmt.Sprintf("aim has %s", count(len(items), "value")), example, "")
	}
	if len(items) != 3 {
		return axis
	}
	k, l, _ := measure(v)
	for i, item := range items {
		axis[i] = num(item, k, l)
	}
	if length := math.Hypot(math.Hypot(axis[0], axis[1]), axis[2]); axis[2] < 0 && length < shortestAim {
		v.Error("the aim is too short to be a direction", "write numbers of ordinary size, such as [0.2, 0, -1]; only their ratios count", "")
	}
	if axis[2] >= 0 {
		v.Error("the emitter is not aimed at the water", "the third number, upward, must be less than 0, such as [0, 0, -1] for straight down", "")
	}
	return axis
}

// spread reads beam or photometry, of which an emitter has one.
func (r *reader) spread(v yamltree.Value, f yamltree.Fields, kind emitter.Kind) emitter.Distribution {
	beam, photometry := f.Get("beam"), f.Get("photometry")
	switch {
	case beam.Given() && photometry.Given():
		beam.Conflict("an emitter has a beam or a photometry file", "leave one out", photometry.KeyPlace(), "the file is here")
		return nil
	case photometry.Given():
		return r.photometry(photometry)
	case !beam.Given():
		v.Error("the emitter has neither beam nor photometry", "give beam: the full angle between the half-intensity directions, or photometry: an IES file", "a bare wide LED has about 120 deg")
		return nil
	}
	if f.Has("turn") && kind != emitter.Panel {
		f.Get("turn").Warn("turn does nothing here", "a beam is round; turn counts for a panel and for a photometry file", "")
	}
	angle := number(beam)
	if math.IsNaN(angle) {
		return nil
	}
	light, err := emitter.Beam(angle)
	if err != nil {
		beam.Error(err.Error(), "", "")
	}
	return light
}
