package main

import (
	"context"
	"errors"
	"io"
	"io/fs"
	"os"
	"os/signal"
	"path/filepath"
	"syscall"

	"dayloom/exporters/files"
)

// write writes a set of files into a folder, all or none; hint says what to do about an
// error. A signal that asks the program to end takes back what was begun.
func (w world) write(dir string, set []files.File, hint string) error {
	ctx, done := untilSignal()
	defer done()
	return ended(files.Write(ctx, dir, set), hint)
}

// writeOne is write of one file, with the permissions given or, for 0, those it has.
func (w world) writeOne(path string, mode fs.FileMode, render func(io.Writer) error, hint string) error {
	return w.write(filepath.Dir(path), []files.File{{Name: filepath.Base(path), Render: render, Mode: mode}}, hint)
}

// add adds to the end of a file; next says what, knowing what is there.
func (w world) add(path string, most int, next func([]byte) ([]byte, error), hint string) error {
	ctx, done := untilSignal()
	defer done()
	return ended(files.Add(ctx, path, most, next), hint)
}

func ended(err error, hint string) error {
	if errors.Is(err, context.Canceled) {
		return &failure{code: exitFile, message: "stopped by a signal; nothing was changed"}
	}
	if known := (*failure)(nil); err == nil || errors.As(err, &known) {
		return err
	}
	return fileError(err, hint)
}

// untilSignal is a context that ends when the program is asked to end. A signal that
// whoever started the program told it to ignore, as nohup does, stays ignored.
func untilSignal() (context.Context, context.CancelFunc) {
	var heeded []os.Signal
	for _, s := range []os.Signal{os.Interrupt, syscall.SIGTERM, syscall.SIGHUP} {
		if !signal.Ignored(s) {
			heeded = append(heeded, s)
		}
	}
	if heeded == nil { // Notify would take none for all
		return context.WithCancel(context.Background())
	}
	return signal.NotifyContext(context.Background(), heeded...)
}
