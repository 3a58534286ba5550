package main

import (
	"bytes"
	"image/png"
	"os"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestReadme runs every dayloom command that README.md shows, in order and in one
// folder, and compares what they print with what it says. A line "…" stands for
// any lines. `go test ./cmd/dayloom -run Readme -update` rewrites the output of
// blocks that have no such line, or that end with one, which keep as many lines as they show. The clock stands at the moment below.
func TestReadme(t *testing.T) {
	const now = "2026-12-02T12:00:00Z"
	text, err := os.ReadFile(rootFile("README.md"))
	require.NoError(t, err)
	when, err := time.Parse(time.RFC3339, now)
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	require.NoError(t, os.Symlink(rootFile("testdata"), "testdata"))
	var out strings.Builder
	ran := 0
	for i, part := range strings.Split(string(text), "```") {
		if i > 0 {
			out.WriteString("```")
		}
		if i%2 == 1 && strings.HasPrefix(part, "yaml\n") { // the shortest plan, whole
			b, err := os.ReadFile(rootFile("cmd/dayloom/starters/single/plan.yaml"))
			require.NoError(t, err)
			if *update {
				part = "yaml\n" + string(b)
			}
			assert.Equal(t, "yaml\n"+string(b), part)
		}
		body, isConsole := strings.CutPrefix(part, "console\n")
		if i%2 == 0 || !isConsole {
			out.WriteString(part)
			continue
		}
		out.WriteString("console\n")
		for _, step := range strings.Split("\n"+body, "\n$ ")[1:] {
			line, shown, _ := strings.Cut(strings.TrimSuffix(step, "\n")+"\n", "\n")
			got := shown
			if args := strings.Fields(line); args[0] == "dayloom" {
				ran++
				var o, x bytes.Buffer
				run(args[1:], world{stdin: strings.NewReader(""), stdout: &o, stderr: &x,
					now: func() time.Time { return when }})
				got = o.String() + x.String()
				if *update && !strings.Contains(shown, "…") {
					shown = got
				}
				if head, ok := strings.CutSuffix(shown, "…\n"); *update && ok && !strings.Contains(head, "…") { // as many lines as are shown
					lines := strings.SplitAfter(got, "\n")
					shown = strings.Join(lines[:min(strings.Count(head, "\n"), len(lines))], "") + "…\n"
				}
				assert.True(t, matches(shown, got), "$ %s\nREADME says:\n%s\ngot:\n%s", line, shown, got)
			}
			assert.LessOrEqual(t, strings.Count(shown, "\n"), 26, "$ %s: too long to be read", line)
			out.WriteString("$ " + line + "\n" + shown)
		}
	}
	assert.GreaterOrEqual(t, ran, 8, "the README shows too few commands to be a tour")
	samePictures(t)
	if *update {
		require.NoError(t, os.WriteFile(rootFile("README.md"), []byte(out.String()), 0o644))
	}
}

// samePictures holds the pictures that the commands of the README drew against those that it shows.
func samePictures(t *testing.T) {
	t.Helper()
	for _, name := range []string{"map.png", "acclimation.png"} {
		got, err := os.ReadFile(name)
		require.NoError(t, err)
		if *update {
			require.NoError(t, os.WriteFile(rootFile("testdata/pictures/"+name), got, 0o644))
		}
		want, err := os.ReadFile(rootFile("testdata/pictures/" + name))
		require.NoError(t, err)
		a, err := png.Decode(bytes.NewReader(got))
		require.NoError(t, err)
		b, err := png.Decode(bytes.NewReader(want))
		require.NoError(t, err)
		require.Equal(t, b.Bounds(), a.Bounds(), name)
		n, off := 0, 0
		for y := a.Bounds().Min.Y; y < a.Bounds().Max.Y; y++ {
			for x := a.Bounds().Min.X; x < a.Bounds().Max.X; x++ {
				if n++; a.At(x, y) != b.At(x, y) {
					off++
				}
			}
		}
		assert.Less(t, float64(off), 0.01*float64(n), "%s: pixels that differ (last bits may, from one processor to another)", name)
	}
}

// rootFile is a file of the checkout, wherever the test has gone since.
func rootFile(name string) string { return home + "/../../" + name }

var home, _ = os.Getwd()

// matches compares output with a text in which a line "…" stands for any lines.
func matches(want, got string) bool {
	parts := strings.Split(want, "…\n")
	if len(parts) == 1 {
		return want == got
	}
	if !strings.HasPrefix(got, parts[0]) {
		return false
	}
	got = got[len(parts[0]):]
	for _, p := range parts[1 : len(parts)-1] {
		i := strings.Index(got, p)
		if i < 0 {
			return false
		}
		got = got[i+len(p):]
	}
	return strings.HasSuffix(got, parts[len(parts)-1])
}
