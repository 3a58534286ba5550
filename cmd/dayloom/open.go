package main

import (
	"context"
	"crypto/rand"
	"errors"
	"fmt"
	"net"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"runtime"
	"strconv"
	"time"

	"github.com/spf13/cobra"

	"dayloom/exporters/files"
	"dayloom/exporters/live"
)

func openCommand(w world) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "open PLAN",
		Short: "Try things on a page in the browser, and write them to the plan when told to",
		Long: `open shows the plan in the browser: the tank from above, each coral with its day's
light against its target, the day at a coral, and levels and hours as a table. Levels,
hours, corals and lamps can be changed there; the light follows, and every number is the
one that dli tells of the changed plan. The plan is written only by "Write to plan", after
the lines that change were shown; the old one stays beside it as .bak.

The page is served to this machine alone, on 127.0.0.1, to one browser: the first line
of standard output is its address, which works once. It ends with Ctrl-C.`,
		Example: `  dayloom open quay-street/plan.yaml
  dayloom open quay-street/plan.yaml --no-browser --port 8400`,
		Args: exactly("PLAN"),
	}
	port := cmd.Flags().Int("port", 0, "the port to serve on (default: one that is free)")
	quiet := cmd.Flags().Bool("no-browser", false, "open no browser; visit the address that is printed")
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if *port < 0 || *port > 65535 {
			return usageError("--port: write a number from 1 to 65535")
		}
		return w.open(args[0], *port, !*quiet)
	}
	return cmd
}

func (w world) open(file string, port int, browser bool) error {
	if err := there(file); err != nil {
		return err
	}
	ctx, stop := untilSignal()
	defer stop()
	if w.ending != nil {
		context.AfterFunc(w.ending, stop)
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", net.JoinHostPort("127.0.0.1", strconv.Itoa(port)))
	if err != nil {
		return &failure{code: exitFile, message: fmt.Sprintf("cannot serve on port %d: %v", port, err), hint: "choose another with --port, or leave it out"}
	}
	defer listener.Close()
	c := live.Config{File: file, Read: readFile, Write: w.overwrite(file), Now: w.now,
		Host: listener.Addr().String(), Token: rand.Text(), Session: rand.Text()}
	page, doc, err := live.New(ctx, c)
	if j := doc.Job(); j != nil {
		err = w.told(file, j, err)
	}
	if err != nil {
		return asFailure(err)
	}
	w.busy.end() // from here on it waits for the browser
	url := "http://" + c.Host + "/?token=" + c.Token
	fmt.Fprintln(w.stdout, url)
	w.note("this address works once, in one browser on this machine; end with Ctrl-C")
	if browser {
		w.browse(url)
	}
	return serve(ctx, listener, page)
}

// serve answers until the context ends.
func serve(ctx context.Context, listener net.Listener, page http.Handler) error {
	s := &http.Server{Handler: page, ReadHeaderTimeout: 5 * time.Second, ReadTimeout: 20 * time.Second, IdleTimeout: 2 * time.Minute, MaxHeaderBytes: 16 << 10,
		BaseContext: func(net.Listener) context.Context { return ctx }}
	ended := make(chan error, 1)
	go func() { ended <- s.Serve(listener) }()
	select {
	case err := <-ended:
		return &failure{code: exitFile, message: "the page cannot be served any longer: " + err.Error()}
	case <-ctx.Done():
	}
	last, cancel := context.WithTimeout(context.Background(), 2*time.Second)
	defer cancel()
	if err := s.Shutdown(last); errors.Is(err, context.DeadlineExceeded) {
		_ = s.Close() // a browser that does not let go
	}
	return nil
}

// overwrite puts a new text in the place of a plan, the old one beside it.
func (w world) overwrite(file string) func(context.Context, []byte, []byte) error {
	return func(ctx context.Context, old, text []byte) error {
		info, err := os.Stat(file)
		if err != nil {
			return err
		}
		return files.Write(ctx, filepath.Dir(file), withBackup(file, old, text, info.Mode()))
	}
}

// browse opens an address in the browser of the desktop, if there is one.
func (w world) browse(url string) {
	name, args := "xdg-open", []string{url}
	switch runtime.GOOS {
	case "darwin":
		name = "open"
	case "windows":
		name, args = "rundll32", []string{"url.dll,FileProtocolHandler", url}
	}
	cmd := exec.Command(name, args...)
	if err := cmd.Start(); err != nil {
		w.note("no browser could be opened; visit the address yourself")
		return
	}
	go func() { _ = cmd.Wait() }()
}
