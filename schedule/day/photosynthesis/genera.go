package photosynthesis

import (
	_ "embed"
	"encoding/csv"
	"slices"
	"strconv"
	"strings"
	"sync"
)

// LeastColony and MostColony are the least and greatest Ek of 132 single colonies of the
// three genera, January 2020, µmol m⁻² s⁻¹.
const LeastColony, MostColony = 169, 956

// Source names where the figures of Genera come from.
const Source = "three reefs of Moorea, 2020, some 2 m deep (E5 coral time series)"

// Genus is the range of a genus's mean Ek over reefs and months, µmol m⁻² s⁻¹.
type Genus struct {
	Name        string
	Least, Most float64
	Means       int // how many means, each over the colonies of one reef and month
}

//go:embed ek.csv
var ekCSV string

var genera = sync.OnceValue(func() []Genus {
	r := csv.NewReader(strings.NewReader(ekCSV))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic("the built-in table of Ek: " + err.Error()) // the file is part of the program, not data
	}
	var out []Genus
	for _, row := range rows[1:] { // when, genus, site, ik
		ek, err := strconv.ParseFloat(row[3], 64)
		if err != nil {
			panic("the built-in table of Ek: " + err.Error())
		}
		i := slices.IndexFunc(out, func(g Genus) bool { return g.Name == row[1] })
		if i < 0 {
			i, out = len(out), append(out, Genus{Name: row[1], Least: ek, Most: ek})
		}
		out[i].Least, out[i].Most = min(out[i].Least, ek), max(out[i].Most, ek)
		out[i].Means++
	}
	return out
})

// Genera lists the genera with published Ek, in alphabetical order.
func Genera() []Genus { return slices.Clone(genera()) }
