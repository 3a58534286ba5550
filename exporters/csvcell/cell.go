// Package csvcell keeps text in csv files from being run by a spreadsheet.
//
// A cell that begins with = + - @, a tab, CR or LF may be taken for a formula
// when the file is opened (OWASP, CSV Injection). An apostrophe before it makes
// it text. Text that already has apostrophes before such a sign gets one more,
// so that exactly one can be taken away again: Original(Neutral(s)) == s for
// every s. Numbers are not text and are left alone by the writers.
package csvcell

import "strings"

// Neutral is the text as it may stand in a csv cell.
func Neutral(text string) string {
	if formula(text) {
		return "'" + text
	}
	return text
}

// Original is the text that Neutral made a cell of.
func Original(cell string) string {
	if strings.HasPrefix(cell, "'") && formula(cell[1:]) {
		return cell[1:]
	}
	return cell
}

func formula(text string) bool {
	text = strings.TrimLeft(text, "'")
	return text != "" && strings.IndexByte("=+-@\t\r\n", text[0]) >= 0
}
