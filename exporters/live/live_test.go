package live_test

import (
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"dayloom/exporters/job"
	"dayloom/exporters/live"
	"dayloom/schedule/plan"
)

const small = `plan: 1
name: Two lamps
clock: {zone: UTC, summer_time: ignore, controller: follows}
tank: {length: 80 cm, width: 40 cm, depth: 30 cm, walls: {left: dark, right: glass, front: glass, back: dark}}
channels:
  blue:   # the first
    flux: 60 umol/s
    spectrum: {peak: 450 nm, width: 20 nm}
    emitters: [{point: {at: [30 cm, 20 cm], height: 20 cm}, beam: 90 deg}]
  white: {like: blue, flux: 40 umol/s, spectrum: cool white}
  strip:
    flux: 20 umol/s
    spectrum: red
    emitters:
      - line: {from: [10 cm, 10 cm, 22 cm], to: [70 cm, 10 cm, 25 cm]}
        beam: 120 deg
zones:
  shelf:
    dli: 5
    corals: {fan: {x: 30 cm, y: 20 cm, depth: 10 cm}, cup: {x: 50 cm, y: 22 cm, depth: 12 cm}}
day:
  - channels: [blue, white]
    sunrise: {from: "09:00", to: "10:00"}
    peak: 50 %   # half
    sunset: {from: "18:00", to: "19:00"}
  - channels: [strip]
    sunrise: {from: "09:00", to: "10:00"}
    peak: 20 %
    sunset: {from: "18:00", to: "19:00"}
`

// bench is a plan in a folder of its own, served.
type bench struct {
	t       *testing.T
	file    string
	doc     *live.Document
	server  *httptest.Server
	handler http.Handler
}

const (
	token   = "a-token-of-some-length"
	session = "a-session-of-some-length"
)

func newBench(t *testing.T, text string) *bench {
	t.Helper()
	b := &bench{t: t, file: filepath.Join(t.TempDir(), "plan.yaml")}
	require.NoError(t, os.WriteFile(b.file, []byte(text), 0o600))
	b.server = httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) { b.handler.ServeHTTP(w, r) }))
	t.Cleanup(b.server.Close)
	c := live.Config{File: b.file, Read: os.ReadFile, Host: strings.TrimPrefix(b.server.URL, "http://"), Token: token, Session: session,
		Now:   func() time.Time { return time.Date(2027, 2, 3, 12, 0, 0, 0, time.UTC) },
		Write: func(_ context.Context, _, text []byte) error { return os.WriteFile(b.file, text, 0o600) }}
	var err error
	b.handler, b.doc, err = live.New(t.Context(), c)
	require.NoError(t, err)
	return b
}

func (b *bench) text() string {
	text, err := os.ReadFile(b.file)
	require.NoError(b.t, err)
	return string(text)
}

// apply makes an edit and gives the view.
func (b *bench) apply(e live.Edit) live.View {
	b.t.Helper()
	v, err := b.doc.Apply(b.t.Context(), e)
	require.NoError(b.t, err)
	return v
}

// write shows the changes and writes them.
func (b *bench) write() {
	b.t.Helper()
	c, err := b.doc.Changes()
	require.NoError(b.t, err)
	v, err := b.doc.Write(b.t.Context(), c.Mark)
	require.NoError(b.t, err)
	assert.Equal(b.t, "plan.yaml", v.Wrote)
	assert.False(b.t, v.Edited)
}

// The numbers of the page after several edits are those of the plan that is then written,
// opened as any command opens it.
func TestPageSaysWhatThePlanSays(t *testing.T) {
	b := newBench(t, small)
	b.apply(live.Edit{Kind: "level", Entry: 0, Percent: 43.5})
	b.apply(live.Edit{Kind: "time", Entry: 1, Channel: 2, Key: "sunset.to", Time: "20:30"})
	b.apply(live.Edit{Kind: "coral", Coral: 1, X: 0.47, Y: 0.22, Depth: 0.12})
	b.apply(live.Edit{Kind: "lamp", Channel: 1, Emitter: 0, X: 0.335, Y: 0.2, Height: 0.21})
	v := b.apply(live.Edit{Kind: "lamp", Channel: 2, Emitter: 0, X: 0.41, Y: 0.12, Height: 0.23})
	b.write()
	j, err := job.Open(t.Context(), job.Question{File: b.file, Read: os.ReadFile})
	require.NoError(t, err)
	table := j.On(plan.Date{Year: 2027, Month: 2, Day: 3}).DLI().Table()
	require.Len(t, v.Corals, 2)
	for i, c := range v.Corals {
		row := strings.Join(table.Rows[i], " ")
		for _, shown := range []string{c.Name, c.DLI, c.SD, c.Target, c.Peak, c.PeakAt, c.Photoperiod, c.Verdict} {
			assert.Contains(t, row, shown)
		}
	}
	for _, line := range []string{"peak: 43.5 %   # half\n", `sunset: {from: "18:00", to: "20:30"}`, "cup: {x: 47 cm, y: 22 cm, depth: 12 cm}", "blue:   # the first\n",
		"{at: [33.5 cm, 20 cm], height: 21 cm}", "{from: [11 cm, 12 cm, 23 cm], to: [71 cm, 12 cm, 26 cm]}"} {
		assert.Contains(t, b.text(), line)
	}
}

