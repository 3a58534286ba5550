package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"time"

	"dayloom/exporters/report"
	"dayloom/schedule/text/diag"
)

// world is everything outside the program that a command may touch.
type world struct {
	stdin          io.Reader
	stdout, stderr io.Writer
	now            func() time.Time
	racks          []string        // where racks are moved to before anything is worked out: --rack
	columns        int             // how wide text may be; 0 is 100
	csv            *string         // --csv: comma | semicolon
	wide           *bool           // --wide: all columns and lines, however wide
	ending         context.Context // ends what goes on until a signal as one would; nil: only signals do
	busy           *busy           // what takes long is told there; nil: nowhere
	talked         bool            // stderr is a terminal
	terminal       bool            // stdout is one, so a picture made of text is welcome; colour is never used
}

// House rules for talk: it goes to standard error; an error starts with "error:",
// a warning with "warning:", anything else is a note; no capital, no full stop; a
// hint follows on its own line and says what to do.

// exit codes of the program.
const (
	exitDone  = 0
	exitFile  = 1
	exitUsage = 2
	exitUnmet = 3
)

// failure is an error that knows its exit code. An empty message says nothing
// more: all has been said.
type failure struct {
	code    int
	message string
	hint    string
}

func (f *failure) Error() string { return f.message }

func fileError(err error, hint string) error {
	return &failure{code: exitFile, message: plainError(err), hint: hint}
}

func usageError(format string, args ...any) error {
	return &failure{code: exitUsage, message: fmt.Sprintf(format, args...)}
}

// unmet ends a command that did its work but found a target or limit not met.
func unmet() error { return &failure{code: exitUnmet} }

// plainError is the error without the operating system's jargon where we know better words.
func plainError(err error) string {
	var pe *os.PathError
	switch {
	case errors.As(err, &pe) && errors.Is(err, os.ErrNotExist):
		return pe.Path + ": there is no such file"
	case errors.As(err, &pe) && errors.Is(err, os.ErrPermission):
		return pe.Path + ": not allowed to " + pe.Op + " it"
	case errors.As(err, &pe):
		return pe.Path + ": " + pe.Err.Error()
	}
	return err.Error()
}

// output is standard output with the first error of writing to it.
type output struct {
	to  io.Writer
	err error
}

func (o *output) Write(p []byte) (n int, err error) {
	if o.err == nil {
		n, o.err = o.to.Write(p)
	}
	return n, o.err
}

// reason is an error of the operating system without the call and the path.
func reason(err error) string {
	var pe *os.PathError
	if errors.As(err, &pe) {
		return pe.Err.Error()
	}
	return err.Error()
}

// finish prints what an error has left to say and gives the exit code.
func (w world) finish(err error) int {
	if err == nil {
		return exitDone
	}
	var f *failure
	if !errors.As(err, &f) {
		f = &failure{code: exitUsage, message: err.Error()}
		if bad := (*report.NotFinite)(nil); errors.As(err, &bad) {
			f.code = exitFile
		}
	}
	if f.message != "" {
		fmt.Fprint(w.stderr, w.fold("error: "+f.message+"\n"))
	}
	if f.hint != "" {
		fmt.Fprint(w.stderr, w.fold("  "+f.hint+"\n"))
	}
	return f.code
}

func (w world) note(format string, args ...any) {
	fmt.Fprint(w.stderr, w.fold(fmt.Sprintf(format+"\n", args...)))
}

// problems prints what was found in files, with the lines concerned.
func (w world) problems(list diag.List, source func(string) []byte) {
	if len(list) > 0 {
		for _, line := range strings.SplitAfter(list.Text(source), "\n") {
			if !excerpt.MatchString(line) { // a line of the file stays as it is
				line = w.fold(line)
			}
			fmt.Fprint(w.stderr, line)
		}
	}
}

// excerpt is a line of a file as problems show it.
var excerpt = regexp.MustCompile(`^ *[0-9]* *\| `)
