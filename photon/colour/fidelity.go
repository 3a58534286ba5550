package colour

import "math"

// Samples is the number of colour samples of Rf.
const Samples = 99

// Fidelity is colour fidelity by CIE 224:2017.
type Fidelity struct {
	Rf         float64
	Special    [Samples]float64 // Rf of each sample
	ReferenceK float64          // colour temperature of the reference
}

// Fidelity works out Rf and its special indices. The error says why there is no
// reference light. CIE 224 is made for white light; how far a light is from white shows
// in Duv, which belongs beside it.
func (l Light) Fidelity() (Fidelity, error) {
	k, err := l.referenceK()
	if err != nil {
		return Fidelity{}, err
	}
	f := Fidelity{ReferenceK: k}
	test, reference := appearances(l.power()), appearances(blend(k))
	mean := 0.0
	for i := range f.Special {
		d := distance(test[i], reference[i])
		f.Special[i] = fidelity(d)
		mean += d / Samples
	}
	f.Rf = fidelity(mean)
	return f, nil
}

func fidelity(difference float64) float64 {
	return 10 * math.Log1p(math.Exp((100-6.73*difference)/10))
}

// blend is the reference of Rf: Planckian to 4000 K, daylight from 5000 K, a straight
// mix of the two at equal Y of the 10° observer between.
func blend(k float64) column {
	switch {
	case k <= 4000:
		return planck(k)
	case k >= 5000:
		return daylight(k)
	}
	a, b := planck(k), daylight(k)
	ya, yb := sums(a, cie().observer10, nil).Y, sums(b, cie().observer10, nil).Y
	share := (5000 - k) / 1000
	for i := range a {
		a[i] = share*a[i]/ya + (1-share)*b[i]/yb
	}
	return a
}

// appearances are J′, a′, b′ (CAM02-UCS) of the samples under a light.
func appearances(power column) [Samples][3]float64 {
	t := cie()
	white := sums(power, t.observer10, nil)
	view := newViewing(scaled(white, 100/white.Y))
	var out [Samples][3]float64
	for i := range out {
		out[i] = view.ucs(scaled(sums(power, t.observer10, &t.ces[i]), 100/white.Y))
	}
	return out
}
