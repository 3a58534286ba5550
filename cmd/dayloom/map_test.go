package main

import (
	"bytes"
	"encoding/json"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// At a terminal the table of the corals is followed by a plane in characters; in a
// pipe it stands alone.
func TestMapSketchesAtATerminal(t *testing.T) {
	plan := starterPlan(t)
	for _, terminal := range []bool{false, true} {
		var out, msg bytes.Buffer
		code := run([]string{"map", plan}, world{stdout: &out, stderr: &msg, terminal: terminal,
			now: func() time.Time { return time.Unix(0, 0) }})
		require.Zero(t, code, msg.String())
		assert.Contains(t, out.String(), "staghorn-a")
		assert.Equal(t, terminal, bytes.Contains(out.Bytes(), []byte("plane 28 cm deep")))
	}
}

// map and dli speak of the same corals, and of new lamps they say the same.
func TestMapHasTheCoralsOfDLI(t *testing.T) {
	type corals struct {
		Corals []struct {
			Name, Zone string
			X          float64                       `json:"x_m"`
			Y          float64                       `json:"y_m"`
			Depth      float64                       `json:"depth_m"`
			Full       map[string]float64            `json:"ppfd_full_umol_m2_s"`
			Bands      map[string]map[string]float64 `json:"bands"`
		}
	}
	plan := starterPlan(t)
	var one, two corals
	out, msg, code := at(t, "2026-12-02T12:00:00Z", "map", plan, "--format", "json")
	require.Zero(t, code, msg)
	require.NoError(t, json.Unmarshal([]byte(out), &one))
	out, _, _ = at(t, "2026-12-02T12:00:00Z", "dli", plan, "--format", "json")
	require.NoError(t, json.Unmarshal([]byte(out), &two))
	require.Len(t, one.Corals, 8)
	require.Len(t, two.Corals, 8)
	for i, c := range one.Corals {
		d := two.Corals[i]
		assert.Equal(t, []any{d.Name, d.Zone, d.X, d.Y, d.Depth}, []any{c.Name, c.Zone, c.X, c.Y, c.Depth})
		for _, band := range []string{"380-400", "400-700", "700-750"} {
			require.Len(t, c.Bands[band], 8, band)
		}
		for channel, v := range c.Full {
			assert.InDelta(t, v, c.Bands["400-700"][channel], 1e-9*v)
			if channel != "tubes" { // the only lamps of the starter that age
				assert.InEpsilon(t, d.Full[channel], v, 1e-12, "%s at %s", channel, c.Name)
			}
		}
	}
}
