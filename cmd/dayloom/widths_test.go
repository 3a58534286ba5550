package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
	"time"
	"unicode/utf8"

	"github.com/spf13/cobra"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// tour is what every starter goes through; PLAN and OUT stand for its plan and a folder.
var tour = []string{
	"check PLAN", "map PLAN", "map PLAN --at peaks", "map PLAN --depth 20cm", "dli PLAN", "colour PLAN", "balance PLAN", "compile PLAN -o OUT",
	"verify OUT/timetable.json PLAN", "now PLAN --at 12:30", "acclimate PLAN", "journal PLAN", "drill PLAN", "survey PLAN --readings 6",
}

// toured is what the commands of the tour print, at a width, on each starter.
func toured(t *testing.T, columns int) map[string]string {
	t.Helper()
	when, err := time.Parse(time.RFC3339, "2026-12-02T12:00:00Z")
	require.NoError(t, err)
	t.Chdir(t.TempDir())
	out := map[string]string{}
	for _, like := range likes {
		var text strings.Builder
		for _, step := range append([]string{"new DIR --like " + like}, tour...) {
			line := strings.NewReplacer("PLAN", like+"/plan.yaml", "OUT", like+"/out", "DIR", like).Replace(step)
			var o, x bytes.Buffer
			code := run(strings.Fields(line), world{stdin: strings.NewReader(""), stdout: &o, stderr: &x, columns: columns,
				now: func() time.Time { return when }})
			fmt.Fprintf(&text, "$ dayloom %s\n%s%s[%d]\n\n", line, o.String(), x.String(), code)
		}
		out[like] = text.String()
	}
	return out
}

// Everything that the commands print on the starters fits into the columns that there are.
// What may be longer is a word alone on its line, such as the path of a file.
func TestWidths(t *testing.T) {
	if testing.Short() {
		t.Skip("a tour of all commands, three times over: it shows nothing to the race detector that the scripts do not")
	}
	for _, columns := range []int{80, 100, 200} {
		for like, got := range toured(t, columns) {
			for _, line := range strings.Split(got, "\n") {
				if utf8.RuneCountInString(line) > columns && strings.Contains(strings.TrimSpace(line), " ") && !strings.HasPrefix(line, "$ ") {
					t.Errorf("%s at %d columns, %d: %s", like, columns, utf8.RuneCountInString(line), line)
				}
			}
			path := fmt.Sprintf("testdata/text/%s-%d.txt", like, columns)
			if *update {
				require.NoError(t, os.MkdirAll(rootFile("cmd/dayloom/testdata/text"), 0o755))
				require.NoError(t, os.WriteFile(rootFile("cmd/dayloom/"+path), []byte(got), 0o644))
			}
			want, err := os.ReadFile(rootFile("cmd/dayloom/" + path))
			require.NoError(t, err)
			assert.Equal(t, string(want), got, "%s: go test ./cmd/dayloom -run Widths -update writes it again", path)
		}
	}
}

// retired are words that have given way to others, one word for one thing, and those that
// claim more than was worked out.
var retired = regexp.MustCompile(`(?i)\b(departures?|light fraction|binds|stands|is no \w+ (name|number)|anew|at the most|at the least|can not|are not read|full light|near UV|newcomer|wire open|programme is refused|approval|the coral gets|every coral gets|near-uv dose)\b|\b(dose) of (a|the) channel`)

// No retired word is printed: not by the commands on the starters, not by any help.
func TestRetiredWords(t *testing.T) {
	texts := map[string]string{}
	files, err := filepath.Glob("testdata/text/*-100.txt")
	require.NoError(t, err)
	require.Len(t, files, len(likes))
	for _, f := range files {
		b, err := os.ReadFile(f)
		require.NoError(t, err)
		texts[f] = string(b)
	}
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		args := append(strings.Fields(c.CommandPath())[1:], "--help")
		out, msg, _ := at(t, "2026-12-02T12:00:00Z", args...)
		texts[strings.Join(args, " ")] = out + msg
		for _, line := range strings.Split(out, "\n") {
			assert.LessOrEqual(t, utf8.RuneCountInString(line), narrow, "%s: %s", c.CommandPath(), line)
		}
		for _, below := range c.Commands() {
			walk(below)
		}
	}
	walk(rootCommand(world{stdin: strings.NewReader(""), stdout: &bytes.Buffer{}, stderr: &bytes.Buffer{}, now: time.Now}))
	for where, text := range texts {
		for _, line := range strings.Split(text, "\n") {
			if found := retired.FindString(line); found != "" && !strings.Contains(line, "_") {
				t.Errorf("%s: %q in: %s", where, found, line)
			}
		}
	}
}
