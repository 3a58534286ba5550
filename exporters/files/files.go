package files

import (
	"bufio"
	"context"
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
	Name   string                // in the folder of the set; with / between, in one below it
	Render func(io.Writer) error // writes the whole content
	Mode   fs.FileMode           // its permissions; 0: those of the file it replaces, or what a new file gets
}

// Write writes the files into the folder dir, all of them or none. The folder is made
// when it is not there; files of the same names are replaced. Any error, and the end of
// ctx before all is rendered, leaves folder and files as they were and names the file
// at fault.
func Write(ctx context.Context, dir string, set []File) error {
	return disk{rename: os.Rename, link: os.Link, sync: (*os.File).Sync}.write(ctx, dir, set)
}

// disk is the calls whose failures the tests must be able to provoke.
type disk struct {
	rename func(from, to string) error
	link   func(from, to string) error
	sync   func(*os.File) error
}

func (d disk) write(ctx context.Context, dir string, set []File) (err error) {
	if err := checkNames(set); err != nil {
		return err
	}
	dir = filepath.Clean(dir)
	undo := new(undoList)
	done := false
	defer func() {
		if !done { // also when a renderer panics
			err = errors.Join(err, undo.run())
		}
	}()
	there, err := folder(dir)
	if err == nil && !there {
		there, err = d.fresh(ctx, dir, set, undo)
	}
	if err == nil && there {
		err = d.into(ctx, dir, set, undo)
	}
	done = err == nil
	return err
}

// fresh fills a folder that is not there. When it is by the time that its parent is
// ours, it says so and does nothing.
func (d disk) fresh(ctx context.Context, dir string, set []File, undo *undoList) (there bool, err error) {
	parent, stage := filepath.Dir(dir), hidden(dir, unfinished)
	if err := makeDir(parent, undo); err != nil {
		return false, err
	}
	unlock, err := lock(ctx, parent)
	if err != nil {
		return false, err
	}
	defer unlock()
	if there, err = folder(dir); there || err != nil {
		return there, err
	}
	if err := os.RemoveAll(stage); err != nil { // of a run that was killed
		return false, fmt.Errorf("%s: %w", stage, plain(err))
	}
	if err := os.Mkdir(stage, 0o777); err != nil {
		return false, fmt.Errorf("cannot make the folder %s: %w", dir, plain(err))
	}
	undo.add(func() error { return os.RemoveAll(stage) })
	for _, f := range set {
		path := filepath.Join(stage, f.Name)
		err := os.MkdirAll(filepath.Dir(path), 0o777)
		if err == nil {
			err = d.render(ctx, path, f, f.Mode)
		}
		if err != nil {
			return false, fmt.Errorf("%s: %w; nothing was written", filepath.Join(dir, f.Name), plain(err))
		}
	}
	d.syncDir(stage)
	if err := d.rename(stage, dir); err != nil {
		return false, fmt.Errorf("%s: %w; nothing was written", dir, plain(err))
	}
	d.syncDir(parent)
	return false, nil
}

// into writes a set into a folder that is there.
func (d disk) into(ctx context.Context, dir string, set []File, undo *undoList) error {
	unlock, err := lock(ctx, dir)
	if err != nil {
		return err
	}
	defer unlock()
	places, err := findPlaces(dir, set)
	if err != nil {
		return err
	}
	if err := d.tidy(dir, places); err != nil {
		return err
	}
	for i, f := range set {
		p := places[i]
		err := makeDir(filepath.Dir(p.path), undo)
		if err == nil {
			undo.add(func() error { return removeIfThere(hidden(p.path, unfinished)) })
			err = d.render(ctx, hidden(p.path, unfinished), f, p.mode)
		}
		if err != nil {
			return fmt.Errorf("%s: %w; nothing was written", filepath.Join(dir, f.Name), plain(err))
		}
	}
	for i, p := range places {
		if err := d.replace(p, undo); err != nil {
			return fmt.Errorf("%s: %w; nothing was changed", filepath.Join(dir, set[i].Name), plain(err))
		}
	}
	undo.steps = nil // complete; what follows is tidying
	for _, p := range places {
		err = errors.Join(err, removeIfThere(hidden(p.path, replaced)))
	}
	d.syncDir(dir)
	return err
}

// render writes one file under a hidden name and syncs it. Until it is complete nobody
// else may read a file that is to be private.
func (d disk) render(ctx context.Context, path string, f File, mode fs.FileMode) error {
	first := fs.FileMode(0o666)
	if mode != 0 {
		first = mode & 0o600
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, first)
	if err != nil {
		return err
	}
	defer file.Close()
	buffer := bufio.NewWriterSize(until{ctx, file}, 1<<16)
	if err := f.Render(buffer); err != nil {
		if errors.As(err, new(*fs.PathError)) && !strings.Contains(err.Error(), path) {
			err = fmt.Errorf("%v", err) // about a file that the renderer reads: plain must leave its name
		}
		return err
	}
	if err := buffer.Flush(); err != nil {
		return err
	}
	if mode != 0 {
		if err := file.Chmod(mode); err != nil {
			return err
		}
	}
	if err := d.sync(file); err != nil {
		return err
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	return file.Close()
}

// until is a writer that fails when its context has ended.
type until struct {
	ctx context.Context
	w   io.Writer
}

func (u until) Write(p []byte) (int, error) {
	if err := u.ctx.Err(); err != nil {
		return 0, err
	}
	return u.w.Write(p)
}

// replace gives a rendered file its own name, keeping what had it under a hidden one.
func (d disk) replace(p place, undo *undoList) error {
	temp, backup := hidden(p.path, unfinished), hidden(p.path, replaced)
	if p.isNew {
		undo.add(func() error { return removeIfThere(p.path) })
		return d.rename(temp, p.path)
	}
	if d.link(p.path, backup) != nil { // no hard links here
		if err := d.rename(p.path, backup); err != nil {
			return err
		}
	}
	// Rename does nothing when both names are links to one file, so the backup
	// is taken away as well.
	undo.add(func() error { return errors.Join(d.rename(backup, p.path), removeIfThere(backup)) })
	return d.rename(temp, p.path)
}

// syncDir makes names last. Not every file system can sync a folder; the files
// themselves are synced.
func (d disk) syncDir(dir string) {
	if folder, err := os.Open(dir); err == nil {
		_ = d.sync(folder)
		_ = folder.Close()
	}
}
