package colour

import (
	"bytes"
	"embed"
	"encoding/csv"
	"strconv"
	"sync"
)

//go:embed data/*.csv
var files embed.FS

// column is a figure at each of the 81 wavelengths.
type column = [Rows]float64

// tables are the CIE's figures, columns as in the files.
type tables struct {
	observer2, observer10 []column // x̄ ȳ z̄
	daylight              []column // S0 S1 S2
	tcs, ces              []column // samples 1-14, 1-99
}

var cie = sync.OnceValue(func() tables {
	return tables{
		observer2: read("cie1931"), observer10: read("cie1964"), daylight: read("daylight"),
		tcs: read("tcs"), ces: read("ces"),
	}
})

// read panics on a damaged file: the files are part of the program, not data.
func read(name string) []column {
	text, err := files.ReadFile("data/" + name + ".csv")
	if err != nil {
		panic("the built-in table " + name + ": " + err.Error())
	}
	r := csv.NewReader(bytes.NewReader(text))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil || len(rows) != Rows+1 {
		panic("the built-in table " + name + " is damaged")
	}
	out := make([]column, len(rows[0])-1)
	for k, row := range rows[1:] {
		for i, cell := range row {
			v, err := strconv.ParseFloat(cell, 64)
			if err != nil || i == 0 && v != wavelength(k) {
				panic("the built-in table " + name + " is damaged at " + row[0])
			}
			if i > 0 {
				out[i-1][k] = v
			}
		}
	}
	return out
}
