package spectrum

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"math"
	"strconv"
	"strings"
)

// TableError says what is wrong with a table that was read, and where.
type TableError struct {
	Line    int    // counted from 1; 0 when the fault is of the table as a whole
	Problem string // what is wrong, what is allowed
}

func (e *TableError) Error() string {
	if e.Line == 0 {
		return e.Problem
	}
	return fmt.Sprintf("line %d: %s", e.Line, e.Problem)
}

// maxRows bounds what is read: a spectrometer gives a few thousand rows.
const maxRows = 100_000

// ReadCSV reads a spectrum: two columns, wavelength in nm (rising) and relative
// spectral power per nm in any unit, with a comma between. A heading, empty
// lines and lines that begin with # are passed over. Between the rows the
// spectrum is a straight line, outside them it is zero. A fault in the table is
// a *TableError with its line.
func ReadCSV(r io.Reader) (Spectrum, error) {
	nm, power, err := ReadTable(r, "power")
	if err != nil {
		return Spectrum{}, err
	}
	s, err := fromChecked(nm, power)
	if err != nil {
		return Spectrum{}, &TableError{Problem: err.Error()}
	}
	return s, nil
}

// ReadTable reads the rows of a table of nm and one other column, such as power
// or absorption, by the rules of ReadCSV: at least two rows, wavelengths rising
// from row to row within 100-100000 nm, values 0 or more. The column's name
// serves in messages.
func ReadTable(r io.Reader, column string) (nm, value []float64, err error) {
	lines := bufio.NewScanner(r)
	var at []int // the line of each row
	n := 0
	for lines.Scan() {
		n++
		text := strings.TrimSpace(strings.TrimPrefix(lines.Text(), "\ufeff"))
		if text == "" || strings.HasPrefix(text, "#") {
			continue
		}
		if isHeading(text) && len(at) == 0 && nm == nil {
			nm = []float64{} // one heading, no more
			continue
		}
		x, y, problem := parseRow(text, column)
		if problem != "" {
			return nil, nil, &TableError{n, problem}
		}
		if len(at) == maxRows {
			return nil, nil, &TableError{n, fmt.Sprintf("more than %d rows: give the table at wider steps, such as 1 nm", maxRows)}
		}
		nm, value, at = append(nm, x), append(value, y), append(at, n)
	}
	switch err := lines.Err(); {
	case errors.Is(err, bufio.ErrTooLong):
		return nil, nil, &TableError{n + 1, "the line is too long: put each wavelength on a line of its own"}
	case err != nil:
		return nil, nil, fmt.Errorf("reading stopped after line %d: %w", n, err)
	}
	if row, problem := checkRows(nm, value, column); problem != "" {
		e := &TableError{Problem: problem}
		if row < len(at) {
			e.Line = at[row]
		} else {
			e.Line = max(n, 1)
		}
		return nil, nil, e
	}
	return nm, value, nil
}

// isHeading tells a line of column names from a row: its first field begins
// with a letter.
func isHeading(text string) bool {
	first := strings.TrimLeft(text, "\" ")
	_, err := strconv.ParseFloat(strings.Trim(strings.Split(first, ",")[0], "\" "), 64)
	c := strings.ToLower(first + " ")[0]
	return err != nil && c >= 'a' && c <= 'z'
}

func parseRow(text, column string) (nm, value float64, problem string) {
	fields := strings.Split(text, ",")
	if strings.Count(text, ";") == 1 { // then a comma is a decimal one
		fields = strings.Split(strings.ReplaceAll(text, ",", "."), ";")
	}
	if len(fields) != 2 {
		return 0, 0, fmt.Sprintf("%s where two are needed: wavelength in nm and %s, with a comma between and a point for decimals", columns(len(fields)), column)
	}
	var v [2]float64
	for i, name := range [2]string{"wavelength", column} {
		field := strings.Trim(strings.TrimSpace(fields[i]), "\"")
		x, err := strconv.ParseFloat(strings.TrimSpace(field), 64)
		if err != nil || math.IsNaN(x) || math.IsInf(x, 0) {
			return 0, 0, fmt.Sprintf("%s %q is not a number: write it as in 450 or 0.25 or 1e-3", name, shorten(field))
		}
		v[i] = x
	}
	return v[0], v[1], ""
}

func columns(n int) string {
	if n == 1 {
		return "1 column"
	}
	return fmt.Sprintf("%d columns", n)
}

func shorten(s string) string {
	if r := []rune(s); len(r) > 40 {
		return string(r[:40]) + "…"
	}
	return s
}

// checkRows returns the first row (from 0) that breaks a rule, and how; the
// problem is empty when all is well.
func checkRows(nm, value []float64, column string) (row int, problem string) {
	for i, x := range nm {
		y := value[i]
		switch {
		case !(x >= minNM && x <= maxNM):
			return i, fmt.Sprintf("wavelength %g nm: it must lie between %d and %d nm", x, minNM, maxNM)
		case i > 0 && x == nm[i-1]:
			return i, fmt.Sprintf("wavelength %g nm is given twice: keep one", x)
		case i > 0 && x < nm[i-1]:
			return i, fmt.Sprintf("wavelength %g nm after %g nm: sort the rows by rising wavelength", x, nm[i-1])
		case math.IsNaN(y) || math.IsInf(y, 0):
			return i, fmt.Sprintf("%s at %g nm is not a finite number", column, x)
		case y < 0:
			return i, fmt.Sprintf("%s %g at %g nm is negative: it must be 0 or more", column, y, x)
		}
	}
	if len(nm) < 2 {
		return len(nm), fmt.Sprintf("too few rows (%d): at least two wavelengths are needed", len(nm))
	}
	return 0, ""
}
