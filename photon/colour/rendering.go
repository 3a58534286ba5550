package colour

import "math"

// MaxReferenceDistance is how far, in CIE 1960 u, v, a light may lie from its reference
// for Ra to hold (CIE 13.3-1995; from memory).
const MaxReferenceDistance = 5.4e-3

// Rendering is colour rendering by CIE 13.3-1995.
type Rendering struct {
	Ra                float64     // mean of the first eight
	R                 [14]float64 // special indices; R[8] is R9, strong red
	ReferenceK        float64     // colour temperature of the reference
	ReferenceDistance float64     // of the light from it, CIE 1960 u, v
}

// Valid reports whether the light is near enough to its reference for Ra to hold.
func (r Rendering) Valid() bool { return r.ReferenceDistance < MaxReferenceDistance }

// Rendering works out Ra and R1-R14. The error says why there is no reference light.
func (l Light) Rendering() (Rendering, error) {
	k, err := l.referenceK()
	if err != nil {
		return Rendering{}, err
	}
	reference := planck(k)
	if k >= 5000 {
		reference = daylight(k)
	}
	return render(l.power(), reference, k), nil
}

func render(test, reference column, k float64) Rendering {
	t := cie()
	whiteT, whiteR := sums(test, t.observer2, nil), sums(reference, t.observer2, nil)
	d := whiteT.uv().minus(whiteR.uv())
	out := Rendering{ReferenceK: k, ReferenceDistance: math.Sqrt(d.dot(d))}
	for i := range out.R {
		a := uvw(sums(test, t.observer2, &t.tcs[i]), whiteT, whiteR)
		b := uvw(sums(reference, t.observer2, &t.tcs[i]), whiteR, whiteR)
		out.R[i] = 100 - 4.6*distance(a, b)
		if i < 8 {
			out.Ra += out.R[i] / 8
		}
	}
	return out
}

func distance(a, b [3]float64) float64 {
	return math.Sqrt((a[0]-b[0])*(a[0]-b[0]) + (a[1]-b[1])*(a[1]-b[1]) + (a[2]-b[2])*(a[2]-b[2]))
}

// uvw are W*, U*, V* (CIE 1964) of a sample, adapted from its white to the reference's.
func uvw(sample, white, reference XYZ) [3]float64 {
	adapted := adapt(sample.uv(), white.uv(), reference.uv())
	w := 25*math.Cbrt(100*sample.Y/white.Y) - 17
	off := adapted.minus(reference.uv())
	return [3]float64{w, 13 * w * off.u, 13 * w * off.v}
}

// adapt is the von Kries adaptation of CIE 13.3 in u and v.
func adapt(sample, white, reference uv) uv {
	cd := func(p uv) (c, d float64) {
		return (4 - p.u - 10*p.v) / p.v, (1.708*p.v + 0.404 - 1.481*p.u) / p.v
	}
	cs, ds := cd(sample)
	cw, dw := cd(white)
	cr, dr := cd(reference)
	c, d := cr/cw*cs, dr/dw*ds
	below := 16.518 + 1.481*c - d
	return uv{(10.872 + 0.404*c - 4*d) / below, 5.520 / below}
}
