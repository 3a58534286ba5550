package main

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"os/signal"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// program is dayloom as a process of its own.
func program(t *testing.T, args ...string) (*exec.Cmd, *bytes.Buffer) {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self, args...)
	cmd.Args[0] = "dayloom"
	cmd.Env = append(os.Environ(), "DAYLOOM_TEST_NOW=2026-12-02T12:00:00Z")
	var talk bytes.Buffer
	cmd.Stderr = &talk
	return cmd, &talk
}

// listing is every name below a folder, with its content.
func listing(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	require.NoError(t, filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() {
			all[path] = ""
			return err
		}
		data, err := os.ReadFile(path)
		all[path] = string(data)
		return err
	}))
	return all
}

// A compile that is told to end while it writes leaves everything as it was; one that is
// killed leaves what the next one takes away.
func TestCompileIsStoppedWhileItWrites(t *testing.T) {
	plan := metPlan(t)
	for _, c := range []struct {
		signal syscall.Signal
		there  bool
	}{{syscall.SIGINT, false}, {syscall.SIGTERM, true}, {syscall.SIGHUP, true}, {syscall.SIGKILL, false}, {syscall.SIGKILL, true}} {
		t.Run(fmt.Sprint(c), func(t *testing.T) {
			var root, out string
			if signal.Ignored(c.signal) {
				t.Skip("this signal is ignored by whatever is run here, as under nohup")
			}
			var before map[string]string
			var ended *exec.ExitError
			var talk *bytes.Buffer
			for last := 80; ended == nil && last < 2000; last *= 2 { // days, so that writing takes longer than a signal on a busy machine
				root = t.TempDir()
				out = filepath.Join(root, "out")
				hidden := filepath.Join(root, ".out.dayloom-new", "grid.csv")
				if c.there {
					_, msg, code := at(t, "2026-12-02T12:00:00Z", "compile", plan, "-o", out)
					require.Zero(t, code, msg)
					hidden = filepath.Join(out, ".grid.csv.dayloom-new")
				}
				before = listing(t, root)
				to := time.Date(2027, 1, 1+last, 0, 0, 0, 0, time.UTC).Format(time.DateOnly)
				var cmd *exec.Cmd
				cmd, talk = program(t, "compile", plan, "-o", out, "--from", "2027-01-01", "--to", to)
				require.NoError(t, cmd.Start())
				done := make(chan error, 1)
				go func() { done <- cmd.Wait() }()
				var err error
				for waiting := true; waiting; {
					select {
					case err = <-done:
						waiting = false
					case <-time.After(100 * time.Microsecond):
						if _, missing := os.Stat(hidden); missing == nil {
							_ = cmd.Process.Signal(c.signal)
							err, waiting = <-done, false
						}
					}
				}
				if errors.As(err, &ended); ended != nil && ended.ExitCode() == exitUnmet {
					ended = nil // it was done before the signal came
				}
			}
			require.NotNil(t, ended, "it was always done before the signal came: %s", talk)
			if c.signal != syscall.SIGKILL {
				assert.Equal(t, exitFile, ended.ExitCode())
				assert.Contains(t, talk.String(), "error: stopped by a signal; nothing was changed\n")
				assert.Equal(t, before, listing(t, root))
				return
			}
			assert.Greater(t, len(listing(t, root)), len(before), "a kill leaves hidden files")
			_, msg, code := at(t, "2026-12-02T12:00:00Z", "compile", plan, "-o", out)
			require.Zero(t, code, msg)
			for path := range listing(t, root) {
				assert.NotContains(t, path, "dayloom-")
			}
		})
	}
}

// Two compiles into one folder at once: what is there is one of them, whole.
func TestTwoCompilesDoNotMix(t *testing.T) {
	plan := metPlan(t)
	out := filepath.Join(t.TempDir(), "out")
	for range 2 {
		var wait sync.WaitGroup
		for _, date := range []string{"2027-01-01", "2027-02-02", "2027-03-03"} {
			cmd, talk := program(t, "compile", plan, "-o", out, "--from", date)
			wait.Go(func() { assert.NoError(t, cmd.Run(), "%s", talk) })
		}
		wait.Wait()
		one := regexp.MustCompile(`2027-0\d-0\d`)
		first := map[string]bool{}
		for _, name := range []string{"timetable.csv", "timetable.json", "grid.csv", "outlets.cron", "sheet.txt", "sheet.html"} {
			data, err := os.ReadFile(filepath.Join(out, name))
			require.NoError(t, err)
			first[one.FindString(string(data))] = true
		}
		assert.Len(t, first, 1, "files of more than one compile: %v", first)
	}
	for path := range listing(t, filepath.Dir(out)) {
		assert.NotContains(t, path, "dayloom-")
	}
}

// Eight processes add to a journal at once, and again: every entry is there.
func TestEightJournalsAtOnce(t *testing.T) {
	plan := metPlan(t)
	var wait sync.WaitGroup
	for p := range 8 {
		wait.Go(func() {
			for i := range 2 {
				cmd, talk := program(t, "journal", "add", plan, "--date", "2026-12-01", "--note", fmt.Sprintf("entry %d of %d", i, p))
				assert.NoError(t, cmd.Run(), "%s", talk)
			}
		})
	}
	wait.Wait()
	data, err := os.ReadFile(filepath.Join(filepath.Dir(plan), "journal.yaml"))
	require.NoError(t, err)
	for p := range 8 {
		for i := range 2 {
			assert.Contains(t, string(data), fmt.Sprintf("note: 'entry %d of %d'\n", i, p))
		}
	}
	assert.Equal(t, 16, strings.Count(string(data), "- date:"))
	_, msg, code := at(t, "2026-12-02T12:00:00Z", "journal", plan)
	assert.Zero(t, code, msg)
}
