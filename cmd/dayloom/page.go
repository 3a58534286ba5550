package main

import (
	"os"
	"strconv"

	"golang.org/x/term"

	"dayloom/exporters/report"
	"dayloom/exporters/table"
)

// narrow is the width of text where nobody says what fits.
const narrow = 100

// columnsOf is how wide text may be: COLUMNS where that is set, a terminal's own width, or 100.
func columnsOf(out *os.File) int {
	if n, err := strconv.Atoi(os.Getenv("COLUMNS")); err == nil && n > 0 {
		return max(n, 40)
	}
	if n, _, err := term.GetSize(int(out.Fd())); err == nil && n > 0 {
		return max(n, 40)
	}
	return narrow
}

// width is how wide lines may be.
func (w world) width() int {
	if w.columns > 0 {
		return w.columns
	}
	return narrow
}

// fold breaks long lines of words.
func (w world) fold(text string) string { return table.Fold(text, w.width()) }

// report prints a result in a format, and text so that it fits.
func (w world) report(format string, r report.Report) error {
	if format != "text" {
		return report.Write(w.stdout, format, r)
	}
	page := table.NewPage(w.stdout, w.width(), *w.wide)
	if err := report.Write(page, format, r); err != nil {
		return err
	}
	return page.Close()
}
