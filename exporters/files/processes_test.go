package files

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"sync"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMain lets the tests below run this program again as a process of its own, which
// writes and can be killed.
func TestMain(m *testing.M) {
	if len(os.Args) > 2 && os.Args[1] == "write" {
		if err := writer(os.Args[2], os.Args[3], os.Args[4]); err != nil {
			fmt.Fprintln(os.Stderr, err)
			os.Exit(1)
		}
		os.Exit(0)
	}
	os.Exit(m.Run())
}

// writer is the process: what is "set" or "journal"; word is what it writes; it kills
// itself at the dieth call that it makes to the disk, 0 never.
func writer(what, dir, words string) error {
	word, at, _ := strings.Cut(words, "@")
	die, _ := strconv.Atoi(at)
	if what == "journal" {
		for i := range 10 {
			err := Add(context.Background(), filepath.Join(dir, "journal"), 1<<20, func([]byte) ([]byte, error) {
				return fmt.Appendf(nil, "%s %d\n", word, i), nil
			})
			if err != nil {
				return err
			}
		}
		return nil
	}
	calls := 0
	kill := func() {
		if calls++; calls == die {
			_ = syscall.Kill(os.Getpid(), syscall.SIGKILL)
			select {}
		}
	}
	d := disk{
		rename: func(from, to string) error { kill(); defer kill(); return os.Rename(from, to) },
		link:   func(from, to string) error { kill(); defer kill(); return os.Link(from, to) },
		sync:   func(f *os.File) error { kill(); defer kill(); return f.Sync() },
	}
	return d.write(context.Background(), dir, setOf(word))
}

// setOf is five files with one word, in pieces larger than the buffer.
func setOf(word string) []File {
	var set []File
	for _, name := range []string{"a", "b", "c", "deep/d", "e"} {
		set = append(set, File{Name: filepath.FromSlash(name), Render: func(w io.Writer) error {
			_, err := io.WriteString(w, strings.Repeat(word+"\n", 1<<15))
			return err
		}})
	}
	return set
}

func process(t *testing.T, args ...string) *exec.Cmd {
	t.Helper()
	self, err := os.Executable()
	require.NoError(t, err)
	cmd := exec.Command(self, append([]string{"write"}, args...)...)
	cmd.Stderr = os.Stderr
	return cmd
}

// words are the whole contents of the files in a folder, each by the one word that it
// holds; hidden are names that are not of the set.
func words(t *testing.T, dir string) (words map[string]string, hidden []string) {
	t.Helper()
	words = map[string]string{}
	err := filepath.WalkDir(dir, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() && !strings.HasPrefix(d.Name(), ".") {
			return err
		}
		rel, _ := filepath.Rel(dir, path)
		if strings.HasPrefix(d.Name(), ".") {
			hidden = append(hidden, rel)
			if d.IsDir() {
				return filepath.SkipDir
			}
			return nil
		}
		data, err := os.ReadFile(path)
		word, _, _ := strings.Cut(string(data), "\n")
		require.Equal(t, strings.Repeat(word+"\n", 1<<15), string(data), "%s is not whole", rel)
		words[rel] = word
		return err
	})
	require.NoError(t, err)
	return words, hidden
}

// all is the five files of setOf with one word.
func all(word string) map[string]string {
	return map[string]string{"a": word, "b": word, "c": word, filepath.FromSlash("deep/d"): word, "e": word}
}

// Killed at any call to the disk: every file that has its name is whole; a folder that
// was not there is there whole or not at all; and the next run leaves the new set and
// nothing else.
func TestKilledAtAnyMoment(t *testing.T) {
	for _, fresh := range []bool{false, true} {
		died := 0
		for n := 1; n < 100; n++ {
			dir := filepath.Join(t.TempDir(), "out")
			if !fresh {
				require.NoError(t, Write(t.Context(), dir, setOf("old")))
			}
			err := process(t, "set", dir, fmt.Sprintf("new@%d", n)).Run()
			if err == nil {
				break // fewer calls than n
			}
			died++
			switch _, err := os.Stat(dir); {
			case err == nil:
				got, _ := words(t, dir)
				require.Len(t, got, 5)
			default:
				require.True(t, fresh, "the folder is gone")
			}
			require.NoError(t, Write(t.Context(), dir, setOf("last")))
			got, hidden := words(t, filepath.Dir(dir))
			assert.Len(t, got, 5)
			assert.Empty(t, hidden, "left over after the next run")
			got, _ = words(t, dir)
			assert.Equal(t, all("last"), got)
		}
		assert.Greater(t, died, 5, "too few kills to prove anything")
		t.Logf("folder new: %v; %d moments", fresh, died)
	}
}

