package main

import (
	"os"
	"time"
	_ "time/tzdata" // zones work on machines without a zone database
)

func main() {
	os.Exit(run(os.Args[1:], world{
		stdin: os.Stdin, stdout: os.Stdout, stderr: os.Stderr,
		now: time.Now, columns: columnsOf(os.Stdout), terminal: isTerminal(os.Stdout), talked: isTerminal(os.Stderr),
	}))
}

// isTerminal reports whether f is a character device, so that a pipe gets no colour.
func isTerminal(f *os.File) bool {
	st, err := f.Stat()
	return err == nil && st.Mode()&os.ModeCharDevice != 0
}
