package main

import (
	"io"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
)

// BenchmarkVerifyYearOfStarter plays 365 dated days of the starter, reading the file
// and the plan included.
func BenchmarkVerifyYearOfStarter(b *testing.B) {
	dir := b.TempDir()
	plan, out := filepath.Join(dir, "x", "plan.yaml"), filepath.Join(dir, "out")
	quiet := func(args ...string) int {
		return run(args, world{stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard,
			now: func() time.Time { return time.Date(2026, 12, 2, 12, 0, 0, 0, time.UTC) }})
	}
	require.Zero(b, quiet("new", filepath.Dir(plan)))
	require.Zero(b, quiet("compile", plan, "-o", out, "--from", "2027-01-01", "--to", "2027-12-31"))
	for b.Loop() {
		require.Zero(b, quiet("verify", filepath.Join(out, "timetable.json"), plan, "--year"))
	}
}
