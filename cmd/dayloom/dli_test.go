package main

import (
	"bytes"
	"encoding/json"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// at runs the program in this process with its clock standing still.
func at(t *testing.T, now string, args ...string) (out, err string, code int) {
	t.Helper()
	when, e := time.Parse(time.RFC3339, now)
	require.NoError(t, e)
	var o, x bytes.Buffer
	code = run(args, world{stdin: strings.NewReader(""), stdout: &o, stderr: &x,
		now: func() time.Time { return when }})
	return o.String(), x.String(), code
}

// starterPlan writes the starter and gives the path of its plan.
func starterPlan(t *testing.T) string {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "x")
	_, msg, code := at(t, "2026-12-02T12:00:00Z", "new", dir)
	require.Zero(t, code, msg)
	return filepath.Join(dir, "plan.yaml")
}

// metPlan is the starter plan with the peaks that meet its targets written into it.
func metPlan(t *testing.T) string {
	t.Helper()
	plan := starterPlan(t)
	text, err := os.ReadFile(plan)
	require.NoError(t, err)
	require.Equal(t, 2, strings.Count(string(text), "peak: auto"))
	met := strings.Replace(strings.Replace(string(text), "peak: auto", "peak: 42.9 %", 1), "peak: auto", "peak: 96.8 %", 1)
	require.NoError(t, os.WriteFile(plan, []byte(met), 0o600))
	return plan
}

// The JSON of dli adds up by itself: DLI = Σ ppfd_full · peak · dose_s · 10⁻⁶ on any date.
func TestDLIJSONAddsUp(t *testing.T) {
	plan := starterPlan(t)
	for _, date := range []string{"2026-12-02", "2027-03-28", "2027-06-24", "2027-09-02"} {
		out, _, code := at(t, "2026-12-02T12:00:00Z", "dli", plan, "--date", date, "--format", "json")
		require.Contains(t, []int{exitDone, exitUnmet}, code)
		var r struct {
			Corals []struct {
				Name  string
				DLI   float64            `json:"dli_mol_m2_d"`
				SD    float64            `json:"dli_sd_mol_m2_d"`
				Peak  float64            `json:"ppfd_peak_umol_m2_s"`
				Depth float64            `json:"depth_m"`
				Met   *bool              `json:"met"`
				Full  map[string]float64 `json:"ppfd_full_umol_m2_s"`
			}
			Channels []struct {
				Name  string
				Peak  float64
				DoseS float64 `json:"dose_s"`
			}
		}
		require.NoError(t, json.Unmarshal([]byte(out), &r))
		require.Len(t, r.Corals, 8)
		require.Len(t, r.Channels, 8)
		for _, c := range r.Corals {
			sum := 0.0
			for _, ch := range r.Channels {
				require.Contains(t, c.Full, ch.Name)
				sum += c.Full[ch.Name] * ch.Peak * ch.DoseS * 1e-6
			}
			assert.InEpsilon(t, sum, c.DLI, 1e-9, "%s on %s", c.Name, date)
			assert.Positive(t, c.SD)
			require.NotNil(t, c.Met)
			assert.Positive(t, c.Depth)
		}
	}
}
