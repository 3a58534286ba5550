package main

import (
	"bufio"
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/emulation"
	"github.com/chromedp/cdproto/network"
	"github.com/chromedp/chromedp"
	"github.com/stretchr/testify/require"
)

// tab is a browser with the page of a plan open in it.
type tab struct {
	t    *testing.T
	ctx  context.Context
	plan string

	mu     sync.Mutex
	faults []string // console messages and requests to elsewhere
}

// chromium is the browser for these tests. They take some seconds each, so .ci/run asks for them.
func chromium(t *testing.T) string {
	t.Helper()
	if os.Getenv("DAYLOOM_BROWSER") == "" {
		t.Skip("in a browser only with DAYLOOM_BROWSER=1, as .ci/run sets it where there is a Chromium")
	}
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return path
		}
	}
	t.Skip("no chromium on the path: the page was not tried in a browser")
	return ""
}

// openTab serves a plan as `dayloom open` does and visits the address that it prints.
func openTab(t *testing.T, plan string) *tab {
	t.Helper()
	path := chromium(t)
	url := served(t, plan)
	alloc, cancel := chromedp.NewExecAllocator(t.Context(), append(chromedp.DefaultExecAllocatorOptions[:], chromedp.ExecPath(path), chromedp.NoSandbox)...)
	t.Cleanup(cancel)
	ctx, cancel := chromedp.NewContext(alloc)
	t.Cleanup(cancel)
	b := &tab{t: t, ctx: ctx, plan: plan}
	home := url[:strings.Index(url, "/?")]
	messages, requests := chromedp.Console(ctx), chromedp.Events(ctx, network.RequestWillBeSent)
	go func() {
		for m, err := range messages {
			if err == nil {
				b.fault(m.String() + " " + m.URL)
			}
		}
	}()
	go func() {
		for r, err := range requests {
			if err == nil && !strings.HasPrefix(r.Request.URL, home) && !strings.HasPrefix(r.Request.URL, "data:") { // what the browser itself draws
				b.fault("request to " + r.Request.URL)
			}
		}
	}()
	b.do(chromedp.EmulateViewport(1600, 1000), chromedp.Navigate(url), chromedp.WaitVisible(`#coral-rows tr`))
	return b
}

func (b *tab) fault(what string) {
	b.mu.Lock()
	defer b.mu.Unlock()
	b.faults = append(b.faults, what)
}

// clean fails when the page complained or asked for anything elsewhere.
func (b *tab) clean() {
	b.t.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
	require.Empty(b.t, b.faults)
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 20*time.Second)
	defer cancel()
	require.NoError(b.t, chromedp.Do(ctx, steps...), b.faults)
}

// is runs an action that gives something.
func is[T any](b *tab, a chromedp.Action[T]) T {
	b.t.Helper()
	ctx, cancel := context.WithTimeout(b.ctx, 60*time.Second)
	defer cancel()
	out, err := chromedp.Run(ctx, a)
	require.NoError(b.t, err)
	return out
}

// served starts `dayloom open` on a plan and gives the address; it ends with the test.
func served(t *testing.T, plan string) string {
	t.Helper()
	ctx, stop := context.WithCancel(context.Background())
	in, out := io.Pipe()
	var talk bytes.Buffer
	w := world{stdin: strings.NewReader(""), stdout: out, stderr: &talk, now: compiledAt, ending: ctx}
	done := make(chan int, 1)
	go func() {
		done <- run([]string{"open", plan, "--no-browser"}, w)
		out.Close()
	}()
	line, err := bufio.NewReader(in).ReadString('\n')
	require.NoError(t, err, "%s", talk.String())
	go func() { _, _ = io.Copy(io.Discard, in) }()
	t.Cleanup(func() {
		stop()
		require.Equal(t, exitDone, <-done)
	})
	return strings.TrimSpace(line)
}

// A picture of each starter at three widths, light and dark, for somebody to look at.
func TestPageInPictures(t *testing.T) {
	dir := os.Getenv("DAYLOOM_SHOTS")
	if dir == "" {
		t.Skip("pictures only into the folder DAYLOOM_SHOTS")
	}
	for _, name := range strings.Split(os.Getenv("DAYLOOM_STARTERS"), ",") {
		folder := filepath.Join(t.TempDir(), name)
		w := world{stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard, now: compiledAt}
		require.Equal(t, exitDone, run([]string{"new", folder, "--like", name}, w))
		b := openTab(t, filepath.Join(folder, "plan.yaml"))
		for _, width := range []int64{375, 1024, 1600} {
			for _, scheme := range []string{"light", "dark"} {
				media := emulation.SetEmulatedMediaParams{Features: []*emulation.MediaFeature{{Name: "prefers-color-scheme", Value: scheme}}}
				_, err := chromedp.Call(b.ctx, emulation.SetEmulatedMedia, media)
				require.NoError(t, err)
				b.do(chromedp.EmulateViewport(width, 900), chromedp.Sleep(400*time.Millisecond))
				shot := is(b, chromedp.FullScreenshot(100))
				require.NoError(t, os.WriteFile(filepath.Join(dir, fmt.Sprintf("%s-%s-%d.png", name, scheme, width)), shot, 0o644))
			}
		}
		b.clean()
	}
}
