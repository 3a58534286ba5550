package colour

import (
	"errors"
	"fmt"
)

// hottestReference is where the CIE's daylight ends, K (CIE 015:2018, 4.1.2).
const hottestReference = 25_000

// daylight is the relative power of a phase of daylight, 4000-25 000 K (CIE 015:2018).
func daylight(k float64) column {
	var x float64
	if k <= 7000 {
		x = 0.244063 + 0.09911e3/k + 2.9678e6/(k*k) - 4.6070e9/(k*k*k)
	} else {
		x = 0.237040 + 0.24748e3/k + 1.9018e6/(k*k) - 2.0064e9/(k*k*k)
	}
	y := -3*x*x + 2.870*x - 0.275
	m := 0.0241 + 0.2562*x - 0.7341*y
	m1 := (-1.3515 - 1.7703*x + 5.9114*y) / m
	m2 := (0.0300 - 31.4424*x + 30.0717*y) / m
	s := cie().daylight
	var p column
	for i := range p {
		p[i] = s[0][i] + m1*s[1][i] + m2*s[2][i]
	}
	return p
}

// errDark is the colour of nothing.
var errDark = errors.New("no light: the dark has no colour")

// referenceK is the colour temperature at which a light is compared with a reference.
func (l Light) referenceK() (float64, error) {
	c, ok := l.XYZ().Chromaticity()
	if !ok {
		return 0, errDark
	}
	t, err := c.Temperature()
	if err != nil {
		return 0, fmt.Errorf("no reference light: %w", err)
	}
	if t.K > hottestReference {
		return 0, fmt.Errorf("no reference light: %.0f K is bluer than daylight, which ends at %d K", t.K, hottestReference)
	}
	return t.K, nil
}
