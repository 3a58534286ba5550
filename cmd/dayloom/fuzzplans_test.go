package main

import (
	"bytes"
	"context"
	"encoding/json"
	"flag"
	"fmt"
	"io"
	"io/fs"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"github.com/spf13/cobra"
	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"dayloom/exporters/files"
)

// FuzzPlans draws a plan from the input and runs it through every command that there is, in
// process and in a folder of its own: nothing panics, prints what is no number, or ends with a
// code that is not documented. With DAYLOOM_FUZZ_SECONDS=2 a command that takes more of a
// processor fails too; ordinary runs, the seeds here, never judge time.
//
//	go test ./cmd/dayloom -run XXX -fuzz FuzzPlans -fuzztime 10m -fuzzminimizetime 1x -parallel 1
func FuzzPlans(f *testing.F) {
	for _, seed := range []string{"rack", "farm", "night"} {
		f.Add(stream([]byte(seed)))
	}
	f.Fuzz(func(t *testing.T, input []byte) {
		t.Chdir(t.TempDir())
		rapid.MakeFuzz(func(t *rapid.T) {
			m := newAnyPlan(t)
			for name, text := range m.files {
				require.NoError(t, os.WriteFile(name, []byte(text), 0o644))
			}
			everyCommand(t, m)
		})(t, stream(input))
	})
}

// stream is an input with as much after it, following from its first bytes, as any plan draws:
// a short input, too, is a whole plan, and a byte further on decides one thing.
func stream(input []byte) []byte {
	var seed [32]byte
	copy(seed[:8], input)
	out := make([]byte, max(len(input), 1<<16))
	_, _ = rand.NewChaCha8(seed).Read(out)
	copy(out, input)
	return out
}

// everyCommand runs each command of the tree with some of its flags, from one that the
// input names on. A fuzzed input is given up after a few seconds, since the fuzzer takes
// ten for a deadlock; what is left is tried with another.
func everyCommand(t tester, m *anyPlan) {
	all, start := runnable(), time.Now()
	first := m.n(0, len(all)-1)
	for i := range all {
		attempted(t, m, m.line(all[(first+i)%len(all)]))
		if worker := flag.Lookup("test.fuzzworker"); worker.Value.String() == "true" && time.Since(start) > 2*time.Second {
			return
		}
	}
}

// runnable are all commands of the tree that do something.
func runnable() (all []*cobra.Command) {
	var walk func(c *cobra.Command)
	walk = func(c *cobra.Command) {
		if c.Runnable() && c.HasParent() {
			all = append(all, c)
		}
		for _, below := range c.Commands() {
			walk(below)
		}
	}
	walk(rootCommand(world{stdin: strings.NewReader(""), stdout: io.Discard, stderr: io.Discard, now: compiledAt}))
	return all
}

// tester is a test, or a property under test.
type tester interface {
	require.TestingT
	Context() context.Context
}

// attempted runs one command line and looks at all that it printed and wrote.
func attempted(t tester, m *anyPlan, args []string) int {
	before := mtimes()
	var out, msg bytes.Buffer
	told := func() string {
		text := fmt.Sprintf("dayloom %q\n%s%s", args, out.String(), msg.String())
		for _, name := range []string{"plan.yaml", "journal.yaml", "readings.csv"} {
			if b, err := os.ReadFile(name); err == nil && m != nil {
				text += "\n--- " + name + "\n" + string(b)
			}
		}
		return text
	}
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintln(os.Stderr, told()) // where it was is told with the panic
			panic(p)
		}
	}()
	start, limit := processorTime(), fuzzSeconds()
	if limit > 0 {
		defer time.AfterFunc(time.Duration(100*limit*float64(time.Second)), func() { panic("no end: " + told()) }).Stop()
	}
	ending, stop := context.WithTimeout(t.Context(), 200*time.Millisecond) // what goes on until a signal ends by this
	defer stop()
	code := run(args, world{stdin: strings.NewReader(""), stdout: &out, stderr: &msg, now: compiledAt, ending: ending})
	if took := processorTime() - start; limit > 0 && took.Seconds() > limit {
		require.Fail(t, fmt.Sprintf("took %.1f s", took.Seconds()), told())
	}
	if code < exitDone || code > exitUnmet {
		require.Fail(t, fmt.Sprintf("exit code %d", code), told())
	}
	if code == exitFile && !strings.Contains(msg.String(), "error: ") {
		require.Fail(t, "code 1 without a word", told())
	}
	if i := slices.Index(args, "json"); i > 0 && args[i-1] == "--format" && args[0] != "follow" && out.Len() > 0 && !json.Valid(out.Bytes()) {
		require.Fail(t, "not JSON", told())
	}
	for where, text := range printed(before, out.Bytes(), msg.Bytes()) {
		if at := noText.FindIndex(text); at != nil {
			require.Fail(t, fmt.Sprintf("%s has %q", where, text[max(0, at[0]-100):min(len(text), at[1]+100)]), told())
		}
	}
	return code
}

