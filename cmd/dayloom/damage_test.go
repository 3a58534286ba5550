package main

import (
	"bytes"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/job"
	"dayloom/exporters/playback"
)

// writtenFiles are the starter and what compile makes of it, made once.
var writtenFiles = sync.OnceValues(func() (map[string][]byte, error) {
	dir, err := os.MkdirTemp("", "compiled")
	if err != nil {
		return nil, err
	}
	defer os.RemoveAll(dir)
	quiet := func(args ...string) error {
		var talk bytes.Buffer
		w := world{stdin: strings.NewReader(""), stdout: &talk, stderr: &talk, now: compiledAt}
		if code := run(args, w); code != exitDone {
			return fmt.Errorf("%v: %s", args, talk.String())
		}
		return nil
	}
	starter := filepath.Join(dir, "x")
	if err := quiet("new", starter); err != nil {
		return nil, err
	}
	if err := quiet("compile", filepath.Join(starter, "plan.yaml"), "-o", filepath.Join(dir, "out"), "--from", "2027-03-27", "--to", "2027-03-29"); err != nil {
		return nil, err
	}
	all := map[string][]byte{}
	for _, name := range []string{"timetable.json", "timetable.csv", "grid.csv", "outlets.cron"} {
		if all[name], err = os.ReadFile(filepath.Join(dir, "out", name)); err != nil {
			return nil, err
		}
	}
	grid := bytes.SplitAfter(all["grid.csv"], []byte("\n")) // a row a minute is many: every hundredth serves
	var few []byte
	for i := 0; i < len(grid); i += 100 {
		few = append(few, grid[i]...)
	}
	all["grid.csv"] = few
	return all, nil
})

func compiledAt() time.Time { return time.Date(2026, 12, 2, 12, 0, 0, 0, time.UTC) }

// playable reads what a file says and plays it: it must be refused with the line, or be
// played to numbers; a panic ends the test.
func playable(t require.TestingT, name string, data []byte, j *job.Job) {
	file, err := parsed(name, data)
	if err != nil {
		require.Regexp(t, regexp.MustCompile(`^`+regexp.QuoteMeta(name)+`:\d+`), err.Error())
		return
	}
	f, _, err := file.timetable(j.Plan)
	if err != nil {
		require.True(t, strings.HasPrefix(err.Error(), name) || len(err.Error()) > 20, err.Error())
		return
	}
	if len(f.Tables) == 0 || file.kind == crontabFile {
		return
	}
	date := f.Tables[0].From
	if date.Year < 1970 || date.Year > 2200 {
		return // no such date can be asked for
	}
	result, err := playback.Play(f, j.Plan, j.Asked(date, true))
	if err != nil {
		return
	}
	for _, c := range result.Corals {
		require.False(t, math.IsNaN(c.DeliveredDLI) || math.IsInf(c.DeliveredDLI, 0) || c.DeliveredDLI < 0, "%v", c)
	}
}

// damaged is a file with something lost, doubled, moved or changed.
func damaged(t *rapid.T, data []byte) []byte {
	out := bytes.Clone(data)
	for range rapid.IntRange(1, 4).Draw(t, "faults") {
		if len(out) == 0 {
			return out
		}
		a := rapid.IntRange(0, len(out)-1).Draw(t, "a")
		b := min(len(out), a+rapid.SampledFrom([]int{1, 1, 2, 5, 20, 200, 5000}).Draw(t, "length"))
		switch rapid.IntRange(0, 5).Draw(t, "kind") {
		case 0: // lost
			out = append(out[:a:a], out[b:]...)
		case 1: // doubled
			out = append(out[:b:b], out[a:]...)
		case 2: // another byte
			out[a] = rapid.SampledFrom([]byte("0123456789-.,:\"{}[]eE\n\x00\xff ")).Draw(t, "byte")
		case 3: // cut
			out = out[:a]
		case 4: // lines exchanged
			lines := bytes.SplitAfter(out, []byte("\n"))
			i, k := rapid.IntRange(0, len(lines)-1).Draw(t, "i"), rapid.IntRange(0, len(lines)-1).Draw(t, "k")
			lines[i], lines[k] = lines[k], lines[i]
			out = bytes.Join(lines, nil)
		case 5: // a number that is none, or too large
			word := rapid.SampledFrom([]string{"1e308", "-1", "NaN", "9999-12-31", "0001-01-01", "\"\"", "null", "24:00", "1e-320"}).Draw(t, "word")
			out = append(out[:a:a], append([]byte(word), out[b:]...)...)
		}
	}
	return out
}

// Whatever happened to a timetable, it is refused with its line or played to numbers.
func TestDamagedTimetablesAreRefusedOrPlayed(t *testing.T) {
	all, err := writtenFiles()
	require.NoError(t, err)
	j := starterJob(t)
	for name, data := range all {
		t.Run(name, func(t *testing.T) {
			playable(t, name, data, j)
			rapid.Check(t, func(t *rapid.T) { playable(t, name, damaged(t, data), j) })
		})
	}
}

func FuzzPlayable(f *testing.F) {
	all, err := writtenFiles()
	require.NoError(f, err)
	for name, data := range all {
		f.Add(name, data[:min(len(data), 8000)])
		f.Add(name, data)
	}
	j := starterJob(f)
	f.Fuzz(func(t *testing.T, name string, data []byte) {
		if strings.ContainsAny(name, "/\n") || len(data) > 1<<17 {
			return
		}
		playable(t, name, data, j)
	})
}

// starterJob is the starter's job with nothing to be found.
func starterJob(t testing.TB) *job.Job {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "x")
	w := world{stdin: strings.NewReader(""), stdout: new(bytes.Buffer), stderr: new(bytes.Buffer), now: compiledAt}
	require.Equal(t, exitDone, run([]string{"new", dir}, w))
	j, err := w.opened(w.question(filepath.Join(dir, "plan.yaml")))
	require.NoError(t, err)
	return j
}
