package main

import (
	"bytes"
	"errors"
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// full is an output that has room for so many bytes.
type full struct{ room int }

func (f *full) Write(p []byte) (int, error) {
	if f.room -= len(p); f.room < 0 {
		return 0, errors.New("no space left on device")
	}
	return len(p), nil
}

// fullAt runs the program with an output that has room for so many bytes.
func fullAt(room int, args ...string) (string, int) {
	var x bytes.Buffer
	code := run(args, world{stdin: strings.NewReader(""), stdout: &full{room}, stderr: &x,
		now: func() time.Time { return time.Date(2026, 12, 2, 12, 0, 0, 0, time.UTC) }})
	return x.String(), code
}

// A result that cannot be written is an error of every command, of its help too.
func TestOutputThatCannotBeWrittenIsAnError(t *testing.T) {
	const want = "error: the result cannot be written to standard output: no space left on device\n"
	plan := metPlan(t)
	out := filepath.Join(t.TempDir(), "out")
	_, msg, code := at(t, "2026-12-02T12:00:00Z", "compile", plan, "-o", out)
	require.Zero(t, code, msg)
	timetable := filepath.Join(out, "timetable.json")
	for _, args := range [][]string{
		{"new", filepath.Join(t.TempDir(), "new")}, {"check", plan}, {"check", plan, "--format", "json"}, {"map", plan}, {"map", plan, "--depth", "12cm", "--format", "csv"},
		{"dli", plan}, {"balance", plan, "--all"}, {"compile", plan, "-o", out}, {"verify", timetable, plan}, {"now", plan},
		{"follow", timetable, "--speed", "1000000", "--from", "2026-12-02T08:00", "--until", "2026-12-02T09:00"},
		{"acclimate", plan}, {"journal", plan}, {"journal", "add", plan, "--note", "x"}, {"drill", plan}, {},
	} {
		msg, code := fullAt(20, args...)
		assert.Equal(t, exitFile, code, "%v", args)
		assert.Contains(t, msg, want, "%v", args)
		assert.Equal(t, 1, strings.Count(msg, "error:"), "%v: %s", args, msg)
	}
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		msg, code := fullAt(20, append(strings.Fields(c.CommandPath())[1:], "--help")...)
		assert.Equal(t, exitFile, code, c.CommandPath())
		assert.Contains(t, msg, want, c.CommandPath())
		for _, below := range c.Commands() {
			walk(below)
		}
	}
	walk(rootCommand(world{stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard, now: time.Now}))
}

// What an argument or a file says reaches the terminal as it looks.
func TestTalkHasNoHiddenCharacters(t *testing.T) {
	for _, args := range [][]string{{"check", "\x1b[2J\u202eplan.yaml"}, {"dli", starterPlan(t), "--date", "\x1b]0;x\a"}, {"\u202ekcehc"}} {
		_, msg, code := at(t, "2026-12-02T12:00:00Z", args...)
		assert.NotZero(t, code)
		assert.NotContains(t, msg, "\x1b")
		assert.NotContains(t, msg, "\u202e")
	}
}