// noText is what a person should never read: what is no number, a verb of fmt that found
// nothing, the name of a Go type, an address.
var noText = regexp.MustCompile(`\bNaN\b|[-+]?\bInf\b|%!|<nil>|\b(float64|int64|uint64|interface \{\}|struct \{|map\[string|\[\]string|\*?(plan|diag|report|balance|curve|port|day|light|journal|timetable)\.[A-Z][a-z]+\b|goroutine|0xc0[0-9a-f]{8})`)

// printed is all that a command printed, and wrote since the times of files before.
func printed(before map[string]time.Time, out, msg []byte) map[string][]byte {
	all := map[string][]byte{"standard output": out, "standard error": msg}
	for name, at := range mtimes() {
		if old, was := before[name]; was && old.Equal(at) || filepath.Ext(name) == ".png" {
			continue
		}
		if b, err := os.ReadFile(name); err == nil {
			all[name] = b
		}
	}
	return all
}

func mtimes() map[string]time.Time {
	out := map[string]time.Time{}
	_ = filepath.WalkDir(".", func(path string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			if info, err := d.Info(); err == nil {
				out[path] = info.ModTime()
			}
		}
		return nil
	})
	return out
}

// processorTime is what this process has used of processors.
func processorTime() time.Duration {
	var u syscall.Rusage
	if syscall.Getrusage(syscall.RUSAGE_SELF, &u) != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// fuzzSeconds is how long a command may take, 0 when nobody asked.
func fuzzSeconds() float64 {
	x, _ := strconv.ParseFloat(os.Getenv("DAYLOOM_FUZZ_SECONDS"), 64)
	return x
}

// always are the flags without which a command does nothing, or does not end.
var always = map[string][]string{
	"add":    {"--note", "fed less"},
	"open":   {"--no-browser"},
	"survey": {"--readings", "3"},
	"follow": {"--speed", "1000000", "--from", "2026-12-02T08:00", "--until", "2026-12-02T20:00"},
}

// words are a command with what its usage asks for.
func words(c *cobra.Command, timetable string) []string {
	args := strings.Fields(c.CommandPath())[1:]
	uses, _, _ := strings.Cut(c.Use, "[")
	for i, word := range strings.Fields(uses)[1:] {
		switch {
		case strings.HasPrefix(word, "-"):
			args = append(args, word)
		case word == "PLAN":
			args = append(args, "plan.yaml")
		case word == "TIMETABLE":
			args = append(args, "out/"+timetable)
		case word == "DIR" && i > 0:
			args = append(args, "out")
		case word == "FILE":
			args = append(args, "report.html")
		default: // a new folder, or what this test has not heard of
			args = append(args, "new-"+strings.ToLower(word))
		}
	}
	return append(args, always[c.Name()]...)
}

// line is a command line for a command, with some flags.
func (m *anyPlan) line(c *cobra.Command) []string {
	args := words(c, m.one("timetable.json", "timetable.json", "timetable.json", "timetable.csv", "grid.csv", "outlets.cron"))
	if c.Name() == "help" {
		return append(args, strings.Fields(m.one("", "plan", "plan zones.dli", "plan day.moonlight.peak", "map", "nothing"))...)
	}
	c.Flags().VisitAll(func(f *pflag.Flag) {
		if f.Name == "help" || slices.Contains(args, "--"+f.Name) || f.Shorthand == "o" || f.Name == "compile" || f.Name == "cures" || f.Name == "port" || f.Name == "exact" { // exact takes as long as it takes
			return
		}
		if f.Name == "format" && m.chance(70) || f.Name != "format" && m.chance(12) {
			if args = append(args, "--"+f.Name); f.Value.Type() != "bool" {
				args = append(args, m.value(f))
			}
		}
	})
	if slices.Contains(args, "--section") && !slices.Contains(args, "--grid") { // its own has thousands of places
		args = append(args, "--grid", fmt.Sprintf("%gm", m.box[2]*m.number(0.1, 1)))
	}
	if f := c.Flags().Lookup("cures"); f != nil {
		args = append(args, "--cures", m.one("0s", "0s", "0s", "300ms"))
	}
	return args
}

// value is one for a flag: what its help names, or something that many flags take.
func (m *anyPlan) value(f *pflag.Flag) string {
	if words := regexp.MustCompile(`[a-z]+(\|[a-z]+)+`).FindString(f.Usage); words != "" {
		return m.one(strings.Split(words, "|")...)
	}
	names := append(append(append(append([]string{"nobody"}, m.corals...), m.zones...), m.racks...), m.ports...)
	for _, c := range m.channels {
		names = append(names, c.name)
	}
	switch f.Name {
	case "date", "from", "to", "until":
		return m.one("2026-12-02", "2026-12-05", "2027-02-10", "2026-12-24", "2027-03-28", "2026-12-09")
	case "picture", "sheet", "write":
		return f.Name + map[string]string{"picture": m.one(".svg", ".svg", ".png"), "sheet": ".csv", "write": ".yaml"}[f.Name]
	case "depth", "grid":
		return fmt.Sprintf("%gm", m.box[2]*m.number(0.1, 1))
	case "section":
		return fmt.Sprintf("%s=%gm", m.one("x", "y"), m.box[1]*m.number(0, 1))
	case "at":
		return m.one("12:00", "peaks", "full", "00:00", "2026-12-02T19:30")
	case "sweep":
		return m.one("channels."+m.channels[0].name+".emitters.1.height", "tank.water.yellowing", "zones.shelf.dli", "channels."+m.channels[0].name+".flux") + "=" + m.one("0.1 m..0.5 m:0.2 m", "0.1 /m,1 /m", "5,10", "1 umol/s,1e12 umol/s")
	case "rack":
		return slices.Concat(m.racks, []string{"main"})[0] + m.one("=height+5cm", "=x+10cm", "=height-1m", "=height+99m")
	case "band":
		return m.one("400-700", "380-430", "700-750", "1-5000")
	case "x", "y", "depth ":
		return m.length(m.number(0, m.box[0]))
	case "do":
		return m.one("note", "hold 3 days", "back one step", "moved", "reading 180", "outage 2 days", "undo")
	case "tank":
		return m.one("left", "right", "nobody")
	case "coral", "channels", "reachable", "zone", "response", "corals":
		return m.one(names...)
	}
	switch f.Value.Type() {
	case "int", "count", "float64":
		return fmt.Sprint(m.n(1, 30))
	case "duration":
		return "1s"
	}
	return m.one("90%", "12", "10cm", "12:00", "2026-12-02", "x")
}

// A command that the fuzz cannot use would pass unseen: on a sound plan each does its work.
func TestPlansGoThroughEveryCommand(t *testing.T) {
	t.Chdir(t.TempDir())
	set, err := starterFiles("readings")
	require.NoError(t, err)
	require.NoError(t, files.Write(t.Context(), ".", set))
	for _, c := range runnable() {
		line := words(c, "timetable.json")
		assert.Contains(t, []int{exitDone, exitUnmet}, attempted(t, nil, line), "%v", line)
	}
}
