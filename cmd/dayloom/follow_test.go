package main

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/follow"
)

// compiled writes the starter and its timetable, and gives both paths.
func compiled(t *testing.T, dates ...string) (plan, table string) {
	t.Helper()
	plan = starterPlan(t)
	out := filepath.Join(t.TempDir(), "out")
	_, msg, code := at(t, "2026-12-02T12:00:00Z", append([]string{"compile", plan, "-o", out}, dates...)...)
	require.Zero(t, code, msg)
	return plan, filepath.Join(out, "timetable.json")
}

// followedLine is a line as a reader has it.
type followedLine struct {
	At                        time.Time `json:"at"`
	Controller, Port, Channel string
	Command                   any
	Light                     float64 `json:"light_percent"`
}

// lightHeld holds each line's light until the port's next, to the end: seconds of
// full light of each channel. The starter has one port a channel.
func lightHeld(t *testing.T, out string, end time.Time) map[string]float64 {
	t.Helper()
	held, last := map[string]float64{}, map[string]followedLine{}
	keep := func(x followedLine, until time.Time) {
		held[x.Channel] += x.Light / 100 * until.Sub(x.At).Seconds()
	}
	for _, text := range strings.Split(strings.TrimSuffix(out, "\n"), "\n") {
		var x followedLine
		require.NoError(t, json.Unmarshal([]byte(text), &x), text)
		if old, ok := last[x.Channel]; ok {
			keep(old, x.At)
		}
		last[x.Channel] = x
	}
	for _, x := range last {
		keep(x, end)
	}
	return held
}

type dliOfCoral struct {
	Name string
	DLI  float64            `json:"dli_mol_m2_d"`
	Full map[string]float64 `json:"ppfd_full_umol_m2_s"`
}

// A whole day at 86,400 times, one second: what was printed, integrated by holding
// each line to the next, is the DLI of dli within 1 %.
func TestAFollowedDayGivesItsDLI(t *testing.T) {
	plan, table := compiled(t)
	out, msg, code := at(t, "2026-12-02T12:00:00Z", "follow", table, "--speed", "86400", "--from", "2026-12-02T00:00", "--until", "2026-12-03T00:00")
	require.Zero(t, code, msg)
	require.Empty(t, msg)
	dli, _, _ := at(t, "2026-12-02T12:00:00Z", "dli", plan, "--date", "2026-12-02", "--format", "json")
	var r struct{ Corals []dliOfCoral }
	require.NoError(t, json.Unmarshal([]byte(dli), &r))
	held := lightHeld(t, out, time.Date(2026, 12, 3, 0, 0, 0, 0, time.UTC))
	require.Len(t, r.Corals, 8)
	for _, c := range r.Corals {
		got := 0.0
		for channel, seconds := range held {
			got += c.Full[channel] * seconds * 1e-6
		}
		assert.InEpsilon(t, c.DLI, got, 0.01, c.Name)
	}
	script(t, out, dli)
}

// script runs testdata/follow/integrate.py over the same, where there is Python.
func script(t *testing.T, out, dli string) {
	python, err := exec.LookPath("python3")
	if err != nil {
		t.Log("no python3: the script was not run")
		return
	}
	dir := t.TempDir()
	for name, text := range map[string]string{"followed.jsonl": out, "dli.json": dli, "half.jsonl": strings.Join(strings.SplitAfter(out, "\n")[:300], "")} {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(text), 0o644))
	}
	run := func(lines string) ([]byte, error) {
		return exec.Command(python, "../../testdata/follow/integrate.py", filepath.Join(dir, lines), filepath.Join(dir, "dli.json")).CombinedOutput()
	}
	said, err := run("followed.jsonl")
	assert.NoError(t, err, "%s", said)
	assert.Contains(t, string(said), "greatest difference 0.")
	said, err = run("half.jsonl")
	assert.Error(t, err, "half of the lines is not a whole day: %s", said)
}

// run is a followed timetable in the hands of a test, with a clock of its own.
func followedRun(t *testing.T, table, until string) (*followed, *bytes.Buffer, *bytes.Buffer) {
	t.Helper()
	var out, msg bytes.Buffer
	w := world{stdout: &out, stderr: &msg, now: func() time.Time { return time.Date(2026, 12, 2, 12, 0, 0, 0, time.UTC) }}
	file, err := readTimetable(table)
	require.NoError(t, err)
	r := &followed{world: w, writer: follow.NewWriter(&out, "json"), name: "timetable.json"}
	require.NoError(t, r.open(file, &pace{now: w.now, speed: 1}, "", until))
	return r, &out, &msg
}

