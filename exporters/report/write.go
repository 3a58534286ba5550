package report

import (
	"encoding/json"
	"fmt"
	"io"
	"math"

	"dayloom/exporters/table"
)

// Formats are the words of --format.
var Formats = []string{"text", "json", "csv"}

// Report can be written in every format.
type Report interface {
	Text(w io.Writer) error
	Table() table.Table // the rows that CSV holds
}

// streamed is a report too long to hold as a table or as one JSON text.
type streamed interface {
	CSV(w io.Writer) error
	JSON(w io.Writer) error
}

// Write writes a report in one of Formats.
func Write(w io.Writer, format string, r Report) error {
	if err := allFinite(r); err != nil {
		return err
	}
	s, long := r.(streamed)
	switch {
	case format == "json" && long:
		return s.JSON(w)
	case format == "csv" && long:
		return s.CSV(w)
	case format == "json":
		return JSON(w, r)
	case format == "csv":
		return r.Table().CSV(w)
	}
	return r.Text(w)
}

// JSON writes any report value, two spaces deep, with a line end (RFC 8259).
func JSON(w io.Writer, v any) error {
	if err := allFinite(v); err != nil {
		return err
	}
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(v)
}

// limit is a number that may be absent: infinite and zero limits are.
func limit(v float64) *float64 {
	if v == 0 || math.IsInf(v, 0) || math.IsNaN(v) {
		return nil
	}
	return &v
}

// cm is a length in m as centimetres for people.
func cm(m float64) string { return trim(m * 100) }

func trim(v float64) string { return fmt.Sprintf("%g", math.Round(v*10)/10) }

// Clock is seconds after midnight as HH:MM, with seconds where there are any.
func Clock(s float64) string {
	n := int(math.Round(s)) % 86400
	if n%60 == 0 {
		return fmt.Sprintf("%02d:%02d", n/3600, n/60%60)
	}
	return fmt.Sprintf("%02d:%02d:%02d", n/3600, n/60%60, n%60)
}

// sig sets a light value with about three figures, so that moonlight and noon both read well.
func sig(v float64) string {
	switch a := math.Abs(v); {
	case a >= 100 || v == 0:
		return fmt.Sprintf("%.0f", v)
	case a >= 10:
		return fmt.Sprintf("%.1f", v)
	case a >= 1:
		return fmt.Sprintf("%.2f", v)
	}
	return fmt.Sprintf("%.2g", v)
}

// Sig is how a light value is set everywhere: about three figures, so that moonlight and noon both read well.
func Sig(v float64) string { return sig(v) }

func percent(v float64) string { return fmt.Sprintf("%.1f %%", v*100) }
