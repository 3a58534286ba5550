package main

import (
	"bytes"
	"io"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"dayloom/schedule/plan"
)

// The line is drawn from the first second on, again with what is new, and gone before other text and at the end.
func TestBusyLine(t *testing.T) {
	var out bytes.Buffer
	clock := compiledAt()
	b := newBusy(&out, true, func() time.Time { return clock }, 40)
	said := func(want string) {
		t.Helper()
		assert.Equal(t, want, out.String())
		out.Reset()
	}
	after := func(d time.Duration) { clock = clock.Add(d); b.tick() }

	after(time.Hour)
	said("")
	b.begin("compile")
	after(900 * time.Millisecond)
	said("")
	after(200 * time.Millisecond)
	said("compile, 1 s")
	play := b.dates("playing", plan.Date{Year: 2027, Month: 1, Day: 1}, plan.Date{Year: 2027, Month: 12, Day: 31})
	for range 12 {
		play(plan.Date{})
	}
	after(time.Second)
	said("\r\x1b[Kcompile: playing, 12 of 365 dates, 2 s")
	_, _ = io.WriteString(b.over(&out), "warning: x\n")
	said("\r\x1b[Kwarning: x\n")
	_, _ = io.WriteString(b.over(&out), "y\n")
	said("y\n")
	_, _ = io.WriteString(b.over(&out), "half a ")
	after(time.Second)
	said("half a ")
	_, _ = io.WriteString(b.over(&out), "line\n")
	said("line\n")
	b.is("something that is longer than the terminal is wide")
	after(time.Second)
	said("compile: something that is longer than "[:39])
	b.end()
	said("\r\x1b[K")
	after(time.Second)
	said("")
}

// Where standard error is no terminal nothing is drawn.
func TestNoBusyLine(t *testing.T) {
	var out bytes.Buffer
	b := newBusy(&out, false, time.Now, 40)
	stop := b.watch()
	b.begin("compile")
	b.is("playing")
	_, _ = io.WriteString(b.over(&out), "y\n")
	b.end()
	stop()
	assert.Equal(t, "y\n", out.String())
}
