package pigment

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"sync"

	"dayloom/photon/spectrum"
)

// Band is the light among which shares are counted, nm.
var Band = spectrum.Band{Lo: 350, Hi: 700}

// Pigment is a fluorescent protein with its excitation curve.
type Pigment struct {
	Name     string  // such as "cyan 472"
	Origin   string  // what it was got from
	PeakNM   float64 // of excitation, as its paper has it
	GlowNM   float64 // peak of emission
	nm, part []float64
}

//go:embed excitation.csv
var excitationCSV string

var all = sync.OnceValue(func() []Pigment {
	ps := []Pigment{ // in the order of the file's columns
		{Name: "teal 462", Origin: "soft coral Clavularia, engineered", PeakNM: 462, GlowNM: 492},
		{Name: "cyan 472", Origin: "stony coral Acropora", PeakNM: 472, GlowNM: 495},
		{Name: "green 492", Origin: "stony coral Galaxea, engineered", PeakNM: 492, GlowNM: 505},
		{Name: "red 558", Origin: "corallimorph Discosoma", PeakNM: 558, GlowNM: 583},
	}
	r := csv.NewReader(strings.NewReader(excitationCSV))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) < 2 || len(rows[0]) != len(ps)+1 {
		panic("the built-in table of excitation is damaged") // the file is part of the program, not data
	}
	for _, row := range rows[1:] {
		for i := range ps {
			if row[i+1] == "" {
				row[i+1] = "0" // not measured there: the curve goes down to nothing within a row
			}
			x, err1 := strconv.ParseFloat(row[0], 64)
			y, err2 := strconv.ParseFloat(row[i+1], 64)
			if err1 != nil || err2 != nil {
				panic("the built-in table of excitation is damaged at " + row[0])
			}
			ps[i].nm, ps[i].part = append(ps[i].nm, x), append(ps[i].part, y)
		}
	}
	return ps
})

// All lists the pigments with open curves, by rising peak.
func All() []Pigment { return slices.Clone(all()) }

// Excitation is the relative excitation at a wavelength, 0..1 and 1 at the peak.
func (p Pigment) Excitation(nm float64) float64 {
	n := len(p.nm)
	if n == 0 || !(nm >= p.nm[0] && nm <= p.nm[n-1]) {
		return 0
	}
	i, found := slices.BinarySearch(p.nm, nm)
	if found {
		return p.part[i]
	}
	t := (nm - p.nm[i-1]) / (p.nm[i] - p.nm[i-1])
	return p.part[i-1] + t*(p.part[i]-p.part[i-1])
}

// Share is the share of a light that excites the pigment, 0..1, for photons[i] at nm[i];
// 0 where there is no light in 350-700 nm. The share of a mix is the mean of its
// channels' shares weighted by their photons in that band.
func (p Pigment) Share(nm, photons []float64) float64 {
	var excite, whole float64
	for i := range min(len(nm), len(photons)) {
		if nm[i] >= Band.Lo && nm[i] <= Band.Hi {
			excite += photons[i] * p.Excitation(nm[i])
			whole += photons[i]
		}
	}
	if !(whole > 0) {
		return 0
	}
	return excite / whole
}
