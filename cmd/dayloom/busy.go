package main

import (
	"fmt"
	"io"
	"sync"
	"sync/atomic"
	"time"

	"dayloom/schedule/plan"
)

// busy is the line at the foot of a terminal that tells of a command which takes longer than a second: its name,
// what it is at and since when. It is drawn again each second, and gone before anything else is printed. Where
// standard error is no terminal there is none: all methods do nothing.
type busy struct {
	to    io.Writer
	now   func() time.Time
	width int

	mu    sync.Mutex
	begun time.Time // zero: nothing to tell of
	name  string
	at    string
	shown bool
	amid  bool // the last line that others printed has no end yet
}

// newBusy is a line on a terminal; nil where it is none.
func newBusy(to io.Writer, terminal bool, now func() time.Time, width int) *busy {
	if !terminal {
		return nil
	}
	return &busy{to: to, now: now, width: width}
}

// begin is when a command begins.
func (b *busy) begin(name string) {
	if b == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.begun, b.name, b.at = b.now(), name, ""
}

// is says what the command is at from now on.
func (b *busy) is(format string, args ...any) {
	if b == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.at = fmt.Sprintf(format, args...)
}

// dates says of a range of dates how many were begun, in any order.
func (b *busy) dates(what string, first, last plan.Date) func(plan.Date) {
	total, n := int64(first.DaysUntil(last)+1), new(atomic.Int64)
	return func(plan.Date) { b.is("%s, %d of %d dates", what, min(n.Add(1), total), total) } // those before a range are begun too
}

// end takes the line away for good: the command is done, or waits for others.
func (b *busy) end() {
	if b == nil {
		return
	}
	b.mu.Lock()
	defer b.mu.Unlock()
	b.begun = time.Time{}
	b.clear()
}

// tick draws the line.
func (b *busy) tick() {
	b.mu.Lock()
	defer b.mu.Unlock()
	since := b.now().Sub(b.begun)
	if b.begun.IsZero() || b.amid || since < time.Second {
		return
	}
	line := b.name
	if b.at != "" {
		line += ": " + b.at
	}
	line = fmt.Sprintf("%s, %.0f s", line, since.Seconds())
	if text := []rune(line); len(text) >= b.width { // a second line could not be taken away
		line = string(text[:b.width-1])
	}
	b.clear()
	_, _ = io.WriteString(b.to, line)
	b.shown = true
}

// clear takes the line away: back to its beginning, and all of it erased (ECMA-48, EL).
func (b *busy) clear() {
	if b.shown {
		_, _ = io.WriteString(b.to, "\r\x1b[K")
		b.shown = false
	}
}

// watch draws the line each second until it is stopped.
func (b *busy) watch() (stop func()) {
	if b == nil {
		return func() {}
	}
	done, tick := make(chan struct{}), time.NewTicker(time.Second)
	go func() {
		defer tick.Stop()
		for {
			select {
			case <-tick.C:
				b.tick()
			case <-done:
				return
			}
		}
	}()
	return func() { close(done); b.end() }
}

// over is a writer that takes the line away before it writes.
func (b *busy) over(w io.Writer) io.Writer {
	if b == nil {
		return w
	}
	return overBusy{b, w}
}

type overBusy struct {
	line *busy
	to   io.Writer
}

func (o overBusy) Write(p []byte) (int, error) {
	o.line.mu.Lock()
	defer o.line.mu.Unlock()
	o.line.clear()
	if len(p) > 0 {
		o.line.amid = p[len(p)-1] != '\n'
	}
	return o.to.Write(p)
}
