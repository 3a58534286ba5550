package main

import (
	"encoding/csv"
	"errors"
	"io"
	"os"
	"strconv"
	"strings"

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
	switch {
	case format == "csv" && *w.csv == "semicolon":
		return semicolons(w.stdout, func(out io.Writer) error { return report.Write(out, format, r) })
	case format != "text":
		return report.Write(w.stdout, format, r)
	}
	page := table.NewPage(w.stdout, w.width(), *w.wide)
	if err := report.Write(page, format, r); err != nil {
		return err
	}
	return page.Close()
}

// semicolons writes a table with semicolons between columns and decimal commas in numbers.
func semicolons(to io.Writer, write func(io.Writer) error) error {
	from, in := io.Pipe()
	go func() { in.CloseWithError(write(in)) }()
	r, out := csv.NewReader(from), csv.NewWriter(to)
	out.Comma, out.UseCRLF = ';', true
	r.FieldsPerRecord = -1
	for {
		record, err := r.Read()
		if errors.Is(err, io.EOF) {
			out.Flush()
			return out.Error()
		}
		if err != nil {
			_ = from.CloseWithError(err)
			return err
		}
		for i, f := range record {
			if _, err := strconv.ParseFloat(f, 64); err == nil {
				record[i] = strings.Replace(f, ".", ",", 1)
			}
		}
		if err := out.Write(record); err != nil {
			_ = from.CloseWithError(err)
			return err
		}
	}
}
