package main

import (
	"encoding/json"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// What drill says of a wire and of a dead channel follows from what dli says, by
// DLI + F·(24 h − τ) and DLI − F·τ, within the 1 % that a timetable may be off.
func TestDrillAgreesWithDLI(t *testing.T) {
	plan := starterPlan(t)
	var dli struct {
		Corals   []dliOfCoral
		Channels []struct {
			Name  string
			Peak  float64
			DoseS float64 `json:"dose_s"`
		}
	}
	out, _, _ := at(t, "2026-12-02T12:00:00Z", "dli", plan, "--format", "json")
	require.NoError(t, json.Unmarshal([]byte(out), &dli))
	out, msg, code := at(t, "2026-12-02T12:00:00Z", "drill", plan, "--format", "json")
	require.Zero(t, code, msg)
	var r struct {
		Faults []struct {
			Fault, Channel string
			Corals         []struct {
				DLI    float64 `json:"dli_mol_m2_d"`
				Normal float64 `json:"dli_normal_mol_m2_d"`
			}
		}
	}
	require.NoError(t, json.Unmarshal([]byte(out), &r))
	tau := map[string]float64{}
	for _, c := range dli.Channels {
		tau[c.Name] = c.Peak * c.DoseS
	}
	checked := 0
	for _, f := range r.Faults {
		seconds, ok := -tau[f.Channel], f.Fault == "channel dead"
		if f.Fault == "wire open" {
			seconds, ok = 86400-tau[f.Channel], true
		}
		if !ok {
			continue
		}
		for i, c := range dli.Corals {
			assert.InEpsilon(t, c.DLI, f.Corals[i].Normal, 0.01, c.Name)
			want := c.DLI + c.Full[f.Channel]*seconds*1e-6
			assert.InDelta(t, want, f.Corals[i].DLI, 0.01*max(c.DLI, want), "%s of %s at %s", f.Fault, f.Channel, c.Name)
			checked++
		}
	}
	assert.Equal(t, (6+8)*8, checked, "six wires and eight channels over eight corals")
}
