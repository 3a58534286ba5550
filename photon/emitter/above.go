package emitter

import "math"

// Above is the body seen from above [m]: the ends of a line, the corners of a panel in turn, or the place of a point.
func (e Emitter) Above() [][2]float64 {
	switch e.Kind {
	case Line:
		return [][2]float64{e.From, e.To}
	case Panel:
		sin, cos := math.Sincos(e.Turn)
		var out [][2]float64
		for _, s := range [][2]float64{{-1, -1}, {1, -1}, {1, 1}, {-1, 1}} {
			x, y := s[0]*e.Size[0]/2, s[1]*e.Size[1]/2
			out = append(out, [2]float64{e.At[0] + x*cos - y*sin, e.At[1] + x*sin + y*cos})
		}
		return out
	}
	return [][2]float64{e.At}
}
