package files

import (
	"context"
	"errors"
	"io"
	"os"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A name that is a link is written through to what it points to, whose permissions
// stay; the link stays a link.
func TestLinksAreWrittenThrough(t *testing.T) {
	root := t.TempDir()
	in := func(name string) string { return filepath.Join(root, filepath.FromSlash(name)) }
	require.NoError(t, os.Mkdir(in("out"), 0o755))
	require.NoError(t, os.Mkdir(in("store"), 0o755))
	require.NoError(t, os.WriteFile(in("store/private"), []byte("old"), 0o600))
	require.NoError(t, os.Symlink("../store/private", in("out/a")))
	require.NoError(t, os.Symlink("a", in("out/chain")))
	require.NoError(t, os.Symlink(in("store/new"), in("out/b")))
	require.NoError(t, os.Symlink("/dev/null", in("out/device")))

	require.NoError(t, Write(t.Context(), in("out"), []File{{Name: "a", Render: text("A")}, {Name: "b", Render: text("B")}}))
	got := snapshot(t, root)
	assert.Equal(t, "-rw------- A", got[in("store/private")])
	assert.Contains(t, got[in("store/new")], " B")
	assert.Contains(t, got[in("out/a")], "L", "still a link")
	assert.Len(t, got, 9, "no leftovers: %v", got)

	assert.ErrorContains(t, Write(t.Context(), in("out"), []File{{Name: "device", Render: text("x")}}), "it is a device")
	err := Write(t.Context(), in("out"), []File{{Name: "a", Render: text("x")}, {Name: "chain", Render: text("y")}})
	assert.ErrorContains(t, err, "are links to one file")
	assert.Equal(t, got, snapshot(t, root))

	require.NoError(t, Add(t.Context(), in("out/chain"), 100, func([]byte) ([]byte, error) { return []byte("+"), nil }))
	assert.Equal(t, "-rw------- A+", snapshot(t, root)[in("store/private")])
	require.NoError(t, os.Symlink("loop", in("out/loop")))
	assert.ErrorContains(t, Write(t.Context(), in("out"), []File{{Name: "loop", Render: text("x")}}), "too many links")
	require.NoError(t, os.Symlink("nowhere", in("folder")))
	assert.ErrorContains(t, Write(t.Context(), in("folder"), []File{{Name: "a", Render: text("x")}}), "is a link to nothing")
}

// A private file is private from its first byte on.
func TestModeIsKeptWhileWriting(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.WriteFile(filepath.Join(dir, "open"), []byte("old"), 0o644))
	seen := map[string]string{}
	look := func(name string) func(io.Writer) error {
		return func(w io.Writer) error {
			info, err := os.Stat(hidden(filepath.Join(dir, name), unfinished))
			seen[name] = info.Mode().String()
			return err
		}
	}
	require.NoError(t, Write(t.Context(), dir, []File{{"open", look("open"), 0o600}, {"private", look("private"), 0o400}, {"plain", look("plain"), 0}}))
	assert.Equal(t, "-rw-------", seen["open"])
	assert.Equal(t, "-r--------", seen["private"])
	got := snapshot(t, dir)
	assert.Equal(t, "-rw------- ", got[filepath.Join(dir, "open")])
	assert.Equal(t, "-r-------- ", got[filepath.Join(dir, "private")])
	assert.Equal(t, seen["plain"]+" ", got[filepath.Join(dir, "plain")])
}

// A context that ends while something is rendered takes all back; after the last byte
// the set is finished.
func TestStopped(t *testing.T) {
	for _, there := range []bool{true, false} {
		root := t.TempDir()
		dir := filepath.Join(root, "out")
		if there {
			require.NoError(t, Write(t.Context(), dir, []File{{Name: "a", Render: text("old")}}))
		}
		before := snapshot(t, root)
		ctx, stop := context.WithCancel(t.Context())
		err := Write(ctx, dir, []File{{Name: "a", Render: text("new")}, {Name: "b", Render: func(w io.Writer) error {
			stop()
			return text("x")(w)
		}}})
		require.ErrorIs(t, err, context.Canceled)
		assert.Equal(t, before, snapshot(t, root))
		require.ErrorIs(t, Write(ctx, dir, []File{{Name: "a", Render: text("new")}}), context.Canceled, "while it waits")
		require.ErrorIs(t, Add(ctx, filepath.Join(root, "j"), 9, nil), context.Canceled)
	}
}

func TestAddKeepsToItsLimitAndToWhatNextSays(t *testing.T) {
	path := filepath.Join(t.TempDir(), "journal")
	put := func(s string, err error) error {
		return Add(t.Context(), path, 5, func([]byte) ([]byte, error) { return []byte(s), err })
	}
	require.NoError(t, put("123", nil))
	assert.ErrorContains(t, put("456", nil), "there is no room in it: with this it would be larger than 5 bytes")
	assert.ErrorContains(t, put("4", errors.New("not so")), "not so")
	data, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, "123", string(data))
	require.NoError(t, os.WriteFile(path, []byte("123456"), 0o600))
	assert.ErrorContains(t, put("", nil), "it is larger than 5 bytes")
	assert.ErrorContains(t, Add(t.Context(), t.TempDir(), 5, nil), "a folder has this name")
}
