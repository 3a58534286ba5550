package diag

import (
	"cmp"
	"fmt"
	"slices"
)

// Severity tells an error from a warning.
type Severity int

// The severities. Errors stop the reading of a plan, warnings do not.
const (
	Error Severity = iota
	Warning
)

// String is the word that messages and JSON use.
func (s Severity) String() string {
	if s == Warning {
		return "warning"
	}
	return "error"
}

// MarshalText gives "error" or "warning".
func (s Severity) MarshalText() ([]byte, error) { return []byte(s.String()), nil }

// Place is a place in a file; line and column count from 1, columns in characters.
type Place struct {
	File string `json:"file"`
	Line int    `json:"line"`
	Col  int    `json:"column"`
}

// String is file:line:column.
func (p Place) String() string { return fmt.Sprintf("%s:%d:%d", p.File, p.Line, p.Col) }

// Other is a second place that took part in a conflict.
type Other struct {
	Place
	Note string `json:"note"` // what is there, such as "first given here"
}

// Problem is one thing wrong, or doubtful, in a file.
type Problem struct {
	Severity Severity `json:"severity"`
	Place
	Path    string `json:"path,omitempty"`    // in the plan, such as channels.bar-blue.flux
	What    string `json:"what"`              // what is wrong
	Allowed string `json:"allowed,omitempty"` // what would be right
	Hint    string `json:"hint,omitempty"`    // what was probably meant, or what to do
	Other   *Other `json:"other,omitempty"`
}

// Error is the problem in one line: place, what is wrong, what is allowed, hint.
func (p Problem) Error() string {
	text := p.Place.String() + ": "
	if p.Severity == Warning {
		text += "warning: "
	}
	text += p.What
	for _, more := range []string{p.Allowed, p.Hint} {
		if more != "" {
			text += "; " + more
		}
	}
	return text
}

// List is what was found in one plan.
type List []Problem

// HasErrors reports whether anything in the list is more than a warning.
func (l List) HasErrors() bool { return l.Count(Error) > 0 }

// Count is the number of problems of one severity.
func (l List) Count(s Severity) int {
	n := 0
	for _, p := range l {
		if p.Severity == s {
			n++
		}
	}
	return n
}

// mostShown is how many problems of each severity are shown in full; the rest are counted.
const mostShown = 50

// First is the first 50 errors and the first 50 warnings: more tell nobody anything new.
func (l List) First() List {
	var out List
	var met [2]int
	for _, p := range l {
		if met[p.Severity]++; met[p.Severity] <= mostShown {
			out = append(out, p)
		}
	}
	return out
}

// Sort gives the problems in document order: those of the main file first, then
// those of other files by name; a problem found twice stays once.
func (l List) Sort(main string) List {
	out := slices.Clone(l)
	slices.SortStableFunc(out, func(a, b Problem) int {
		if (a.File == main) != (b.File == main) {
			if a.File == main {
				return -1
			}
			return 1
		}
		return cmp.Or(cmp.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Col, b.Col))
	})
	return slices.CompactFunc(out, func(a, b Problem) bool {
		return a.Error() == b.Error() && a.Path == b.Path
	})
}
