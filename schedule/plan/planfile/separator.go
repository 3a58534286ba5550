package planfile

import (
	"bytes"
	"regexp"
	"strings"
)

// separator tells by the first line of a table that is no comment whether its columns are separated by
// semicolons, as spreadsheets write them where numbers have decimal commas; ok is false
// where they are separated by tabs. A first line with both marks is one of commas.
func separator(data []byte) (semicolons, ok bool) {
	first, rest, _ := bytes.Cut(data, []byte("\n"))
	for bytes.HasPrefix(first, []byte("#")) {
		first, rest, _ = bytes.Cut(rest, []byte("\n"))
	}
	comma, semicolon, tab := bytes.ContainsRune(first, ','), bytes.ContainsRune(first, ';'), bytes.ContainsRune(first, '\t')
	return semicolon && !comma, comma || semicolon || !tab
}

// decimalComma is a number with one comma, which cannot separate columns here.
var decimalComma = regexp.MustCompile(`^\s*[-+]?[0-9]*,[0-9]+\s*$`)

// decimalPoints gives the numbers of a record with semicolons their points.
func decimalPoints(record []string) {
	for i, f := range record {
		if decimalComma.MatchString(f) {
			record[i] = strings.Replace(f, ",", ".", 1)
		}
	}
}
