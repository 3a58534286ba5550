package spectrum

import (
	_ "embed"
	"strings"
	"sync"
)

//go:embed sunlight.csv
var sunlightCSV string

var sunlight = sync.OnceValue(func() Spectrum {
	s, err := ReadCSV(strings.NewReader(sunlightCSV))
	if err != nil {
		panic("the built-in table of sunlight: " + err.Error()) // the file is part of the program, not data
	}
	return s
})

// Sunlight is the sun and sky at the ground, 305-795 nm (ASTM G173-03, AM1.5 global), by
// means over 5 nm.
func Sunlight() Spectrum { return sunlight() }