// In real time, a look a second, the same day comes out as when it runs fast.
func TestRealTimeTellsTheSameDay(t *testing.T) {
	_, table := compiled(t)
	fast, msg, code := at(t, "2026-12-02T12:00:00Z", "follow", table, "--speed", "200000", "--from", "2026-12-02T13:00", "--until", "2026-12-03T09:30")
	require.Zero(t, code, msg)
	r, out, _ := followedRun(t, table, "2026-12-03T09:30")
	done := false
	for now := time.Date(2026, 12, 2, 13, 0, 0, 0, time.UTC); !done; now = now.Add(time.Second) {
		var err error
		done, err = r.look(now)
		require.NoError(t, err)
	}
	assert.Equal(t, fast, out.String())
}

// The clock is set back by an hour and the machine sleeps for five: each time all
// ports are told as they are then, and nothing in between.
func TestAClockThatJumps(t *testing.T) {
	_, table := compiled(t)
	r, out, _ := followedRun(t, table, "")
	lines := func(now string) []string {
		when, err := time.Parse(time.RFC3339, now)
		require.NoError(t, err)
		out.Reset()
		_, err = r.look(when)
		require.NoError(t, err)
		return strings.SplitAfter(strings.TrimSuffix(out.String(), "\n"), "\n")
	}
	assert.Len(t, lines("2026-12-02T12:00:00Z"), 8)
	assert.Len(t, lines("2026-12-02T11:00:00Z"), 8)
	evening := lines("2026-12-02T17:00:00Z")
	assert.Len(t, evening, 8)
	for _, l := range evening {
		assert.Contains(t, l, `"at":"2026-12-02T17:00:00Z"`)
	}
	assert.Contains(t, evening[1], `"command":1.5,`, "pendant-white half way down from 3 V")
}

func TestFollowOutsideItsDates(t *testing.T) {
	_, table := compiled(t, "--from", "2026-12-10", "--to", "2026-12-11")
	r, out, msg := followedRun(t, table, "")
	now := time.Date(2026, 12, 9, 23, 59, 58, 0, time.UTC)
	for range 2 {
		done, err := r.look(now)
		require.NoError(t, err)
		require.False(t, done)
		now = now.Add(time.Second)
	}
	assert.Equal(t, "timetable.json begins on 2026-12-10T00:00:00Z; there is nothing for the dates before\n", msg.String(), "said once")
	assert.Empty(t, out.String())
	_, err := r.look(now)
	require.NoError(t, err)
	assert.Equal(t, 8, strings.Count(out.String(), "\n"))

	done, err := r.look(time.Date(2026, 12, 12, 0, 0, 0, 0, time.UTC))
	assert.True(t, done)
	assert.ErrorContains(t, err, "ended at 2026-12-12T00:00:00Z; every port keeps what it shows")

	// Begun too late there is nothing to tell.
	said, problem, code := at(t, "2026-12-20T00:00:00Z", "follow", table)
	assert.Equal(t, exitFile, code)
	assert.Empty(t, said)
	assert.Contains(t, problem, "compile the plan for more dates")
}

// Cron ticks on, and stops when it is told to.
func TestBeatTicks(t *testing.T) {
	b := newBeat(10 * time.Millisecond)
	for range 3 {
		select {
		case <-b.ticks:
		case <-time.After(10 * time.Second):
			t.Fatal("no tick")
		}
	}
	b.stop()
}

// Cron that sleeps, as it does when the wall clock is set back, is begun anew, and
// what is right by then is told.
func TestAStuckBeatIsBegunAnew(t *testing.T) {
	_, table := compiled(t)
	r, out, _ := followedRun(t, table, "2026-12-02T16:00:10")
	looks := []string{"2026-12-02T16:00:00Z", "2026-12-02T15:59:00Z", "2026-12-02T16:00:10Z"}
	n := 0
	p := &pace{speed: 1, now: func() time.Time {
		now, err := time.Parse(time.RFC3339, looks[min(n, len(looks)-1)])
		require.NoError(t, err)
		n++
		return now
	}}
	begun, stopped := 0, 0
	r.silence = time.Millisecond
	r.beats = func(time.Duration) beat {
		begun++
		return beat{make(chan struct{}), func() { stopped++ }}
	}
	require.NoError(t, r.play(t.Context(), p))
	assert.Equal(t, 3, begun)
	assert.Equal(t, begun, stopped)
	assert.Equal(t, 3, strings.Count(out.String(), `"channel":"tubes"`), "at the start and after each jump")
}
