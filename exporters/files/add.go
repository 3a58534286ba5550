package files

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"time"

	"github.com/gofrs/flock"
)

// Add adds to the end of a file, or makes it, while no other process writes in its
// folder: next is given the content, of at most most bytes, and says what follows it. A
// link is written through. An error, also of next, leaves the file as it was.
func Add(ctx context.Context, path string, most int, next func(content []byte) ([]byte, error)) error {
	p, err := findPlace(path)
	if err != nil {
		return fmt.Errorf("%s: %w", path, plain(err))
	}
	unlock, err := lock(ctx, filepath.Dir(p.path))
	if err != nil {
		return err
	}
	defer unlock()
	old, err := Read(p.path, most)
	made := errors.Is(err, fs.ErrNotExist)
	if err != nil && !made {
		return fmt.Errorf("%s: %w", path, plain(err))
	}
	more, err := next(old)
	if err != nil {
		return err
	}
	if len(old)+len(more) > most {
		return fmt.Errorf("%s: there is no room in it: with this it would be larger than %s", path, size(most))
	}
	if err := extend(p.path, int64(len(old)), more); err != nil {
		if made {
			err = errors.Join(err, removeIfThere(p.path))
		}
		return fmt.Errorf("%s: %w; nothing was written", path, plain(err))
	}
	if made {
		disk{sync: (*os.File).Sync}.syncDir(filepath.Dir(p.path))
	}
	return nil
}

// extend writes at the end of a file in one call, and takes back what did not fit.
func extend(path string, end int64, more []byte) error {
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o666)
	if err != nil {
		return err
	}
	defer file.Close()
	_, err = file.WriteAt(more, end)
	if err == nil {
		err = file.Sync()
	}
	if err != nil {
		return errors.Join(err, file.Truncate(end))
	}
	return file.Close()
}

// lock waits until no other process writes in a folder, or ctx ends. Where the system
// cannot lock it, nobody waits.
func lock(ctx context.Context, dir string) (unlock func(), err error) {
	l := flock.New(dir, flock.SetFlag(os.O_RDONLY))
	_, err = l.TryLockContext(ctx, 10*time.Millisecond)
	if ctx.Err() != nil {
		return nil, ctx.Err()
	}
	if err != nil {
		return func() {}, nil
	}
	return func() { _ = l.Unlock() }, nil
}
