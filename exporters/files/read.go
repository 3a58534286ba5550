package files

import (
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"syscall"
)

// Read reads a whole regular file of at most most bytes. Folders, devices, pipes and
// sockets are refused without being read, so that no name in a plan can make the
// program wait, and a larger file without being held in memory. The error is a
// *fs.PathError with the reason in words.
func Read(path string, most int) ([]byte, error) {
	refuse := func(err error) ([]byte, error) { return nil, &fs.PathError{Op: "read", Path: path, Err: err} }
	info, err := os.Stat(path) // before opening: to open some devices is to use them
	if err != nil {
		return nil, err
	}
	if why := irregular(info.Mode()); why != "" {
		return refuse(errors.New(why))
	}
	file, err := os.OpenFile(path, os.O_RDONLY|syscall.O_NONBLOCK, 0) // does not wait should it have become a pipe
	if err != nil {
		return nil, err
	}
	defer file.Close()
	if info, err = file.Stat(); err != nil {
		return nil, err
	}
	if why := irregular(info.Mode()); why != "" {
		return refuse(errors.New(why))
	}
	data, err := io.ReadAll(io.LimitReader(file, int64(most)+1))
	switch {
	case err != nil:
		return nil, err
	case len(data) > most:
		return refuse(fmt.Errorf("it is larger than %s, the most that is read of such a file", size(most)))
	}
	return data, nil
}

// irregular says what a path is when it is no regular file.
func irregular(m fs.FileMode) string {
	const name = "; name a regular file"
	switch {
	case m.IsRegular():
		return ""
	case m.IsDir():
		return "it is a folder" + name
	case m&fs.ModeNamedPipe != 0:
		return "it is a pipe" + name
	case m&fs.ModeSocket != 0:
		return "it is a socket" + name
	}
	return "it is a device" + name
}

func size(bytes int) string {
	if bytes < 1<<20 {
		return fmt.Sprintf("%d bytes", bytes)
	}
	return fmt.Sprintf("%d MiB", bytes>>20)
}
