package files

import (
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"syscall"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestReadTakesRegularFilesOnly(t *testing.T) {
	dir := t.TempDir()
	in := func(name string) string { return filepath.Join(dir, name) }
	require.NoError(t, os.WriteFile(in("file"), []byte("12345"), 0o600))
	require.NoError(t, os.Symlink("file", in("link")))
	require.NoError(t, syscall.Mkfifo(in("pipe"), 0o600))
	socket, err := net.Listen("unix", in("socket"))
	require.NoError(t, err)
	defer socket.Close()
	for path, want := range map[string]string{
		in("missing"): "no such file",
		dir:           "it is a folder; name a regular file",
		in("pipe"):    "it is a pipe; name a regular file",
		in("socket"):  "it is a socket; name a regular file",
		"/dev/zero":   "it is a device; name a regular file",
	} {
		_, err := Read(path, 5)
		assert.ErrorContains(t, err, want)
		assert.ErrorAs(t, err, new(*fs.PathError))
	}
	for _, name := range []string{"file", "link"} {
		data, err := Read(in(name), 5)
		require.NoError(t, err)
		assert.Equal(t, "12345", string(data))
		_, err = Read(in(name), 4)
		assert.ErrorContains(t, err, "it is larger than 4 bytes")
	}
}

// A file with a hole has a size without taking room: 8 GiB are refused after the
// first bytes beyond the limit.
func TestReadHoldsNoMoreThanItsLimit(t *testing.T) {
	path := filepath.Join(t.TempDir(), "huge")
	require.NoError(t, os.WriteFile(path, nil, 0o600))
	require.NoError(t, os.Truncate(path, 8<<30))
	_, err := Read(path, 1<<20)
	assert.ErrorContains(t, err, "it is larger than 1 MiB")
}
