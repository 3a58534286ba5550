// Package spreadsheet reads tables of text as spreadsheets save them in all countries: with commas between
// columns, or where numbers have decimal commas with semicolons, and with or without a byte order mark.
package spreadsheet

import (
	"bufio"
	"bytes"
	"encoding/csv"
	"io"
	"regexp"
	"strings"
)

// Rows is a table of text, row by row. Its numbers have decimal points, whatever they have in the file.
type Rows struct {
	*csv.Reader // to be set as a table needs it; rows are taken by Next
}

// beginning is how much of a table is looked at to tell how its columns are separated, bytes.
const beginning = 1 << 16

// New is the table of a file; ok is false where tabs separate its columns.
func New(r io.Reader) (rows Rows, ok bool) {
	text := bufio.NewReaderSize(r, beginning)
	if mark, _ := text.Peek(3); string(mark) == "\ufeff" {
		_, _ = text.Discard(3)
	}
	first, _ := text.Peek(beginning) // an error shows again when rows are read
	rows = Rows{csv.NewReader(text)}
	semicolons, ok := separator(first)
	if semicolons {
		rows.Comma = ';'
	}
	return rows, ok
}

// Next is the next row, and io.EOF after the last.
func (r Rows) Next() ([]string, error) {
	row, err := r.Read()
	if r.Comma == ';' {
		decimalPoints(row)
	}
	return row, err
}

// separator tells by the first line of a table that is no comment whether its columns are separated by
// semicolons; ok is false where they are separated by tabs. A first line with both marks is one of commas.
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

// decimalPoints gives the numbers of a row with semicolons their points.
func decimalPoints(row []string) {
	for i, f := range row {
		if decimalComma.MatchString(f) {
			row[i] = strings.Replace(f, ",", ".", 1)
		}
	}
}
