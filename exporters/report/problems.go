package report

import (
	"fmt"
	"io"

	"dayloom/exporters/table"
	"dayloom/schedule/text/diag"
)

// Problems is what was found in files, for programs.
type Problems struct {
	Problems diag.List `json:"problems"` // the first 50 of each severity
	Errors   int       `json:"errors"`
	Warnings int       `json:"warnings"`
}

// NewProblems counts a list.
func NewProblems(l diag.List) Problems {
	first := l.First()
	if first == nil {
		first = diag.List{}
	}
	return Problems{first, l.Count(diag.Error), l.Count(diag.Warning)}
}

// Table has one row a problem.
func (p Problems) Table() table.Table {
	t := table.Table{Columns: []table.Column{
		{Head: "severity", Key: "severity", Left: true}, {Head: "file", Key: "file", Left: true},
		{Head: "line", Key: "line"}, {Head: "column", Key: "column"}, {Head: "path", Key: "path", Left: true},
		{Head: "what", Key: "what", Left: true}, {Head: "allowed", Key: "allowed", Left: true}, {Head: "hint", Key: "hint", Left: true}}}
	for _, x := range p.Problems {
		t.Add(x.Severity, x.File, x.Line, x.Col, x.Path, x.What, x.Allowed, x.Hint)
	}
	return t
}

// Text is one line a problem.
func (p Problems) Text(w io.Writer) error {
	for _, x := range p.Problems {
		fmt.Fprintln(w, x.Error())
	}
	return nil
}
