package files

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
)

// File is one file of a set.
type File struct {
	Name   string                // plain name, without a folder
	Render func(io.Writer) error // writes the whole content
}

// WriteAll writes the files into the folder dir, all of them or none. The folder
// is made when it is not there; files of the same names are replaced and keep
// their permissions. Any error leaves folder and files as they were and names
// the file at fault.
func WriteAll(dir string, set []File) error {
	return disk{rename: os.Rename, link: os.Link, sync: (*os.File).Sync}.writeAll(dir, set)
}

// WriteOne writes one file at a path, whole or not at all.
func WriteOne(path string, render func(io.Writer) error) error {
	return WriteAll(filepath.Dir(path), []File{{filepath.Base(path), render}})
}

// disk is the calls whose failures the tests must be able to provoke.
type disk struct {
	rename func(from, to string) error
	link   func(from, to string) error
	sync   func(*os.File) error
}

func (d disk) writeAll(dir string, set []File) (err error) {
	if err := checkNames(set); err != nil {
		return err
	}
	undo := new(undoList)
	done := false
	defer func() {
		if !done { // also when a renderer panics
			err = errors.Join(err, undo.run())
		}
	}()
	if err := makeDir(dir, undo); err != nil {
		return err
	}
	temps := make([]string, len(set))
	for i, f := range set {
		if temps[i], err = d.render(dir, f, undo); err != nil {
			return fmt.Errorf("%s: %w; nothing was written", filepath.Join(dir, f.Name), plain(err))
		}
	}
	var backups []string
	for i, f := range set {
		target := filepath.Join(dir, f.Name)
		backup, err := d.replace(temps[i], target, undo)
		if err != nil {
			return fmt.Errorf("%s: %w; nothing was changed", target, plain(err))
		}
		if backup != "" {
			backups = append(backups, backup)
		}
	}
	done = true
	for _, b := range backups {
		err = errors.Join(err, os.Remove(b))
	}
	if folder, openErr := os.Open(dir); openErr == nil {
		_ = d.sync(folder) // not every file system can sync a folder; the files themselves are synced
		_ = folder.Close()
	}
	return err
}

// render writes one file under a temporary name and syncs it.
func (d disk) render(dir string, f File, undo *undoList) (string, error) {
	mode := fs.FileMode(0)
	if info, err := os.Lstat(filepath.Join(dir, f.Name)); err == nil {
		if info.IsDir() {
			return "", errors.New("a folder has this name; move it, or write elsewhere")
		}
		mode = info.Mode().Perm()
	}
	file, err := create(dir, f.Name, "new")
	if err != nil {
		return "", err
	}
	undo.add(func() error { return removeIfThere(file.Name()) })
	defer file.Close()
	buffer := bufio.NewWriterSize(file, 1<<16)
	if err := f.Render(buffer); err != nil {
		if errors.As(err, new(*fs.PathError)) && !strings.Contains(err.Error(), file.Name()) {
			err = fmt.Errorf("%v", err) // about a file that the renderer reads: plain must leave its name
		}
		return "", err
	}
	if err := buffer.Flush(); err != nil {
		return "", err
	}
	if mode != 0 {
		if err := file.Chmod(mode); err != nil {
			return "", err
		}
	}
	if err := d.sync(file); err != nil {
		return "", err
	}
	return file.Name(), file.Close()
}

// replace gives the temporary file its own name. When that name was taken it
// returns the name under which the old content is kept until the set is complete.
func (d disk) replace(temp, target string, undo *undoList) (backup string, err error) {
	if _, err := os.Lstat(target); errors.Is(err, fs.ErrNotExist) {
		undo.add(func() error { return removeIfThere(target) })
		return "", d.rename(temp, target)
	}
	hold, err := create(filepath.Dir(target), filepath.Base(target), "old")
	if err != nil {
		return "", err
	}
	backup = hold.Name()
	if err := errors.Join(hold.Close(), os.Remove(backup)); err != nil {
		return "", err
	}
	if d.link(target, backup) != nil { // no hard links here
		if err := d.rename(target, backup); err != nil {
			return "", err
		}
	}
	// Rename does nothing when both names are links to one file, so the backup
	// is taken away as well.
	undo.add(func() error { return errors.Join(d.rename(backup, target), removeIfThere(backup)) })
	return backup, d.rename(temp, target)
}

// create opens a new hidden file beside the one named, stepping over leftovers
// of an earlier run that was killed.
func create(dir, name, what string) (*os.File, error) {
	for n := 1; ; n++ {
		path := filepath.Join(dir, fmt.Sprintf(".%s.%s%d", name, what, n))
		file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o666)
		if errors.Is(err, fs.ErrExist) && n < 1000 {
			continue
		}
		return file, err
	}
}

// makeDir makes the folder and those above it, and notes what it made.
func makeDir(dir string, undo *undoList) error {
	info, err := os.Stat(dir)
	if err == nil {
		if !info.IsDir() {
			return fmt.Errorf("%s is a file; name a folder to write into", dir)
		}
		return nil
	}
	if !errors.Is(err, fs.ErrNotExist) {
		return fmt.Errorf("%s: %w", dir, plain(err))
	}
	if parent := filepath.Dir(dir); parent != dir {
		if err := makeDir(parent, undo); err != nil {
			return err
		}
	}
	if err := os.Mkdir(dir, 0o777); err != nil {
		if errors.Is(err, fs.ErrExist) {
			return nil // somebody else was quicker
		}
		return fmt.Errorf("cannot make the folder %s: %w", dir, plain(err))
	}
	undo.add(func() error { return os.Remove(dir) })
	return nil
}

func checkNames(set []File) error {
	seen := make(map[string]bool)
	for _, f := range set {
		if f.Name == "" || f.Name == "." || f.Name == ".." || filepath.Base(f.Name) != f.Name {
			return fmt.Errorf("%q is not a plain file name", f.Name)
		}
		if seen[f.Name] {
			return fmt.Errorf("two files of one set are both called %s", f.Name)
		}
		seen[f.Name] = true
	}
	return nil
}

// undoList is what to do, last first, to leave everything as it was.
type undoList struct{ steps []func() error }

func (u *undoList) add(step func() error) { u.steps = append(u.steps, step) }

func (u *undoList) run() error {
	var all error
	for i := len(u.steps) - 1; i >= 0; i-- {
		all = errors.Join(all, u.steps[i]())
	}
	return all
}

func removeIfThere(path string) error {
	if err := os.Remove(path); !errors.Is(err, fs.ErrNotExist) {
		return err
	}
	return nil
}

// plain strips the system call and the temporary name from an error of the
// operating system: the reader knows neither.
func plain(err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		return path.Err
	}
	var link *os.LinkError
	if errors.As(err, &link) {
		return link.Err
	}
	return err
}
