package timetable

import "strings"

// A csv file has no column for a count of what is in it. So that it shows where it begins and ends, two of its cells
// stand in quotes that they do not need, which RFC 4180 allows and whoever reads it takes off: the days of the first
// row and the unit of the last, neither a number, so that a program that only cuts rows at commas still reads what
// counts. Where one is without the other, rows were lost. A spreadsheet drops both.

// bracketed is the text of a csv file with its first and last row marked.
func bracketed(text string) string {
	rows := strings.Split(strings.TrimSuffix(text, "\r\n"), "\r\n")
	last := len(rows) - 1
	rows[1] = inQuotes(rows[1], 1)
	rows[last] = inQuotes(rows[last], 3)
	return strings.Join(rows, "\r\n") + "\r\n"
}

// inQuotes puts a cell of a row, counted from the end, in quotes; neither it nor one after it has commas.
func inQuotes(row string, cell int) string {
	cells := strings.Split(row, ",")
	i := len(cells) - cell
	cells[i] = `"` + cells[i] + `"`
	return strings.Join(cells, ",")
}

// brackets reports whether the first row is marked, and the last. Who puts words in quotes without need does so in
// the header too, and marks nothing.
func brackets(text string) (begins, ends bool) {
	head, rows, _ := strings.Cut(strings.TrimRight(text, "\r\n"), "\n")
	if strings.Contains(head, `"`) {
		return false, false
	}
	first, _, _ := strings.Cut(rows, "\n")
	return quoted(strings.TrimSuffix(first, "\r"), 1), quoted(rows[strings.LastIndexByte(rows, '\n')+1:], 3)
}

func quoted(row string, cell int) bool {
	cells := strings.Split(row, ",")
	if len(cells) < cell {
		return false
	}
	text := cells[len(cells)-cell]
	return len(text) >= 2 && text[0] == '"' && text[len(text)-1] == '"'
}