// A run that fails after one that was killed half-way leaves the whole old set.
func TestAKilledRunIsTakenBack(t *testing.T) {
	for n := 1; n < 100; n++ {
		dir := filepath.Join(t.TempDir(), "out")
		require.NoError(t, Write(t.Context(), dir, setOf("old")))
		if process(t, "set", dir, fmt.Sprintf("new@%d", n)).Run() == nil {
			require.Greater(t, n, 10)
			return
		}
		require.Error(t, Write(t.Context(), dir, []File{{Name: "x", Render: func(io.Writer) error { return errors.New("no") }}}))
		got, hidden := words(t, dir)
		delete(got, "x")
		for _, h := range hidden {
			assert.Contains(t, h, "deep", "only a set tidies below its folder")
		}
		one := got["a"]
		delete(got, filepath.FromSlash("deep/d"))
		for name, word := range got {
			assert.Equal(t, one, word, "moment %d: %s", n, name)
		}
	}
}

// Eight processes write into one folder, new or not: the set is one process's.
func TestSetsDoNotMix(t *testing.T) {
	for range 3 {
		dir := filepath.Join(t.TempDir(), "out")
		for range 2 {
			together(t, "set", dir)
			got, hidden := words(t, dir)
			assert.Empty(t, hidden)
			assert.Equal(t, all(got["a"]), got)
		}
	}
}

// Eight processes add ten entries each: none is lost, none is torn.
func TestNoEntryIsLost(t *testing.T) {
	dir := t.TempDir()
	together(t, "journal", dir)
	data, err := os.ReadFile(filepath.Join(dir, "journal"))
	require.NoError(t, err)
	seen := map[string]bool{}
	for line := range strings.Lines(string(data)) {
		seen[line] = true
	}
	for p := range 8 {
		for i := range 10 {
			assert.True(t, seen[fmt.Sprintf("w%d %d\n", p, i)])
		}
	}
	assert.Len(t, seen, 80)
}

func together(t *testing.T, what, dir string) {
	t.Helper()
	var wait sync.WaitGroup
	for p := range 8 {
		cmd := process(t, what, dir, fmt.Sprintf("w%d", p))
		wait.Go(func() { assert.NoError(t, cmd.Run()) })
	}
	wait.Wait()
}

// A disk of 300 KiB, where that can be had, has no room for the second set: the first
// stays, and so does a journal.
func TestFullDisk(t *testing.T) {
	disk := t.TempDir()
	if err := syscall.Mount("tmpfs", disk, "tmpfs", 0, "size=300k"); err != nil {
		t.Skipf("no small disk can be made here: %v", err)
	}
	defer func() { assert.NoError(t, syscall.Unmount(disk, syscall.MNT_DETACH)) }()
	dir := filepath.Join(disk, "out")
	small := []File{{Name: "a", Render: text("old")}, {Name: "b", Render: text("old")}}
	require.NoError(t, Write(t.Context(), dir, small))
	before := snapshot(t, disk)
	for _, to := range []string{dir, filepath.Join(disk, "fresh", "deep")} {
		err := Write(t.Context(), to, setOf("new"))
		require.ErrorContains(t, err, "no space left on device; nothing was written")
		assert.Equal(t, before, snapshot(t, disk))
	}
	journal := filepath.Join(disk, "journal")
	add := func(n int) error {
		return Add(t.Context(), journal, 1<<20, func([]byte) ([]byte, error) { return []byte(strings.Repeat("x", n)), nil })
	}
	require.ErrorContains(t, add(400<<10), "no space left on device; nothing was written")
	assert.Equal(t, before, snapshot(t, disk))
	require.NoError(t, add(10))
	require.ErrorContains(t, add(400<<10), "no space left on device; nothing was written")
	data, err := os.ReadFile(journal)
	require.NoError(t, err)
	assert.Equal(t, "xxxxxxxxxx", string(data))
}
