package files

import (
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func text(s string) func(io.Writer) error {
	return func(w io.Writer) error {
		_, err := io.WriteString(w, s)
		return err
	}
}

// snapshot is every path under root with its content and permissions.
func snapshot(t *testing.T, root string) map[string]string {
	t.Helper()
	all := make(map[string]string)
	require.NoError(t, filepath.WalkDir(root, func(path string, d os.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			all[path] = "folder"
			return nil
		}
		info, err := d.Info()
		if err != nil {
			return err
		}
		content, err := os.ReadFile(path)
		all[path] = info.Mode().String() + " " + string(content)
		return err
	}))
	return all
}

func TestWritesTheWholeSetAndMakesTheFolder(t *testing.T) {
	dir := filepath.Join(t.TempDir(), "a", "b")
	require.NoError(t, Write(t.Context(), dir, []File{{Name: "one.txt", Render: text("1")}, {Name: "two.txt", Render: text("2")}}))
	got := snapshot(t, dir)
	require.Len(t, got, 3, "the folder and its two files, no leftovers: %v", got)
	assert.Contains(t, got[filepath.Join(dir, "one.txt")], " 1")
	assert.Contains(t, got[filepath.Join(dir, "two.txt")], " 2")
}

func TestReplacedFilesKeepTheirPermissions(t *testing.T) {
	dir := t.TempDir()
	path := filepath.Join(dir, "one.txt")
	require.NoError(t, os.WriteFile(path, []byte("old"), 0o640))
	require.NoError(t, Write(t.Context(), dir, []File{{Name: "one.txt", Render: text("new")}}))
	assert.Equal(t, map[string]string{dir: "folder", path: "-rw-r----- new"}, snapshot(t, dir))
}

// Every call to the disk is made to fail in turn, over a folder that holds one
// file of the set and one stranger, and over a folder that is not there yet.
func TestAnyFailureLeavesEverythingAsItWas(t *testing.T) {
	set := []File{{Name: "new.txt", Render: text("new")}, {Name: "old.txt", Render: text("changed")}, {Name: "last.txt", Render: text("last")}}
	for _, noLinks := range []bool{false, true} {
		for _, exists := range []bool{true, false} {
			for _, call := range []string{"rename", "sync"} {
				for n := 1; n <= 3; n++ {
					if !exists && call == "rename" && n > 1 {
						continue // a new folder gets its name in one
					}
					t.Run(fmt.Sprintf("no links %v, folder %v, %s %d", noLinks, exists, call, n), func(t *testing.T) {
						root := t.TempDir()
						dir := filepath.Join(root, "out", "deep")
						if exists {
							require.NoError(t, os.MkdirAll(dir, 0o755))
							require.NoError(t, os.WriteFile(filepath.Join(dir, "old.txt"), []byte("old"), 0o600))
							require.NoError(t, os.WriteFile(filepath.Join(dir, "stranger"), nil, 0o600))
						}
						before := snapshot(t, root)
						err := failing(call, n, noLinks).write(t.Context(), dir, set)
						require.ErrorContains(t, err, "no space")
						assert.Equal(t, before, snapshot(t, root))
					})
				}
			}
		}
	}
}

// failing is a disk whose nth call of one kind fails.
func failing(call string, n int, noLinks bool) disk {
	count := make(map[string]int)
	fails := func(kind string) bool {
		count[kind]++
		return kind == call && count[kind] == n
	}
	full := errors.New("no space")
	return disk{
		rename: func(from, to string) error {
			if fails("rename") {
				return &os.LinkError{Op: "rename", Old: from, New: to, Err: full}
			}
			return os.Rename(from, to)
		},
		link: func(from, to string) error {
			if noLinks {
				return errors.New("not supported")
			}
			return os.Link(from, to)
		},
		sync: func(f *os.File) error {
			if fails("sync") {
				return &os.PathError{Op: "sync", Path: f.Name(), Err: full}
			}
			return f.Sync()
		},
	}
}

func TestARendererThatFailsOrPanicsLeavesNothing(t *testing.T) {
	root := t.TempDir()
	dir := filepath.Join(root, "out")
	set := []File{{Name: "a", Render: text("a")}, {Name: "b", Render: func(w io.Writer) error {
		_, _ = io.WriteString(w, strings.Repeat("x", 1<<17)) // more than the buffer: some of it is on the disk
		return errors.New("no curve for this day")
	}}}
	err := Write(t.Context(), dir, set)
	require.ErrorContains(t, err, "b: no curve for this day; nothing was written")
	assert.Equal(t, map[string]string{root: "folder"}, snapshot(t, root))

	set[1].Render = func(io.Writer) error { panic("bug") }
	assert.Panics(t, func() { _ = Write(t.Context(), dir, set) })
	assert.Equal(t, map[string]string{root: "folder"}, snapshot(t, root))
}

func TestAnErrorNamesTheFileThatTheReaderKnows(t *testing.T) {
	dir := t.TempDir()
	missing := filepath.Join(dir, "spectrum.csv")
	err := Write(t.Context(), dir, []File{{Name: "a", Render: func(io.Writer) error { _, err := os.ReadFile(missing); return err }}})
	require.ErrorContains(t, err, missing)
	err = failing("sync", 1, false).write(t.Context(), dir, []File{{Name: "a", Render: text("a")}})
	assert.Equal(t, filepath.Join(dir, "a")+": no space; nothing was written", err.Error())
}

func TestRefusals(t *testing.T) {
	root := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(root, "file"), nil, 0o600))
	require.NoError(t, os.Mkdir(filepath.Join(root, "taken"), 0o755))
	before := snapshot(t, root)
	for _, c := range []struct {
		dir   string
		names []string
		want  string
	}{
		{root, []string{"../x"}, "not a plain file name"},
		{root, []string{""}, "not a plain file name"},
		{root, []string{"a", "a"}, "both called a"},
		{filepath.Join(root, "file"), []string{"a"}, "is a file; name a folder"},
		{filepath.Join(root, "file", "below"), []string{"a"}, "file"},
		{root, []string{"a", "taken"}, "a folder has this name"},
	} {
		var set []File
		for _, n := range c.names {
			set = append(set, File{Name: n, Render: text("x")})
		}
		assert.ErrorContains(t, Write(t.Context(), c.dir, set), c.want)
		assert.Equal(t, before, snapshot(t, root))
	}
}
