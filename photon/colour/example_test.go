package colour_test

import (
	"fmt"

	"dayloom/photon/colour"
	"dayloom/photon/spectrum"
)

// A white lamp with more and more royal blue beside it.
func Example() {
	white, _ := spectrum.Peaks([]spectrum.PeakShare{{NM: 450, FWHM: 20, Share: 25}, {NM: 560, FWHM: 120, Share: 75}})
	blue, _ := spectrum.Peak(455, 22)
	a, b := colour.Of(white), colour.Of(blue)
	for _, share := range []float64{0, 0.3, 3} {
		light := a.Plus(share, b)
		c, _ := light.XYZ().Chromaticity()
		fmt.Printf("x %.3f y %.3f %s ", c.X, c.Y, light.XYZ().Swatch())
		if t, err := c.Temperature(); err != nil {
			fmt.Println(err)
		} else {
			fmt.Printf("%.0f K, Duv %+.3f\n", t.K, t.Duv)
		}
	}
	// Output:
	// x 0.298 y 0.310 #e7ecff 7687 K, Duv +0.001
	// x 0.251 y 0.220 #aaa2ff no colour temperature; bluer than any
	// x 0.176 y 0.076 #5a0fff no colour temperature; bluer than any
}

// How true a lamp of a blue LED and one phosphor shows colours, and strong red.
func ExampleLight_Rendering() {
	white, _ := spectrum.Peaks([]spectrum.PeakShare{{NM: 450, FWHM: 20, Share: 25}, {NM: 560, FWHM: 120, Share: 75}})
	r, err := colour.Of(white).Rendering()
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("Ra %.0f, R9 %.0f, valid: %v\n", r.Ra, r.R[8], r.Valid())
	// Output: Ra 72, R9 -42, valid: true
}