func TestUndoRedoAndOneStepForOneHold(t *testing.T) {
	b := newBench(t, small)
	for i := range 5 {
		b.apply(live.Edit{Kind: "level", Entry: 0, Percent: 60 + float64(i), More: i > 0})
	}
	v := b.apply(live.Edit{Kind: "level", Entry: 1, Channel: 2, Percent: 30, More: true})
	assert.Equal(t, 2, v.Undo, "a held key is one step, another value another")
	v, err := b.doc.Step(t.Context(), -1)
	require.NoError(t, err)
	assert.Equal(t, []string{"64", "20"}, []string{v.Levels[0].Percent, v.Levels[1].Percent})
	v, err = b.doc.Step(t.Context(), -1)
	require.NoError(t, err)
	assert.Equal(t, "50", v.Levels[0].Percent)
	assert.False(t, v.Edited)
	_, err = b.doc.Step(t.Context(), -1)
	assert.EqualError(t, err, "there is nothing to undo or redo")
	v, err = b.doc.Step(t.Context(), 1)
	require.NoError(t, err)
	assert.Equal(t, "64", v.Levels[0].Percent)
	assert.Equal(t, small, b.text(), "nothing is written before it is told to be")
}

// The file is written only as it was shown, and never over what somebody else wrote.
func TestWritingAsksForWhatWasShown(t *testing.T) {
	b := newBench(t, small)
	b.apply(live.Edit{Kind: "level", Entry: 0, Percent: 60})
	shown, err := b.doc.Changes()
	require.NoError(t, err)
	assert.Contains(t, shown.Lines, live.Line{Sign: "-", Text: "    peak: 50 %   # half"})
	assert.Contains(t, shown.Lines, live.Line{Sign: "+", Text: "    peak: 60 %   # half"})
	b.apply(live.Edit{Kind: "level", Entry: 0, Percent: 61})
	_, err = b.doc.Write(t.Context(), shown.Mark)
	assert.ErrorContains(t, err, "another than the lines that were shown")
	assert.Equal(t, small, b.text())

	shown, err = b.doc.Changes()
	require.NoError(t, err)
	assert.False(t, b.doc.Changed())
	other := strings.Replace(small, "Two lamps", "Other lamps", 1)
	require.NoError(t, os.WriteFile(b.file, []byte(other), 0o600))
	assert.True(t, b.doc.Changed())
	_, err = b.doc.Write(t.Context(), shown.Mark)
	assert.ErrorContains(t, err, "was changed on the disk")
	_, err = b.doc.Changes()
	assert.ErrorContains(t, err, "was changed on the disk")
	assert.Equal(t, other, b.text())
	v, err := b.doc.Reload(t.Context())
	require.NoError(t, err)
	assert.Equal(t, "Other lamps", v.Name)
	assert.False(t, b.doc.Changed())

	journal := filepath.Join(filepath.Dir(b.file), job.JournalName)
	require.NoError(t, os.WriteFile(journal, []byte("# none\n"), 0o600))
	assert.True(t, b.doc.Changed(), "the journal counts too")
}

// What balance finds is put into the text, with its proof, as one step to undo.
func TestBalance(t *testing.T) {
	b := newBench(t, small)
	v, err := b.doc.Balance(t.Context())
	require.NoError(t, err)
	assert.Contains(t, v.Proof, "no other levels make the total smaller.")
	assert.Equal(t, 1, v.Undo)
	b.write()
	assert.NotContains(t, b.text(), "peak: 50 %")
}

// In a plan of several tanks an edit and a map know the tank that they are of.
func TestEditsInTheirTank(t *testing.T) {
	text, err := os.ReadFile("../../testdata/plans/tanks/plan.yaml")
	require.NoError(t, err)
	readings, err := os.ReadFile("../../testdata/plans/tanks/readings.csv")
	require.NoError(t, err)
	b := newBench(t, small)
	require.NoError(t, os.WriteFile(b.file, text, 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(filepath.Dir(b.file), "readings.csv"), readings, 0o600))
	v, err := b.doc.Reload(t.Context())
	require.NoError(t, err)
	require.Greater(t, len(v.Tanks), 1)
	last, first := len(v.Channels)-1, 0
	require.NotEqual(t, v.Channels[first].Tank, v.Channels[last].Tank)
	r := b.knock(knock{path: "/api/map", body: fmt.Sprintf(`{"number":1,"depth":0.1,"channels":[%d,%d]}`, first, last)})
	assert.Equal(t, http.StatusUnprocessableEntity, r.StatusCode)
	r = b.knock(knock{path: "/api/map", body: fmt.Sprintf(`{"number":2,"depth":0.1,"channels":[%d]}`, last)})
	assert.Equal(t, http.StatusOK, r.StatusCode)
	i := slices.IndexFunc(v.Corals, func(c live.Coral) bool { return c.Tank == v.Channels[last].Tank })
	moved := b.apply(live.Edit{Kind: "coral", Coral: i, X: v.Corals[i].X + 0.01, Y: v.Corals[i].Y, Depth: v.Corals[i].Depth})
	assert.InDelta(t, v.Corals[i].X+0.01, moved.Corals[i].X, 1e-9)
}

// A channel that shares its entry gets one of its own when its level alone is changed; edits on
// their way that still name the old entry find it.
func TestLevelAloneSplitsTheEntry(t *testing.T) {
	b := newBench(t, small)
	for i, percent := range []float64{30, 31} {
		b.apply(live.Edit{Kind: "level", Entry: 0, Channel: 1, Alone: true, Percent: percent, More: i > 0})
	}
	v := b.apply(live.Edit{Kind: "time", Entry: 1, Channel: 2, Key: "sunset.to", Time: "19:30"})
	require.Len(t, v.Levels, 3)
	assert.Equal(t, []string{"50", "31", "20"}, []string{v.Levels[0].Percent, v.Levels[1].Percent, v.Levels[2].Percent})
	assert.Equal(t, "19:30", v.Levels[2].Times["sunset.to"])
	assert.Equal(t, 2, v.Undo)
	b.write()
	assert.Equal(t, 2, strings.Count(b.text(), "# half"), "comments go with both")
}
